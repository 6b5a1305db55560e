"""Keeping crimpers, die sets, stop parts, gauges and arrangements."""

from collections.abc import Sequence

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
    Crimper,
    DieSet,
    Gauge,
    StopPart,
    WornTool,
)
from shop.tooling.refusals import BlockedAlready, CalibrationNotDoneYet


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

    Raises `CalibrationNotDoneYet`.
    """
    require(actor, Permission.CALIBRATE)
    if calibration.done_on > today():
        raise CalibrationNotDoneYet(day=calibration.done_on)
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
