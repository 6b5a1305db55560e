"""Whether what an assembly was confirmed as still holds by what is known today (rules 1, 2 and 3).

Confirming freezes a line, but not the world: a hose may have lost its approval for the fluid since, a
fitting may have another cut-off, a rating may have been corrected. Each gate of the road asks again.
"""

import datetime
from dataclasses import replace
from decimal import Decimal

from shop.assemblies.judging import counted_sets, judge_sets
from shop.assemblies.models import Assembly, Crimp, End
from shop.assemblies.planning import chart_moved_on
from shop.assemblies.refusals import (
    ConfirmedToAnotherLength,
    CrimpedToAnotherChart,
    CutToAnotherLength,
    NoLongerRight,
    RatingDoubtful,
    RatingLower,
    TemperaturesNarrower,
)
from shop.assemblies.standing import Standing
from shop.catalogue.comparing import changed_columns
from shop.catalogue.models import CrimpSpecification
from shop.engineering.crimp import Outcome
from shop.engineering.pressures import Pressure, PressureUnit, exceeds, show_rating
from shop.orders.models import Resolution
from shop.orders.proposal import Proposal
from shop.orders.refusals import (
    FluidNotApproved,
    NotForSuction,
    PartNotRated,
    PressureAboveRating,
    RatingNotConfirmed,
    SealNotApproved,
    TooCold,
    TooHot,
    VacuumTooDeep,
    WrongSizeForHose,
)
from shop.orders.resolution import read_line, resolve_without_notes
from shop.policy.services import policy_in_force, today

# What an order would be refused for today because of its parts, however well it was made.
PARTS_NOT_RIGHT = (
    FluidNotApproved,
    NotForSuction,
    PressureAboveRating,
    SealNotApproved,
    TooCold,
    TooHot,
    VacuumTooDeep,
    WrongSizeForHose,
)
# What a finished crimp is made of, beside its diameter. Another stop or setting is not seen on it.
SEEN_ON_THE_CRIMP = frozenset({"ferrule", "die_type", "insertion_depth", "skive", "skive_length"})


def resolved_today(assembly: Assembly, on: datetime.date | None = None) -> Proposal:
    """What the assembly's line comes to today: worked out once for the gates of a step, and for no other.

    On another day for what was done then.
    """
    return resolve_without_notes(read_line(assembly.resolution.line_id), on or today())


def require_chart_in_force(assembly: Assembly, now: Proposal, *ends: End) -> None:
    """Raise `ChartMovedOn` unless what these ends were confirmed on is in force today (rule 1)."""
    for end in ends:
        prescribed = now.end_a.prescribed if end is End.A else now.end_b.prescribed
        if assembly.specification_id(end) not in {line.pk for line in prescribed}:
            raise chart_moved_on(assembly, end, now.day)


def require_crimps_as_confirmed(assembly: Assembly, standing: Standing) -> None:
    """Raise `CrimpedToAnotherChart` for an end that is not right by the chart as confirmed now.

    It may have been crimped to the issue before. That is as good if the newer one wants the same parts
    and its limits are kept too.
    """
    for at_end in standing.ends:
        crimp, now = at_end.crimp, assembly.specification(at_end.end)
        if crimp is None or crimp.specification_id == now.pk:
            continue
        why = _not_right_by(crimp, now)
        if why:
            old = crimp.specification.chart_issue
            raise CrimpedToAnotherChart(end=at_end.end.value, old=old, now=now.chart_issue, why=why)


def require_cut_as_confirmed(assembly: Assembly) -> None:
    """Raise `CutToAnotherLength` if the line was resolved again to another cut length since."""
    cut, wanted = assembly.cut.length, assembly.resolution.cut_length
    if cut != wanted:
        raise CutToAnotherLength(assembly=assembly, cut=cut, wanted=wanted)


def require_line_stands(assembly: Assembly, now: Proposal) -> None:
    """Raise unless the line comes to the cut length that was confirmed, of parts that still stand.

    Raises `ConfirmedToAnotherLength` and what `require_parts_stand` raises.
    """
    require_parts_stand(assembly, now)
    confirmed = assembly.resolution.cut_length
    if now.cut_length != confirmed:
        raise ConfirmedToAnotherLength(
            assembly=assembly, confirmed=confirmed, now=now.cut_length or Decimal(0)
        )


def require_parts_stand(assembly: Assembly, now: Proposal) -> None:
    """Raise unless the parts are today what they were confirmed as, or better.

    `RatingDoubtful` for a rating that is not confirmed (any more), `NoLongerRight` for parts that the
    order would be refused for today, `RatingLower`, `TemperaturesNarrower`.
    """
    for point in now.open_points:
        if isinstance(point, PartNotRated | RatingNotConfirmed):
            raise RatingDoubtful(why=point.what)
    for refusal in now.refusals:
        if isinstance(refusal, PARTS_NOT_RIGHT):
            raise NoLongerRight(assembly=assembly, why=refusal.what)
    resolution, rating = assembly.resolution, now.rating.pressure
    confirmed = confirmed_rating(resolution)
    if rating is not None and exceeds(confirmed, rating):
        raise RatingLower(assembly=assembly, confirmed=show_rating(confirmed), now=show_rating(rating))
    coldest, hottest = now.temperature_min_c, now.temperature_max_c
    if coldest > resolution.temperature_min_c or hottest < resolution.temperature_max_c:
        raise TemperaturesNarrower(
            assembly=assembly,
            confirmed=temperature_words(resolution.temperature_min_c, resolution.temperature_max_c),
            now=temperature_words(coldest, hottest),
        )


def confirmed_rating(resolution: Resolution) -> Pressure:
    """What the assembly was confirmed to bear, in the unit in which the governing part prints it."""
    return Pressure(Decimal(resolution.rating_value), PressureUnit(resolution.rating_unit))


def temperature_words(coldest_c: int, hottest_c: int) -> str:
    """The range of temperatures, as tags say it."""
    return f"{coldest_c} to {hottest_c} °C"


def _not_right_by(crimp: Crimp, now: CrimpSpecification) -> str:
    """What is wrong with the crimp by that line of a chart; empty if nothing is."""
    changes = [
        change for change in changed_columns(crimp.specification, now) if change.column in SEEN_ON_THE_CRIMP
    ]
    if changes:
        return "; ".join(f"{change.label}: {' → '.join(change.words)}" for change in changes)
    # How many readings it takes was for the day on which they were taken.
    limits = replace(now.limits, readings=1)
    for measured in _measured_for(crimp):
        judgement = judge_sets(counted_sets(measured), limits, policy_in_force())
        if judgement.outcome is not Outcome.PASS:
            return " ".join(judgement.reasons)
    return ""


def _measured_for(crimp: Crimp) -> list[Crimp]:
    """The crimps whose readings count for it: itself, or the pieces before and after it in its run."""
    coverage = crimp.coverages.order_by("entry").last()
    if coverage is None or crimp.measurements.exists():
        return [crimp]
    return [one.crimp for one in (coverage.before, coverage.after) if one is not None]
