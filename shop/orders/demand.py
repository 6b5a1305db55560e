"""What an assembly is asked to stand."""

from dataclasses import dataclass
from decimal import Decimal

from shop.engineering.numbers import trim
from shop.engineering.pressures import Pressure, PressureUnit


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
        """What every rating is compared with: pressure and surge together, exactly, in the unit typed."""
        if self.surge is None:
            return self.highest
        return Pressure(trim(self.highest.value + self.surge.value), self.highest.unit)

    @property
    def words(self) -> str:
        """'280 bar with surges', or '280 bar (250 bar and surges of 30 bar)'."""
        if self.surge is None:
            return f"{self.highest} with surges"
        return f"{self.peak} ({self.highest} and surges of {self.surge})"
