"""The pin that shows that assembling has not narrowed a bore too far.

SAE J516-2019 lets it narrow the bore by 10 % at most, smoothly. So a pin of nine tenths of the bore goes
through; MIL-DTL-13719G 3.5.1 lets its plug fall through by its own weight. What goes through an assembly
goes through its narrowest part: the bore of a fitting is as a rule smaller than that of its hose.
"""

from dataclasses import dataclass
from decimal import Decimal

from shop.engineering.errors import OutOfRange
from shop.engineering.numbers import plain, require_positive, trim

NARROWED_MOST_PERCENT = 10  # SAE J516-2019


@dataclass(frozen=True, slots=True)
class GaugePin:
    """A pin of `least_mm` or more that goes through shows that `narrowest`, `bore_mm` wide, is open.

    Raises `NotANumber`, or `OutOfRange` for a diameter that is not above zero and a pin that is wider than
    the bore.
    """

    least_mm: Decimal
    bore_mm: Decimal
    narrowest: str

    def __post_init__(self) -> None:
        require_positive(self.bore_mm, f"bore of {self.narrowest}", "mm")
        if require_positive(self.least_mm, "diameter of the pin", "mm") > self.bore_mm:
            raise OutOfRange(
                f"A pin of {plain(self.least_mm)} mm can't have gone through {self.narrowest}, whose bore is "
                f"{plain(self.bore_mm)} mm. Measure the pin again.",
                argument="diameter of the pin",
                unit="mm",
                allowed=f"up to {plain(self.bore_mm)} mm",
                got=self.least_mm,
            )

    def shows(self, pin_mm: Decimal) -> bool:
        """Whether a pin of that diameter (mm) that went through shows it.

        Raises as the class does for a pin that can't have gone through.
        """
        return GaugePin(pin_mm, self.bore_mm, self.narrowest).least_mm >= self.least_mm


def gauge_pin(hose_mm: Decimal, end_a_mm: Decimal | None = None, end_b_mm: Decimal | None = None) -> GaugePin:
    """The pin for an assembly with those bores (mm) of hose and fittings, as far as they are known.

    Nine tenths of the narrowest, by SAE J516-2019. Raises `NotANumber`, or `OutOfRange` for a bore that is
    not above zero.
    """
    bores = {"the hose": hose_mm, "end A": end_a_mm, "end B": end_b_mm}
    known = {part: bore_mm for part, bore_mm in bores.items() if bore_mm is not None}
    for part, bore_mm in known.items():
        require_positive(bore_mm, f"bore of {part}", "mm")
    narrowest = min(known, key=lambda part: known[part])
    bore_mm = known[narrowest]
    return GaugePin(trim(bore_mm * (100 - NARROWED_MOST_PERCENT) / 100), bore_mm, narrowest)
