"""One stroke of the press."""

import datetime
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
    require_stop_part,
)
from shop.assemblies.models import Assembly, Crimp, End, SetUp, lots_of
from shop.assemblies.occasion import Earlier, occasion
from shop.assemblies.points import At, Job, require_ticked
from shop.assemblies.presses import lock_tools
from shop.assemblies.refusals import FerruleMissing, OnlyTheSameParts
from shop.assemblies.sampling import place_in_run, require_set_up_holds
from shop.assemblies.standing import settle
from shop.assemblies.steps import Step, require_step
from shop.authority.models import AuthorisedStep
from shop.authority.services import require_authority
from shop.catalogue.models import CrimpSpecification
from shop.ledger.models import Record
from shop.people.models import User
from shop.people.permissions import Permission
from shop.policy.models import Policy
from shop.stock.models import Lot
from shop.stock.services import require_not_condemned


def crimp_end(
    *,
    actor: User,
    assembly: Assembly,
    end: End,
    fitting_lot: Lot,
    ferrule_lot: Lot | None,
    seen: Sequence[str],
    earlier: Earlier | None = None,
) -> Crimp:
    """Record the crimp of an end, made on the newest set-up for it.

    `seen` are the codes of what the person ticked. Raises `NotTheNextStep` (without a set-up, that comes
    next), `HappenedTooEarly` for an `earlier` one, `ChartMovedOn`, `NotAuthorised`, the refusal of a tool
    that was blocked or fell out of calibration since the set-up, of a wrong or condemned lot, of
    `require_set_up_holds`, `place_in_run` and `require_ticked` (sleeve and guard are on the hose before
    end B), and `OnlyTheSameParts` when crimping again.
    """
    on = occasion(actor, earlier)
    on.require(Permission.MAKE)
    with working_on(assembly):
        standing = require_step(assembly, Step.CRIMP, end)
        now = resolved_today(assembly, on.day)
        require_chart_in_force(assembly, now, end)
        require_cut_as_confirmed(assembly)
        require_line_stands(assembly, now)
        set_up = _newest_set_up(assembly, end)
        lock_tools(set_up)
        if on.is_earlier:
            on.require_after(assembly, _came_before(set_up, fitting_lot, ferrule_lot))
        series = [set_up.specification.series]
        require_authority(on.by, AuthorisedStep.CRIMP, series, set_up.crimper, on=now.day)
        _require_still_right(set_up, now.policy, now.day)
        require_set_up_holds(set_up, on, now.policy)
        specification = set_up.specification
        require_not_condemned(fitting_lot, ferrule_lot)
        require_fitting_lot(fitting_lot, assembly, end)
        require_ferrule(ferrule_lot, specification)
        here = standing.end(end)
        before = here.crimp
        # What was cut off is scrap: the bin that the new fitting comes from may be any that is right.
        if before is not None and here.refit is None:
            _require_same_parts(before, fitting_lot, ferrule_lot)
        place = place_in_run(assembly, end, set_up, (fitting_lot, ferrule_lot), now.policy)
        ticked = require_ticked(At.CRIMP, Job(assembly, now.policy, end, refit=here.refit), seen)
        crimp = on.write(
            verb=verbs.CRIMPED,
            record=Crimp(
                assembly=assembly,
                end=end,
                attempt=1 if before is None else before.attempt + 1,
                set_up=set_up,
                specification=specification,
                fitting_lot=fitting_lot,
                ferrule_lot=ferrule_lot,
                seen=ticked,
                sampling=place.sampling,
                first_piece=place.first_piece,
            ),
            subject=assembly,
        )
        settle(assembly)
        return crimp


def _newest_set_up(assembly: Assembly, end: End) -> SetUp:
    """The newest set-up of the run for that end: without one, setting up would be the next step."""
    set_ups = SetUp.objects.select_related("entry", "specification__series", "gauge")
    return set_ups.filter(run=assembly.run_id, end=end).latest("entry")


def _came_before(set_up: SetUp, *lots: Lot | None) -> dict[str, Record | None]:
    """What there is before a crimp on that set-up, with the crimp that was made on it last."""
    return {
        "the crimper was set up": set_up,
        "the crimp before it on that set-up": set_up.crimps.order_by("entry__happened_at").last(),
        **{f"{lot} came in": lot for lot in lots},
    }


def _require_still_right(set_up: SetUp, policy: Policy, day: datetime.date) -> None:
    specification = set_up.specification
    require_crimper(set_up.crimper, specification)
    require_die_set(set_up.die_set, specification)
    if set_up.stop_part is not None:
        require_stop_part(set_up.stop_part, specification)
    require_caliper(set_up.gauge, specification, policy, day)


def require_ferrule(ferrule_lot: Lot | None, specification: CrimpSpecification) -> None:
    """Raise `FerruleMissing`, or the refusal of a wrong lot."""
    if ferrule_lot is not None:
        require_ferrule_lot(ferrule_lot, specification)
    elif specification.ferrule is not None:
        raise FerruleMissing(wanted=specification.ferrule)


def _require_same_parts(before: Crimp, fitting_lot: Lot, ferrule_lot: Lot | None) -> None:
    fitting, ferrule = lots_of(before)
    if (fitting_lot, ferrule_lot) != (fitting, ferrule):
        raise OnlyTheSameParts(fitting_lot=fitting, ferrule_lot=f" and {ferrule}" if ferrule else "")
