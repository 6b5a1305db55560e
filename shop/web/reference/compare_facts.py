"""All that two hoses have side by side: figures, ratings, fluids, and the charts that name each."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from shop.catalogue.models import Fluid, Hose
from shop.engineering.pressures import Pressure
from shop.engineering.rating import AssemblyRating, RatedPart, rate_assembly
from shop.orders.parts import rated_hose
from shop.people.names import names_of
from shop.policy.models import Policy
from shop.policy.services import policy_in_force
from shop.standards.models import Basis, HoseRating, Rated
from shop.web.reference.compare_charts import ChartRow, compare_charts
from shop.web.reference.compare_differences import (
    ONE_SIDED,
    SAME,
    Difference,
    of_lengths,
    of_pressures,
    of_temperatures,
    of_words,
)
from shop.web.reference.governing import which_governs
from shop.web.templatetags.quantities import length, pressure

NONE = "—"
NOT_FOR_SUCTION = "none: not for suction"
NAMED_BY_CHART = (
    "Neither stands in for the other by its figures: a hose is crimped by a chart that names it, and an "
    "order line with another hose is worked out anew."
)
WEAKEST_PART = "An assembly is rated by its weakest part, so it may be rated lower than either hose."


@dataclass(frozen=True)
class Figure:
    """One figure of both hoses, in words."""

    label: str
    one: str
    other: str
    difference: Difference


@dataclass(frozen=True)
class RatingCell:
    """One rating of a hose, by its maker or by its published type. `part` None: it is built to none."""

    part: Rated | None
    basis: str
    governs: bool
    confirmed_by: str


@dataclass(frozen=True)
class RatingRow:
    """The same kind of rating of both hoses."""

    label: str
    one: RatingCell
    other: RatingCell
    difference: Difference


@dataclass(frozen=True)
class Side:
    """One of the two hoses, with the rating that counts and what there is to say of it."""

    hose: Hose
    rating: AssemblyRating

    @property
    def counts(self) -> str:
        """The rating that counts, for reading, and what keeps it from being relied on."""
        governing, rating = self.rating.governing, self.rating
        if governing is None:
            return "none known"
        if governing.confirmed:
            doubt = ", confirmed only in part" if rating.unconfirmed else ""
        else:
            doubt = f"{self._from_memory(governing)}, not confirmed"
        return f"{pressure(rating.pressure)}{doubt}"

    @property
    def sentences(self) -> Iterator[str]:
        """Which of its ratings governs and by how much, then what nobody has confirmed."""
        yield which_governs(self.hose)
        for part in self.rating.unconfirmed:
            yield (
                f"Nobody has confirmed the rating of {part.name}{self._from_memory(part)}: "
                "no order line with it can be confirmed."
            )

    def _from_memory(self, part: RatedPart) -> str:
        standard = self.hose.standard
        if standard is None or part.name != str(standard) or standard.basis != Basis.MEMORY:
            return ""
        return ", from memory"


@dataclass(frozen=True)
class FluidRow:
    """Whether each hose is approved for a fluid."""

    fluid: Fluid
    one: bool
    other: bool
    difference: Difference


@dataclass(frozen=True)
class Pair:
    """Two hoses side by side."""

    one: Side
    other: Side
    figures: Sequence[Figure]
    ratings: Sequence[RatingRow]
    counts: Difference  # between the ratings that count
    fluids: Sequence[FluidRow]
    charts: Sequence[ChartRow]

    @property
    def sides(self) -> tuple[Side, Side]:
        """Both, the first first."""
        return self.one, self.other

    @property
    def differing(self) -> list[str]:
        """What differs, by name, in the order of the page."""
        named = [(figure.label.lower(), figure.difference) for figure in self.figures]
        named.append(("the rating that counts", self.counts))
        named += [(f"approval for {row.fluid}", row.difference) for row in self.fluids]
        named += [(f"crimping with {row.series}", row.difference) for row in self.charts]
        return [name for name, difference in named if difference.sign != SAME.sign]

    @property
    def cautions(self) -> list[str]:
        """What must not be concluded from the page."""
        one, other = self.one.hose, self.other.hose
        said = [NAMED_BY_CHART, WEAKEST_PART]
        if one.dash == other.dash and one.bore != other.bore:
            said.append(
                f"Both are called -{one.dash}, but their bores differ: {length(one.bore)} and "
                f"{length(other.bore)}. One of them may be sized by its tube."
            )
        return said


def side_by_side(one: int, other: int) -> Pair:
    """The hoses of these keys, in a constant number of queries."""
    found = (
        Hose.objects.select_related("standard")
        .prefetch_related(
            "fluids", "confirmations__entry", "standard__confirmations__entry", "rating_choices__entry"
        )
        .in_bulk([one, other])
    )
    first, second = (Side(hose, rate_assembly(rated_hose(hose), None)) for hose in (found[one], found[other]))
    return Pair(
        one=first,
        other=second,
        figures=list(_figures(first.hose, second.hose, policy_in_force())),
        ratings=_ratings(first, second),
        counts=of_pressures(first.rating.pressure, second.rating.pressure),
        fluids=_fluids(first.hose, second.hose),
        charts=compare_charts(first.hose, second.hose),
    )


def _figures(one: Hose, other: Hose, policy: Policy) -> Iterator[Figure]:
    yield _in_words("Size", f"-{one.dash}", f"-{other.dash}")
    yield _in_lengths("True bore", one.bore, other.bore)
    yield _in_lengths("Outside diameter", one.outside_diameter, other.outside_diameter)
    yield _in_lengths("Least bend radius", one.bend_radius, other.bend_radius)
    yield _in_degrees("Lowest temperature", one.temperature_min_c, other.temperature_min_c)
    yield _in_degrees("Highest temperature", one.temperature_max_c, other.temperature_max_c)
    yield _least_between_ferrules(one, other, policy)
    yield _in_words(
        "Proof pressure in its document", _printed_or_none(one.proof), _printed_or_none(other.proof)
    )
    yield _in_words(
        "Burst pressure in its document", _printed_or_none(one.burst), _printed_or_none(other.burst)
    )
    yield _in_words("Vacuum that it stands", *(str(hose.vacuum or NOT_FOR_SUCTION) for hose in (one, other)))
    yield _in_words("Published type", *(str(hose.standard or "no published type") for hose in (one, other)))
    types = one.standard or HoseRating(), other.standard or HoseRating()
    yield _in_lengths("Published bend radius", *(row.bend_radius for row in types))
    yield _in_degrees("Published lowest temperature", *(row.temperature_min_c for row in types))
    yield _in_degrees("Published highest temperature", *(row.temperature_max_c for row in types))


def _in_words(label: str, one: str, other: str) -> Figure:
    return Figure(label, one, other, of_words(one, other))


def _in_lengths(label: str, one: Decimal | None, other: Decimal | None) -> Figure:
    return Figure(label, length(one) or NONE, length(other) or NONE, of_lengths(one, other))


def _in_degrees(label: str, one: int | None, other: int | None) -> Figure:
    return Figure(label, _degrees(one), _degrees(other), of_temperatures(one, other))


def _degrees(value: int | None) -> str:
    return NONE if value is None else f"{value} °C".replace("-", "−")


def _least_between_ferrules(one: Hose, other: Hose, policy: Policy) -> Figure:
    gaps = (one.least_between_ferrules, other.least_between_ferrules)
    by_policy = f"the policy's {policy.ferrule_gap_diameters} outside diameters"
    mine, theirs = (length(gap) or by_policy for gap in gaps)
    difference = of_words(mine, theirs) if None in gaps else of_lengths(*gaps)
    return Figure("Least free hose between the ferrules", mine, theirs, difference)


def _printed_or_none(figure: Pressure | None) -> str:
    return "none printed" if figure is None else str(figure)


def _ratings(one: Side, other: Side) -> list[RatingRow]:
    parts: list[Rated] = [part for side in (one, other) for part in (side.hose, side.hose.standard) if part]
    names = names_of(part.confirmation.actor_number for part in parts if part.confirmation is not None)

    def row(label: str, mine: Rated | None, theirs: Rated | None) -> RatingRow:
        return RatingRow(
            label,
            _rating_cell(mine, one, names),
            _rating_cell(theirs, other, names),
            of_pressures(_printed(mine), _printed(theirs)),
        )

    return [
        row("Its maker's rating", one.hose, other.hose),
        row("The published rating", one.hose.standard, other.hose.standard),
    ]


def _printed(part: Rated | None) -> Pressure | None:
    return None if part is None else part.rating


def _rating_cell(part: Rated | None, side: Side, names: Mapping[int, str]) -> RatingCell:
    confirmation = part and part.confirmation
    governing = side.rating.governing
    return RatingCell(
        part=part,
        basis=part.basis if isinstance(part, HoseRating) else Basis.MAKER,
        governs=governing is not None and governing.name == str(part),
        confirmed_by=names[confirmation.actor_number] if confirmation else "",
    )


def _fluids(one: Hose, other: Hose) -> list[FluidRow]:
    mine, theirs = set(one.fluids.all()), set(other.fluids.all())
    return [
        FluidRow(fluid, fluid in mine, fluid in theirs, SAME if fluid in mine & theirs else ONE_SIDED)
        for fluid in sorted(mine | theirs, key=str)
    ]
