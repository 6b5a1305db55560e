"""Putting the tooling together, part by part, before the press moves."""

from collections.abc import Sequence

from shop.assemblies import verbs
from shop.assemblies.acting import working_on
from shop.assemblies.as_confirmed import (
    require_chart_in_force,
    require_cut_as_confirmed,
    require_line_stands,
    resolved_today,
)
from shop.assemblies.making.checks import (
    require_caliper,
    require_crimper,
    require_die_set,
    require_ferrule_lot,
    require_fitting_lot,
    require_piece,
    require_stop_part,
    stop_value_wanted,
)
from shop.assemblies.models import Assembly, End, SetUp
from shop.assemblies.occasion import Earlier, occasion
from shop.assemblies.presses import lock_tools
from shop.assemblies.refusals import (
    ArrangementNotComplete,
    NotForThisJob,
    StopPartMissing,
    StopPartNotWanted,
    StopSettingMissing,
    StopSettingNotWanted,
)
from shop.assemblies.steps import Step, newest_set_up, require_step
from shop.assemblies.wear import require_checked
from shop.authority.models import AuthorisedStep
from shop.authority.services import require_authority
from shop.catalogue.models import CrimpSpecification
from shop.people.models import User
from shop.people.permissions import Permission
from shop.policy.services import policy_on, today
from shop.stock.models import Lot, Piece
from shop.stock.services import require_not_condemned
from shop.tooling.models import Arrangement, Crimper, DieSet, Gauge, StopPart


def set_up(
    *,
    actor: User,
    assembly: Assembly,
    end: End,
    crimper: Crimper,
    die_set: DieSet,
    stop_part: StopPart | None,
    stop_setting: str,
    gauge: Gauge,
    seen: Sequence[str],
    earlier: Earlier | None = None,
) -> SetUp:
    """State what is in the crimper for this end, and which caliper will judge it.

    `seen` are the `arrangement_points` that were ticked: all of them. Raises `NotAuthorised`, for an
    `earlier` one `HappenedTooEarly`, and the refusal of the first thing that is wrong; a set-up may be
    stated again until the press has moved.
    """
    on = occasion(actor, earlier)
    on.require(Permission.MAKE)
    with working_on(assembly):
        require_step(assembly, Step.SET_UP, end)
        if on.is_earlier:
            on.require_after(assembly, {"the crimper was set up last": newest_set_up(assembly, end)})
        now = resolved_today(assembly, on.day)
        require_chart_in_force(assembly, now, end)
        require_cut_as_confirmed(assembly)
        require_line_stands(assembly, now)
        specification = assembly.specification(end)
        require_authority(on.by, AuthorisedStep.SET_UP, [specification.series], crimper, on=now.day)
        made = SetUp(
            run=assembly.run,
            end=end,
            specification=specification,
            crimper=crimper,
            die_set=die_set,
            stop_part=stop_part,
            stop_setting=stop_setting.strip(),
            gauge=gauge,
            seen=list(seen),
        )
        lock_tools(made)
        made.machine_offset = made.crimper.offset
        made.arrangement = require_crimper(made.crimper, specification)
        require_die_set(made.die_set, specification)
        _require_stop(made.stop_part, made.stop_setting, specification)
        for tool in (made.crimper, made.die_set, made.stop_part):
            if tool is not None:
                require_checked(tool)
        made.calibration = require_caliper(gauge, specification, now.policy, now.day)
        missing = [point for point in arrangement_points(made.arrangement) if point not in seen]
        if missing:
            raise ArrangementNotComplete(missing="; ".join(missing))
        return on.write(verb=verbs.SET_UP, record=made, subject=assembly)


def find_arrangement(*, assembly: Assembly, end: End, crimper: Crimper) -> Arrangement:
    """What goes into that crimper for this end; raises `ToolBlocked`, `WrongCrimper`, `NoArrangement`."""
    return require_crimper(crimper, assembly.specification(end))


def arrangement_points(arrangement: Arrangement) -> tuple[str, ...]:
    """What a person has to see in the crimper, in order: each part as it goes in, what is taken out."""
    put_in = [
        ", ".join(words for words in (f"{part.position}. {part.role}", part.mark, part.attitude) if words)
        for part in arrangement.parts.all()
    ]
    return (*put_in, *(f"taken out: {item}" for item in arrangement.taken_out))


def check_tool(*, assembly: Assembly, end: End, thing: object) -> str:
    """The role that a scanned thing fills at this end; raises its refusal if it is the wrong one.

    Roles: 'crimper', 'die set', 'stop part', 'caliper', 'fittings', 'ferrules', 'piece'. Raises
    `NotForThisJob` for a thing of another kind.
    """
    specification = assembly.specification(end)
    match thing:
        case Crimper():
            require_crimper(thing, specification)
            require_checked(thing)
            return "crimper"
        case DieSet():
            require_die_set(thing, specification)
            require_checked(thing)
            return "die set"
        case StopPart():
            if stop_value_wanted(specification):
                raise StopPartNotWanted(stop_part=thing, wanted=specification.stop_words)
            require_stop_part(thing, specification)
            require_checked(thing)
            return "stop part"
        case Gauge():
            require_caliper(thing, specification, policy_on(today()), today())
            return "caliper"
        case Piece():
            require_not_condemned(thing.lot)
            require_piece(thing, assembly.resolution.hose, policy_on(today()), today())
            return "piece"
        case Lot():
            require_not_condemned(thing)
            return _check_lot(assembly, end, thing)
    raise NotForThisJob(
        thing=thing, wanted="Scan the crimper, its dies and stop, the caliper, or the bins you take from."
    )


def _check_lot(assembly: Assembly, end: End, lot: Lot) -> str:
    if lot.hose_id is not None:
        raise NotForThisJob(thing=lot, wanted="Scan the label on the piece of hose itself.")
    if lot.ferrule_id is not None:
        require_ferrule_lot(lot, assembly.specification(end))
        return "ferrules"
    require_fitting_lot(lot, assembly, end)
    return "fittings"


def _require_stop(stop_part: StopPart | None, stop_setting: str, specification: CrimpSpecification) -> None:
    if stop_value_wanted(specification):
        if stop_part is not None:
            raise StopPartNotWanted(stop_part=stop_part, wanted=specification.stop_words)
        if not stop_setting:
            raise StopSettingMissing(wanted=specification.stop_setting)
        return
    if stop_part is None:
        raise StopPartMissing(wanted=specification.stop_type)
    require_stop_part(stop_part, specification)
    if stop_setting:
        raise StopSettingNotWanted(wanted=specification.stop_type)
