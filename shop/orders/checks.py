"""Every reason why a line can't be written, can't be confirmed, or needs a word."""

from collections.abc import Iterable, Iterator
from decimal import Decimal
from itertools import chain

from shop.core.refusals import Refusal
from shop.engineering.cut_length import shortest_overall_mm
from shop.engineering.errors import EngineeringError
from shop.engineering.lengths import LengthUnit, parse_length, trim
from shop.engineering.pressures import exceeds, show_rating
from shop.engineering.rating import RatedPart
from shop.orders import refusals
from shop.orders.models import Duty, OrderLine
from shop.orders.proposal import Proposal
from shop.orders.specifications import hoses_named_instead


def find_refusals(proposal: Proposal) -> tuple[Refusal, ...]:
    """What keeps the line from being written at all."""
    line = proposal.line
    return tuple(
        chain(
            _size(proposal),
            _duty(line),
            _temperature(proposal),
            _fluid(line),
            _pressure(proposal),
            _length(proposal),
        )
    )


def find_open_points(proposal: Proposal) -> tuple[Refusal, ...]:
    """What may be quoted but not confirmed."""
    line = proposal.line
    return tuple(
        chain(
            _engineer(line),
            _angle(line),
            _unspecified(proposal),
            _untoleranced(proposal),
            _unrated(proposal.rating.unrated),
            _unconfirmed(proposal.rating.unconfirmed),
        )
    )


def find_notes(proposal: Proposal) -> tuple[Refusal, ...]:
    """What has to be seen to before the order reaches the bench."""
    return tuple(
        refusals.ToolingNotOwned(
            end=end.end,
            lacking=" and ".join(end.tooling.lacking),
            die=end.specification.die_type,
            stop=end.specification.stop_words,
        )
        for end in proposal.ends
        if end.specification is not None and end.tooling is not None and end.tooling.lacking
    )


def _size(proposal: Proposal) -> Iterator[Refusal]:
    hose = proposal.line.hose
    for end in proposal.ends:
        if end.fitting.hose_dash != hose.dash:
            yield refusals.WrongSizeForHose(
                fitting=end.fitting,
                fitting_dash=end.fitting.hose_dash,
                hose=hose,
                hose_dash=hose.dash,
                end=end.end,
            )


def _duty(line: OrderLine) -> Iterator[Refusal]:
    duty = Duty(line.duty)
    if duty.is_refused:
        yield refusals.DutyRefused(duty=duty.label)


def _temperature(proposal: Proposal) -> Iterator[Refusal]:
    rating, temperature = proposal.rating, proposal.line.temperature_c
    for part in rating.too_hot:
        yield refusals.TooHot(part=part.name, highest=part.temperature_max_c, temperature=temperature)
    for part in rating.too_cold:
        yield refusals.TooCold(part=part.name, lowest=part.temperature_min_c, temperature=temperature)


def _fluid(line: OrderLine) -> Iterator[Refusal]:
    if not line.hose.fluids.filter(pk=line.fluid_id).exists():
        yield refusals.FluidNotApproved(hose=line.hose, fluid=line.fluid)


def _pressure(proposal: Proposal) -> Iterator[Refusal]:
    """Each part is asked, as one may be printed in the unit that was typed and the lowest in another."""
    rating, demand = proposal.rating, proposal.line.highest_pressure
    if rating.pressure is None or rating.governing is None:
        return
    if any(part.rating is not None and exceeds(demand, part.rating) for part in proposal.parts):
        yield refusals.PressureAboveRating(
            demand=demand,
            rating=show_rating(rating.pressure),
            governing=rating.governing.words,
            part=rating.governing.role.label.removeprefix("the "),
        )


def _length(proposal: Proposal) -> Iterator[Refusal]:
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
        return
    as_metres = _as_metres(line.overall_typed)
    if overall <= sum(allowances) and as_metres is not None and as_metres >= shortest:
        yield refusals.LengthLooksLikeMetres(overall=overall, typed=line.overall_typed, as_metres=as_metres)
    else:
        yield refusals.AssemblyTooShort(overall=overall, least=least, shortest=shortest)


def _as_metres(typed: str) -> Decimal | None:
    """What was typed, in mm, if a number without a unit had been metres; None for what no metres can be."""
    try:
        return parse_length(typed, LengthUnit.M).mm
    except EngineeringError:  # a fraction without a unit, such as 3 1/2 where inches are typed
        return None


def _engineer(line: OrderLine) -> Iterator[Refusal]:
    duty = Duty(line.duty)
    if duty.needs_engineer and not line.engineer:
        yield refusals.EngineerMissing(duty=duty.label)


def _angle(line: OrderLine) -> Iterator[Refusal]:
    stay_as_crimped = all(
        fitting.angle_deg and not fitting.rotates for fitting in (line.fitting_a, line.fitting_b)
    )
    if stay_as_crimped and line.angle_deg is None:
        yield refusals.AngleMissing()


def _unspecified(proposal: Proposal) -> Iterator[Refusal]:
    hose = proposal.line.hose
    for end in proposal.ends:
        if end.specification is None:
            named = hoses_named_instead(hose, end.fitting, proposal.day)
            yield refusals.NoSpecification(
                fitting=end.fitting,
                material=end.fitting.material,
                hose=hose,
                end=end.end,
                others=f" For this series it names {', '.join(named)}: another hose." if named else "",
            )


def _untoleranced(proposal: Proposal) -> Iterator[Refusal]:
    if proposal.finished_length is None:
        yield refusals.NoLengthTolerance(
            rules=proposal.policy.length_rules,
            overall=proposal.line.overall_length,
            dash=proposal.line.hose.dash,
        )


def _unrated(parts: Iterable[RatedPart]) -> Iterator[Refusal]:
    for part, words in _once(parts):
        yield refusals.PartNotRated(part=f"{words[0].upper()}{words[1:]}", name=part.name)


def _unconfirmed(parts: Iterable[RatedPart]) -> Iterator[Refusal]:
    for part, words in _once(parts):
        yield refusals.RatingNotConfirmed(part=words, rating=part.rating and show_rating(part.rating))


def _once(parts: Iterable[RatedPart]) -> Iterator[tuple[RatedPart, str]]:
    """Each part with its words; one that is at both ends is said once."""
    by_name: dict[str, list[RatedPart]] = {}
    for part in parts:
        by_name.setdefault(part.name, []).append(part)
    for same in by_name.values():
        words = same[0].words if len(same) == 1 else same[0].words.replace("at end A", "at both ends")
        yield same[0], words
