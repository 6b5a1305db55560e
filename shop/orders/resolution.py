"""What an order line comes to: chart lines, tooling, cut length, rating, and every reason against it."""

import datetime
from dataclasses import dataclass, replace
from decimal import Decimal

from shop.catalogue.models import CrimpSpecification, Fitting, Hose
from shop.core.refusals import Refusal
from shop.engineering.cut_length import cut_length_mm, shortest_overall_mm
from shop.engineering.lengths import trim
from shop.engineering.pressures import Pressure, PressureUnit, exceeds, show_rating
from shop.engineering.rating import AssemblyRating, PartRole, RatedPart, proof_pressure, rate_assembly
from shop.orders import refusals
from shop.orders.models import Duty, OrderLine
from shop.policy.models import Policy
from shop.policy.services import policy_on
from shop.standards.models import Rated
from shop.tooling.finding import OwnedTooling, find_tooling


@dataclass(frozen=True)
class EndProposal:
    """One end: the line of a chart that prescribes its crimp, and what the workshop has for it."""

    end: str
    fitting: Fitting
    specification: CrimpSpecification | None
    tooling: OwnedTooling | None

    def insertion_mm(self) -> Decimal:
        """The insertion depth: the chart's, or else the fitting's own."""
        if self.specification is not None and self.specification.insertion_depth is not None:
            return self.specification.insertion_depth
        return self.fitting.insertion_depth


@dataclass(frozen=True)
class Proposal:
    """What a line would be confirmed as on that day.

    `refusals` keep the line from being written at all, `open_points` from being confirmed; `notes`
    are said and keep it from nothing.
    """

    line: OrderLine
    day: datetime.date
    policy: Policy
    end_a: EndProposal
    end_b: EndProposal
    rating: AssemblyRating
    cut_length: Decimal | None
    bend_radius: Decimal
    temperature_min_c: int
    temperature_max_c: int
    refusals: tuple[Refusal, ...] = ()
    open_points: tuple[Refusal, ...] = ()
    notes: tuple[Refusal, ...] = ()

    @property
    def ends(self) -> tuple[EndProposal, EndProposal]:
        return self.end_a, self.end_b

    @property
    def proof(self) -> Pressure | None:
        """The hose document's own proof pressure where the hose governs and prints one, else by policy."""
        rating = self.rating.pressure
        if rating is None or self.rating.governing is None:
            return None
        hose = self.line.hose
        if self.rating.governing.role is PartRole.HOSE and hose.proof_printed and hose.printed_unit:
            return Pressure(Decimal(hose.proof_printed), PressureUnit(hose.printed_unit))
        return proof_pressure(rating, Decimal(self.policy.proof_factor_percent) / 100)

    @property
    def can_be_confirmed(self) -> bool:
        return not self.refusals and not self.open_points


def resolve_line(line: OrderLine, day: datetime.date) -> Proposal:
    """Work out what the line comes to; the line need not be saved. Its faults are in the answer."""
    policy = policy_on(day)
    proposal = Proposal(
        line=line,
        day=day,
        policy=policy,
        end_a=_resolve_end("A", line.hose, line.fitting_a, day),
        end_b=_resolve_end("B", line.hose, line.fitting_b, day),
        rating=rate_assembly(_rated_parts(line), line.temperature_c),
        cut_length=_cut_length(line),
        bend_radius=max(_both(line.hose, "bend_radius")),
        temperature_min_c=max(_both(line.hose, "temperature_min_c")),
        temperature_max_c=min(_both(line.hose, "temperature_max_c")),
    )
    return replace(
        proposal,
        refusals=(
            *_size(proposal),
            *_duty(line),
            *_temperature(proposal),
            *_fluid(line),
            *_pressure(proposal),
            *_length(proposal),
        ),
        open_points=(*_engineer(line), *_angle(line), *_unspecified(proposal), *_unrated(proposal.rating)),
        notes=tuple(_not_owned(proposal)),
    )


def find_specification(
    hose: Hose, fitting: Fitting, day: datetime.date
) -> tuple[CrimpSpecification | None, OwnedTooling | None]:
    """The chart's line in force for that fitting on that hose, and the tooling for it.

    Where several lines serve (dies or stops differ) the first for which the workshop has everything
    is taken, a line for the fitting's own material before one for any.
    """
    lines = list(
        CrimpSpecification.objects.in_force(day)
        .filter(hose=hose, series=fitting.series_id, ferrule__isnull=fitting.is_one_piece)
        .filter(material__in=("", fitting.material))
        .select_related("chart_issue__chart", "ferrule", "die_type", "stop_type", "series", "hose")
        .order_by("-material", "entry")
    )
    found = [(line, find_tooling(line)) for line in lines]
    whole = [(line, tooling) for line, tooling in found if not tooling.lacking]
    for choice in whole or found:
        return choice
    return None, None


def _resolve_end(end: str, hose: Hose, fitting: Fitting, day: datetime.date) -> EndProposal:
    specification, tooling = find_specification(hose, fitting, day)
    return EndProposal(end, fitting, specification, tooling)


def _both(hose: Hose, column: str) -> list[int]:
    """The hose's own figure and its standard's, whichever there are."""
    figures = [getattr(hose, column), getattr(hose.standard, column, None)]
    return [figure for figure in figures if figure is not None]


def _rated_parts(line: OrderLine) -> list[RatedPart]:
    hose = line.hose
    parts = []
    if hose.rating is not None or hose.standard is None:
        parts.append(_rated_part(PartRole.HOSE, hose, hose.temperature_min_c, hose.temperature_max_c))
    if hose.standard is not None:
        parts.append(
            _rated_part(
                PartRole.HOSE,
                hose.standard,
                hose.standard.temperature_min_c,
                hose.standard.temperature_max_c,
            )
        )
    for fitting, role, connection_role in (
        (line.fitting_a, PartRole.FITTING_A, PartRole.CONNECTION_A),
        (line.fitting_b, PartRole.FITTING_B, PartRole.CONNECTION_B),
    ):
        parts.append(_rated_part(role, fitting))
        parts.append(_rated_part(connection_role, fitting.connection))
    return parts


def _rated_part(
    role: PartRole, part: Rated, lowest: int | None = None, highest: int | None = None
) -> RatedPart:
    return RatedPart(
        role=role,
        name=str(part),
        rating=part.rating,
        confirmed=part.is_confirmed,
        temperature_min_c=lowest,
        temperature_max_c=highest,
        source=part.source,
    )


def _cut_length(line: OrderLine) -> Decimal | None:
    allowances = line.fitting_a.cut_off + line.fitting_b.cut_off
    if line.overall_length <= allowances:
        return None
    return cut_length_mm(line.overall_length, line.fitting_a.cut_off, line.fitting_b.cut_off)


def _size(proposal: Proposal) -> list[Refusal]:
    hose = proposal.line.hose
    return [
        refusals.WrongSizeForHose(
            fitting=end.fitting,
            fitting_dash=end.fitting.hose_dash,
            hose=hose,
            hose_dash=hose.dash,
            end=end.end,
        )
        for end in proposal.ends
        if end.fitting.hose_dash != hose.dash
    ]


def _duty(line: OrderLine) -> list[Refusal]:
    duty = Duty(line.duty)
    return [refusals.DutyRefused(duty=duty.label)] if duty.is_refused else []


def _engineer(line: OrderLine) -> list[Refusal]:
    duty = Duty(line.duty)
    return [refusals.EngineerMissing(duty=duty.label)] if duty.needs_engineer and not line.engineer else []


def _temperature(proposal: Proposal) -> list[Refusal]:
    return [
        refusals.OutsideTemperature(
            part=part.name,
            lowest=part.temperature_min_c,
            highest=part.temperature_max_c,
            temperature=proposal.line.temperature_c,
        )
        for part in (*proposal.rating.too_hot, *proposal.rating.too_cold)
    ]


def _fluid(line: OrderLine) -> list[Refusal]:
    if line.hose.fluids.filter(pk=line.fluid_id).exists():
        return []
    return [refusals.FluidNotApproved(hose=line.hose, fluid=line.fluid)]


def _pressure(proposal: Proposal) -> list[Refusal]:
    rating, demand = proposal.rating, proposal.line.highest_pressure
    above = [
        part.rating
        for part in _rated_parts(proposal.line)
        if part.rating is not None and exceeds(demand, part.rating)
    ]
    if not above or rating.pressure is None or rating.governing is None:
        return []
    return [
        refusals.PressureAboveRating(
            demand=demand,
            rating=show_rating(rating.pressure),
            governing=rating.governing.words,
            part=rating.governing.role.label.removeprefix("the "),
        )
    ]


def _length(proposal: Proposal) -> list[Refusal]:
    line, hose = proposal.line, proposal.line.hose
    least = hose.least_between_ferrules
    if least is None:
        least = trim(hose.outside_diameter * proposal.policy.ferrule_gap_diameters)
    allowances = (line.fitting_a.cut_off, line.fitting_b.cut_off)
    shortest = shortest_overall_mm(
        least, *allowances, proposal.end_a.insertion_mm(), proposal.end_b.insertion_mm()
    )
    overall = line.overall_length
    if overall >= shortest:
        return []
    if overall <= sum(allowances) and overall * 1000 >= shortest:
        return [refusals.LengthLooksLikeMetres(overall=overall, as_metres=trim(overall * 1000))]
    return [refusals.AssemblyTooShort(overall=overall, least=least, shortest=shortest)]


def _angle(line: OrderLine) -> list[Refusal]:
    fixed_bends = [f for f in (line.fitting_a, line.fitting_b) if f.angle_deg and not f.rotates]
    return [refusals.AngleMissing()] if len(fixed_bends) == 2 and line.angle_deg is None else []


def _unspecified(proposal: Proposal) -> list[Refusal]:
    found: list[Refusal] = []
    for end in proposal.ends:
        if end.specification is None:
            others = (
                CrimpSpecification.objects.in_force(proposal.day)
                .filter(series=end.fitting.series_id, hose__dash=proposal.line.hose.dash)
                .exclude(hose=proposal.line.hose)
                .select_related("hose")
            )
            named = sorted({str(line.hose) for line in others})
            found.append(
                refusals.NoSpecification(
                    fitting=end.fitting,
                    material=end.fitting.material,
                    hose=proposal.line.hose,
                    end=end.end,
                    others=f" For this series it names {', '.join(named)}: another hose." if named else "",
                )
            )
    return found


def _unrated(rating: AssemblyRating) -> list[Refusal]:
    unrated = [refusals.PartNotRated(part=part.words) for part in rating.unrated]
    unconfirmed = [
        refusals.RatingNotConfirmed(part=part.words, rating=part.rating and show_rating(part.rating))
        for part in rating.unconfirmed
    ]
    return [*unrated, *unconfirmed]


def _not_owned(proposal: Proposal) -> list[Refusal]:
    return [
        refusals.ToolingNotOwned(
            end=end.end,
            lacking=" and ".join(end.tooling.lacking),
            die=end.specification.die_type,
            stop=end.specification.stop_words,
        )
        for end in proposal.ends
        if end.specification is not None and end.tooling is not None and end.tooling.lacking
    ]
