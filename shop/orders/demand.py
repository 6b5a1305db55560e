"""What an assembly is asked to stand."""

from dataclasses import dataclass
from decimal import Decimal

from shop.engineering.duty import check_surge, peak_of
from shop.engineering.pressures import Pressure, PressureUnit, exceeds


@dataclass(frozen=True, slots=True)
class Demand:
    """The highest pressure, the surges on top of it and the deepest vacuum, each as it was typed.

    Without `surge` the highest pressure has the surges in it. Surges are in its unit. A vacuum is counted
    down from atmosphere.
    """

    highest: Pressure
    surge: Pressure | None
    vacuum: Pressure | None

    @classmethod
    def as_typed(
        cls, highest: str, unit: str, surge: str | None, vacuum: str | None, vacuum_unit: str | None
    ) -> "Demand":
        """The demand of the columns in which it is kept; empty or None: not asked."""
        return cls(
            highest=Pressure(Decimal(highest), PressureUnit(unit)),
            surge=Pressure(Decimal(surge), PressureUnit(unit)) if surge else None,
            vacuum=Pressure(Decimal(vacuum), PressureUnit(vacuum_unit or unit)) if vacuum else None,
        )

    @property
    def peak(self) -> Pressure:
        """Pressure and surge together, for reading: in the unit typed, up to the next thousandth."""
        return peak_of(self.highest, self.surge)

    def exceeds(self, rating: Pressure) -> bool:
        """Whether pressure and surge together are above a rating, exactly compared; equal is not above."""
        if self.surge is None:
            return exceeds(self.highest, rating)
        return not check_surge(self.highest, self.surge, rating).within

    @property
    def words(self) -> str:
        """'280 bar with surges', or '280 bar (250 bar and surges of 30 bar)'."""
        if self.surge is None:
            return f"{self.highest} with surges"
        return f"{self.peak} ({self.highest} and surges of {self.surge})"
