"""Every reason why a line can't be written, can't be confirmed, or needs a word."""

from collections.abc import Iterable, Iterator
from decimal import Decimal
from itertools import chain

from shop.core.refusals import Refusal
from shop.engineering.cut_length import Datum, shortest_overall_mm
from shop.engineering.duty import check_suction
from shop.engineering.errors import EngineeringError, OutOfRange
from shop.engineering.lengths import LengthUnit, parse_length, trim
from shop.engineering.numbers import plain
from shop.engineering.orientation import DIAMETERS_THAT_TWIST, AngleConvention
from shop.engineering.pressures import show_rating
from shop.engineering.rating import RatedPart
from shop.orders import refusals
from shop.orders.duties import Duty
from shop.orders.extras import read_cleanliness
from shop.orders.lengths import least_free_hose
from shop.orders.models import OrderLine
from shop.orders.parts import rated_vacuum
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
            _suction(line),
            _tips(proposal),
            _length(proposal),
            _cleanliness(line),
        )
    )


def find_open_points(proposal: Proposal) -> tuple[Refusal, ...]:
    """What may be quoted but not confirmed."""
    line = proposal.line
    return tuple(
        chain(
            _engineer(line),
            _angle(proposal),
            _unspecified(proposal),
            _untoleranced(proposal),
            _unproved(proposal),
            _untested(proposal),
            _unrated(proposal.rating.unrated),
            _unconfirmed(proposal.rating.unconfirmed),
        )
    )


def find_notes(proposal: Proposal) -> tuple[Refusal, ...]:
    """What has to be seen to before the order reaches the bench, or at it."""
    return tuple(chain(_tooling(proposal), _twist(proposal)))


def _tooling(proposal: Proposal) -> Iterator[Refusal]:
    for end in proposal.ends:
        if end.specification is not None and end.tooling is not None and end.tooling.lacking:
            yield refusals.ToolingNotOwned(
                end=end.end,
                lacking=" and ".join(end.tooling.lacking),
                die=end.specification.die_type,
                stop=end.specification.stop_words,
            )


def _twist(proposal: Proposal) -> Iterator[Refusal]:
    allowed = proposal.angle_allowed_deg
    if proposal.angle_matters and not proposal.can_twist and allowed is not None:
        free = proposal.free_hose
        assert free is not None, "without free hose nothing is known of its twisting"
        yield refusals.TooShortToTwist(
            free=plain(free), diameters=DIAMETERS_THAT_TWIST, allowed=plain(allowed)
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
    temperature = proposal.line.temperature_c
    for limits in proposal.temperatures:
        highest, lowest = limits.highest_c, limits.lowest_c
        if highest is not None and temperature > highest:
            yield limits.too_hot(part=limits.part, highest=highest, temperature=temperature)
        if lowest is not None and temperature < lowest:
            yield limits.too_cold(part=limits.part, lowest=lowest, temperature=temperature)


def _fluid(line: OrderLine) -> Iterator[Refusal]:
    if not line.hose.fluids.filter(pk=line.fluid_id).exists():
        yield refusals.FluidNotApproved(hose=line.hose, fluid=line.fluid)
    for fitting, ends in line.fittings_and_ends:
        seal = fitting.seal
        if seal is not None and not seal.fluids.filter(pk=line.fluid_id).exists():
            yield refusals.SealNotApproved(seal=seal, ends=ends, fitting=fitting, fluid=line.fluid)


def _pressure(proposal: Proposal) -> Iterator[Refusal]:
    """Each part is asked, as one may be printed in the unit that was typed and the lowest in another."""
    rating, demand = proposal.rating, proposal.line.demand
    if rating.pressure is None or rating.governing is None:
        return
    if any(part.rating is not None and demand.exceeds(part.rating) for part in proposal.parts):
        yield refusals.PressureAboveRating(
            demand=demand.words,
            rating=show_rating(rating.pressure),
            governing=rating.governing.words,
            part=rating.governing.role.label.removeprefix("the "),
        )


def _suction(line: OrderLine) -> Iterator[Refusal]:
    vacuum, rated = line.demand.vacuum, rated_vacuum(line.hose)
    if vacuum is None:
        return
    if rated is None:
        yield refusals.NotForSuction(hose=line.hose)
        return
    try:
        within = check_suction(vacuum, rated).within
    except OutOfRange as error:
        yield refusals.VacuumNotUsable(why=str(error))
        return
    if not within:
        yield refusals.VacuumTooDeep(vacuum=vacuum, rated=rated, hose=line.hose)


def _tips(proposal: Proposal) -> Iterator[Refusal]:
    if proposal.measured.beyond_mm is not None:
        return
    for fitting, ends in proposal.line.fittings_and_ends:
        if fitting.beyond_datum is None:
            yield refusals.TipsNotKnown(fitting=fitting, ends=ends, datum=Datum(fitting.datum).words)


def _length(proposal: Proposal) -> Iterator[Refusal]:
    """Too little hose between the ferrules, said of the length that the customer measured."""
    line, beyond = proposal.line, proposal.measured.beyond_mm
    if beyond is None:
        return
    least = least_free_hose(line.hose, proposal.policy)
    # A correction that cuts longer leaves no more hose free: that hose is squeezed into the ferrules.
    correction = proposal.cut_correction
    beyond += max(Decimal(0), correction.mean) if correction is not None else Decimal(0)
    allowances = (line.fitting_a.cut_off, line.fitting_b.cut_off)
    insertions = (proposal.end_a.insertion_mm(), proposal.end_b.insertion_mm())
    shortest = trim(shortest_overall_mm(least, *allowances, *insertions) + beyond)
    overall = proposal.measured.typed_mm
    if overall >= shortest:
        return
    as_metres = _as_metres(line.overall_typed)
    if overall <= sum(allowances) + beyond and as_metres is not None and as_metres >= shortest:
        yield refusals.LengthLooksLikeMetres(overall=overall, typed=line.overall_typed, as_metres=as_metres)
    else:
        yield refusals.AssemblyTooShort(overall=overall, least=least, shortest=shortest)


def _cleanliness(line: OrderLine) -> Iterator[Refusal]:
    if not line.cleanliness:
        return
    try:
        read_cleanliness(line.cleanliness)
    except EngineeringError as error:
        yield refusals.CleanlinessNotUsable(why=str(error))


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


def _angle(proposal: Proposal) -> Iterator[Refusal]:
    line = proposal.line
    if proposal.angle_matters and line.angle_deg is None:
        yield refusals.AngleMissing(
            a=line.fitting_a.faces,
            b=line.fitting_b.faces,
            convention=AngleConvention(line.order.angle_convention).words,
        )


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
    if proposal.finished_length is None and proposal.overall_length is not None:
        yield refusals.NoLengthTolerance(
            rules=proposal.length_rules, overall=proposal.overall_length, dash=proposal.line.hose.dash
        )


def _unproved(proposal: Proposal) -> Iterator[Refusal]:
    if proposal.unprovable:
        yield refusals.ProofNotKnown(why=proposal.unprovable)


def _untested(proposal: Proposal) -> Iterator[Refusal]:
    policy = proposal.policy
    if proposal.line.proof_test_wanted and not policy.wants_test(ordered=True):
        yield refusals.NoProofTestsHere(policy=policy)


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
