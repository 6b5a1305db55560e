"""The rating of an assembly: that of its weakest part, at the temperature of the job.

Sources: SAE J517-2003 scope, SAE J516-2019 and the abstract of ISO 18752 (the lowest-rated component
governs), ISO 6605:2017 5.2 (proof pressure).
"""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from shop.engineering.errors import OutOfRange
from shop.engineering.numbers import plain, require_number, trim
from shop.engineering.pressures import Pressure, lowest, show_rating
from shop.engineering.ranges import require_temperature


class PartRole(StrEnum):
    HOSE = "hose"
    FITTING_A = "fitting_a"
    CONNECTION_A = "connection_a"
    FITTING_B = "fitting_b"
    CONNECTION_B = "connection_b"

    @property
    def label(self) -> str:
        """The part in words, to stand in a sentence."""
        return _LABELS[self]


_LABELS = {
    PartRole.HOSE: "the hose",
    PartRole.FITTING_A: "the fitting at end A",
    PartRole.CONNECTION_A: "the connection at end A",
    PartRole.FITTING_B: "the fitting at end B",
    PartRole.CONNECTION_B: "the connection at end B",
}


@dataclass(frozen=True, slots=True)
class RatedPart:
    """A part with one rating of it; a part rated by its maker and by a standard comes twice.

    `rating` None means that nobody printed one, which is not 'unlimited'. `confirmed` says that a named
    person compared it with its document. A temperature limit of None is not known and is not checked.
    Raises `OutOfRange` for a temperature that can't be.
    """

    role: PartRole
    name: str
    rating: Pressure | None
    confirmed: bool
    temperature_min_c: int | None = None
    temperature_max_c: int | None = None
    source: str = ""

    def __post_init__(self) -> None:
        if self.temperature_min_c is not None:
            require_temperature(self.temperature_min_c, "lowest temperature")
        if self.temperature_max_c is not None:
            require_temperature(self.temperature_max_c, "highest temperature")

    @property
    def words(self) -> str:
        return f"{self.role.label} ({self.name})"


@dataclass(frozen=True, slots=True)
class AssemblyRating:
    """What the parts given allow, and all that keeps it from being relied on, said in `reasons`.

    `pressure` is the lowest of the ratings there are; only if `complete` is it the assembly's rating.
    `missing` are the roles for which no part was given. Without a temperature none is checked.
    """

    pressure: Pressure | None
    governing: RatedPart | None
    unrated: tuple[RatedPart, ...]
    unconfirmed: tuple[RatedPart, ...]
    too_hot: tuple[RatedPart, ...]
    too_cold: tuple[RatedPart, ...]
    missing: tuple[PartRole, ...]
    temperature_c: int | None

    @property
    def complete(self) -> bool:
        return not (self.unrated or self.unconfirmed or self.too_hot or self.too_cold or self.missing)

    @property
    def reasons(self) -> tuple[str, ...]:
        """What governs, then each thing in the way, as sentences for the person who orders."""
        said = []
        if self.governing and self.pressure:
            said.append(f"{_capital(self.governing.words)} governs: {show_rating(self.pressure)}.")
        said += [f"Nothing was given for {role.label}. Choose it." for role in self.missing]
        said += [
            f"{_capital(part.words)} has no rating. Enter one from its document." for part in self.unrated
        ]
        said += [
            f"Nobody has confirmed the rating of {part.words}. Compare it with its document and confirm it."
            for part in self.unconfirmed
        ]
        said += [self._out_of_temperature(part, "up to", part.temperature_max_c) for part in self.too_hot]
        said += [self._out_of_temperature(part, "down to", part.temperature_min_c) for part in self.too_cold]
        if self.temperature_c is None:
            said.append("No temperature was given, so the parts' temperature limits were not checked.")
        return tuple(said)

    def _out_of_temperature(self, part: RatedPart, direction: str, limit_c: int | None) -> str:
        return (
            f"{_capital(part.words)} is for use {direction} {limit_c} °C and the job is at "
            f"{self.temperature_c} °C. Choose another."
        )


def rate_assembly(parts: Iterable[RatedPart], temperature_c: int | None) -> AssemblyRating:
    """The lowest rating of hose, fittings and connections governs.

    Sources: SAE J517-2003 scope and the abstract of ISO 18752 (lowest-rated component governs). A part
    above or below its own temperatures is not derated but not for use (from memory). Adding a part
    never raises the result. Raises `OutOfRange` for a temperature that can't be.
    """
    if temperature_c is not None:
        require_temperature(temperature_c, "temperature")
    every = tuple(parts)
    rated = {part: part.rating for part in every if part.rating is not None}
    pressure = lowest(rated.values()) if rated else None
    governing = next((part for part, rating in rated.items() if rating is pressure), None)
    unrated = tuple(part for part in every if part.rating is None)
    unconfirmed = tuple(part for part in rated if not part.confirmed)
    too_hot = tuple(part for part in every if _above(temperature_c, part.temperature_max_c))
    too_cold = tuple(part for part in every if _above(part.temperature_min_c, temperature_c))
    missing = tuple(role for role in PartRole if role not in {part.role for part in every})
    return AssemblyRating(
        pressure=pressure,
        governing=governing,
        unrated=unrated,
        unconfirmed=unconfirmed,
        too_hot=too_hot,
        too_cold=too_cold,
        missing=missing,
        temperature_c=temperature_c,
    )


def proof_pressure(working: Pressure, factor: Decimal = Decimal(2)) -> Pressure:
    """Proof test pressure in the unit of the working pressure: twice it, held 30 to 60 s.

    Source: ISO 6605:2017 5.2. A specification that prints its own proof pressure goes before it: FAA
    AC 43.13-1B Table 9-3 has rows that are not twice. Raises `OutOfRange` for a factor below one.
    """
    if require_number(factor, "proof factor", "", "1 or more") < 1:
        raise OutOfRange(
            f"A proof test below the working pressure proves nothing: the factor {plain(factor)} is below 1.",
            argument="proof factor",
            allowed="1 or more",
            got=factor,
        )
    return Pressure(trim(working.value * factor), working.unit)


def _above(value: int | None, limit: int | None) -> bool:
    return value is not None and limit is not None and value > limit


def _capital(words: str) -> str:
    return words[0].upper() + words[1:]
