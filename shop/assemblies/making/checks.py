"""Whether a thing that was scanned is the right one: each check raises the refusal for it (rule 4)."""

import datetime

from shop.assemblies.models import Assembly, End
from shop.assemblies.refusals import (
    FerruleForAnotherHose,
    FerruleNotWanted,
    GaugeOutOfCalibration,
    GaugeTooCoarse,
    HoseOfAnotherMaker,
    HoseTooOld,
    HoseWithoutDate,
    NoArrangement,
    NotACaliper,
    ToolBlocked,
    WrongCrimper,
    WrongDie,
    WrongFerrule,
    WrongFitting,
    WrongHose,
    WrongStopPart,
)
from shop.catalogue.models import CrimpSpecification, CrimpValues, Hose, StopKind
from shop.core.refusals import Refusal
from shop.engineering.crimp import DecisionRule, gauge_fits
from shop.engineering.dates import last_day_to_fit
from shop.policy.models import Policy
from shop.stock.models import Lot, Piece
from shop.tooling.models import (
    Arrangement,
    Calibration,
    Crimper,
    DieSet,
    Gauge,
    GaugeKind,
    StopPart,
    Tool,
)


def require_piece(piece: Piece, wanted: Hose, policy: Policy, day: datetime.date) -> None:
    """Raise unless the piece is of the very hose that is wanted, and young enough by policy."""
    found = piece.hose
    if found != wanted:
        if found.standard is not None and found.standard == wanted.standard and found.maker != wanted.maker:
            raise HoseOfAnotherMaker(piece=piece, found=found, wanted=wanted, standard=found.standard)
        raise WrongHose(piece=piece, found=found, wanted=wanted)
    made = piece.lot.made
    if made is None:
        if not policy.undated_hose_allowed:
            raise HoseWithoutDate(piece=piece)
    elif policy.hose_age_months is not None:
        last_day = last_day_to_fit(made, policy.hose_age_months, policy.own_quarter_counts)
        if day > last_day:
            raise HoseTooOld(piece=piece, made=made, last_day=last_day, months=policy.hose_age_months)


def require_usable(tool: Tool) -> None:
    """Raise `ToolBlocked` if somebody has blocked it."""
    if not tool.is_usable:
        raise ToolBlocked(tool=tool, reason=tool.blocked_because)


def require_crimper(crimper: Crimper, specification: CrimpValues) -> Arrangement:
    """The arrangement of the crimper for that line; raises if there is none, or it can't be used."""
    require_usable(crimper)
    if crimper.stop_kind != specification.stop_kind:
        raise WrongCrimper(
            crimper=crimper,
            found=crimper.get_stop_kind_display(),
            wanted=specification.get_stop_kind_display(),
        )
    arrangement = Arrangement.objects.filter(
        crimper=crimper, die_type=specification.die_type_id, stop_type=specification.stop_type_id
    ).first()
    if arrangement is None:
        raise NoArrangement(crimper=crimper, die_type=specification.die_type, stop=specification.stop_words)
    return arrangement


def require_die_set(die_set: DieSet, specification: CrimpValues) -> None:
    """Raise unless it is of the chart's die type and may be used."""
    if die_set.die_type_id != specification.die_type_id:
        raise WrongDie(die_set=die_set, found=die_set.die_type, wanted=specification.die_type)
    require_usable(die_set)


def require_stop_part(stop_part: StopPart, specification: CrimpValues) -> None:
    """Raise unless it is of the chart's stop type and may be used."""
    if stop_part.stop_type_id != specification.stop_type_id:
        wanted = specification.stop_type or specification.stop_words
        raise WrongStopPart(stop_part=stop_part, found=stop_part.stop_type, wanted=wanted)
    require_usable(stop_part)


def require_calibrated(gauge: Gauge, day: datetime.date) -> Calibration:
    """The calibration that holds on that day; raises `GaugeOutOfCalibration`."""
    require_usable(gauge)
    holds = gauge.calibration_on(day)
    if holds is None:
        newest = gauge.calibration
        why = "it was never calibrated"
        if newest is not None:
            why = f"it was due on {newest.due_on}" if newest.passed else "it was found unfit for use"
        raise GaugeOutOfCalibration(gauge=gauge, why=why)
    return holds


def require_caliper(
    gauge: Gauge, specification: CrimpValues, policy: Policy, day: datetime.date
) -> Calibration:
    """The caliper's calibration; raises unless it can judge a crimp of that line today (rule 5)."""
    if gauge.kind != GaugeKind.CALIPER:
        raise NotACaliper(gauge=gauge, kind=gauge.get_kind_display())
    calibration = require_calibrated(gauge, day)
    fit = gauge_fits(
        specification.limits,
        calibration.uncertainty,
        DecisionRule(policy.decision_rule),
        policy.gauge_share,
    )
    if not fit.fits:
        raise GaugeTooCoarse(gauge=gauge, why=fit.why)
    return calibration


def require_fitting_lot(lot: Lot, assembly: Assembly, end: End) -> None:
    """Raise unless the lot holds the fitting of that end."""
    if lot.fitting_id != assembly.fitting_id(end):
        raise WrongFitting(lot=lot, found=lot.item, wanted=assembly.fitting(end), end=end.value)


def require_ferrule_lot(lot: Lot, specification: CrimpSpecification) -> None:
    """Raise unless the lot holds the ferrule that the chart names for this hose."""
    if lot.ferrule_id is not None and lot.ferrule_id == specification.ferrule_id:
        return
    found, wanted = lot.ferrule, specification.ferrule
    if wanted is None:
        raise FerruleNotWanted(lot=lot, found=lot.item)
    refusal: type[Refusal] = WrongFerrule
    if found is not None and found.series_id == specification.series_id:
        refusal = FerruleForAnotherHose
    raise refusal(lot=lot, found=lot.item, wanted=wanted, hose=specification.hose)


def stop_value_wanted(specification: CrimpValues) -> bool:
    """Whether the crimper is told by a value, and not by a part."""
    return specification.stop_kind != StopKind.PART
