"""Keeping crimpers, die sets, stop parts, gauges and arrangements."""

from collections.abc import Sequence
from decimal import Decimal

from django.db import transaction

from shop.engineering.numbers import plain
from shop.ledger.services import note, save_noted, write_record
from shop.people.access import require
from shop.people.models import User
from shop.people.permissions import Permission
from shop.policy.services import today
from shop.tooling import verbs
from shop.tooling.models import (
    Arrangement,
    ArrangementPart,
    Calibration,
    CheckPiece,
    Crimper,
    DieSet,
    Gauge,
    GaugeCheck,
    StopPart,
    WornTool,
)
from shop.tooling.refusals import (
    BlockedAlready,
    CalibrationNotDoneYet,
    CheckPieceBlocked,
    CheckPieceTooCoarse,
    FarFromCheckPiece,
    NoPermittedError,
)

FINER = 3  # a piece's uncertainty in a gauge's permitted error: common practice, no source
FAR_OFF = 10  # permitted errors from which a reading is asked about: common practice, no source


@transaction.atomic
def save_crimper(*, actor: User, crimper: Crimper) -> Crimper:
    """Add, change or block a crimper."""
    require(actor, Permission.KEEP_TOOLS)
    return save_noted(actor=actor, verb=verbs.CRIMPER_SAVED, instance=crimper)


@transaction.atomic
def save_die_set(*, actor: User, die_set: DieSet) -> DieSet:
    """Add, change or block a die set."""
    require(actor, Permission.KEEP_TOOLS)
    return save_noted(actor=actor, verb=verbs.DIE_SET_SAVED, instance=die_set)


@transaction.atomic
def save_stop_part(*, actor: User, stop_part: StopPart) -> StopPart:
    """Add, change or block a stop part."""
    require(actor, Permission.KEEP_TOOLS)
    return save_noted(actor=actor, verb=verbs.STOP_PART_SAVED, instance=stop_part)


@transaction.atomic
def save_gauge(*, actor: User, gauge: Gauge) -> Gauge:
    """Add, change or block a gauge."""
    require(actor, Permission.KEEP_TOOLS)
    return save_noted(actor=actor, verb=verbs.GAUGE_SAVED, instance=gauge)


@transaction.atomic
def save_check_piece(*, actor: User, piece: CheckPiece) -> CheckPiece:
    """Add, change or block a check piece. What was read on it before stands as it was."""
    require(actor, Permission.CALIBRATE)
    return save_noted(actor=actor, verb=verbs.CHECK_PIECE_SAVED, instance=piece)


@transaction.atomic
def check_gauge(
    *, actor: User, gauge: Gauge, piece: CheckPiece, reading: Decimal, sure: frozenset[str] = frozenset()
) -> GaugeCheck:
    """Record what a gauge reads on a check piece (mm); one that is not proven right is blocked by that.

    It is right if the deviation and the piece's own uncertainty together are within the permitted error: what
    is not known counts against the gauge. Raises `CheckPieceBlocked`, `NoPermittedError`,
    `CheckPieceTooCoarse`, and the doubt `FarFromCheckPiece`.
    """
    require(actor, Permission.KEEP_TOOLS)
    gauge = Gauge.objects.select_for_update(no_key=True).get(pk=gauge.pk)
    permitted = _require_checkable(gauge, piece)
    deviation = abs(reading - piece.nominal)
    doubt = FarFromCheckPiece(reading=plain(reading), piece=piece, nominal=plain(piece.nominal))
    if deviation > FAR_OFF * permitted and doubt.code not in sure:
        raise doubt
    passed = deviation + piece.uncertainty <= permitted
    if not passed and gauge.is_usable:
        gauge.blocked_because = f"read {plain(reading)} mm on {piece}, which is {plain(piece.nominal)} mm"
        save_noted(actor=actor, verb=verbs.BLOCKED, instance=gauge)
    return write_record(
        actor=actor,
        verb=verbs.GAUGE_CHECKED,
        record=GaugeCheck(
            gauge=gauge,
            piece=piece,
            reading=reading,
            nominal=piece.nominal,
            piece_uncertainty=piece.uncertainty,
            permitted_error=permitted,
            passed=passed,
        ),
        subject=gauge,
    )


def _require_checkable(gauge: Gauge, piece: CheckPiece) -> Decimal:
    """The gauge's permitted error, if the piece can tell whether it is kept."""
    if not piece.is_usable:
        raise CheckPieceBlocked(piece=piece, reason=piece.blocked_because)
    permitted: Decimal | None = gauge.permitted_error
    if permitted is None:
        raise NoPermittedError(gauge=gauge)
    if piece.uncertainty * FINER > permitted:
        uncertainty = plain(piece.uncertainty)
        raise CheckPieceTooCoarse(piece=piece, uncertainty=uncertainty, permitted=plain(permitted))
    return permitted


@transaction.atomic
def report_damage(*, actor: User, tool: WornTool, what: str) -> WornTool:
    """Take a tool out of use at once because it was found damaged. Raises `BlockedAlready`.

    `what` was found stands where it is told why the tool may not be used. What it has made since it was
    last found fit is `shop.trace.made_with`'s to say.
    """
    require(actor, Permission.KEEP_TOOLS)
    tool = type(tool)._default_manager.select_for_update(no_key=True).get(pk=tool.pk)
    if not tool.is_usable:
        raise BlockedAlready(tool=tool, reason=tool.blocked_because)
    tool.blocked_because = what
    return save_noted(actor=actor, verb=verbs.BLOCKED, instance=tool)


@transaction.atomic
def record_calibration(*, actor: User, calibration: Calibration) -> Calibration:
    """Record what a gauge read against a standard; from then on this calibration is the one that counts.

    If it tells what the uncertainty of a reading comes from, the expanded uncertainty is worked out from that
    and from the gauge's resolution as it is now. Raises `CalibrationNotDoneYet`.
    """
    require(actor, Permission.CALIBRATE)
    if calibration.done_on > today():
        raise CalibrationNotDoneYet(day=calibration.done_on)
    if calibration.certificate_uncertainty is not None:
        calibration.resolution_then = calibration.gauge.resolution
    budget = calibration.budget
    if budget is not None:
        calibration.expanded_uncertainty = budget.expanded_mm
    return write_record(
        actor=actor, verb=verbs.GAUGE_CALIBRATED, record=calibration, subject=calibration.gauge
    )


@transaction.atomic
def save_arrangement(
    *, actor: User, arrangement: Arrangement, parts: Sequence[ArrangementPart]
) -> Arrangement:
    """Write what must be in a crimper together, in this order. `parts` are all of them, unsaved."""
    require(actor, Permission.KEEP_TOOLS)
    save_noted(actor=actor, verb=verbs.ARRANGEMENT_SAVED, instance=arrangement)
    arrangement.parts.all().delete()
    for position, part in enumerate(parts, start=1):
        part.pk, part.arrangement, part.position = None, arrangement, position
        part.full_clean()
        part.save()
    note(
        actor=actor,
        verb=verbs.ARRANGEMENT_SAVED,
        subject=arrangement,
        facts={"parts": [_typed(part) for part in parts]},
    )
    return arrangement


def _typed(part: ArrangementPart) -> dict[str, str]:
    """What the ledger tells of a part: its words, and the measures that were typed."""
    measures = {
        "thickness": part.thickness,
        "outside": part.outside_diameter,
        "opening": part.bore,
    }
    typed = {name: f"{plain(mm)} mm" for name, mm in measures.items() if mm is not None}
    scanned = {"scanned": part.get_tool_display()} if part.tool else {}
    return {"role": part.role, "mark": part.mark, "attitude": part.attitude} | typed | scanned
