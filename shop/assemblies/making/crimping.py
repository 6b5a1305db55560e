"""One stroke of the press."""

from collections.abc import Sequence

from django.utils import timezone

from shop.assemblies import verbs
from shop.assemblies.acting import working_on
from shop.assemblies.as_confirmed import (
    require_chart_in_force,
    require_cut_as_confirmed,
    require_line_stands,
)
from shop.assemblies.making.checks import (
    require_caliper,
    require_crimper,
    require_die_set,
    require_ferrule_lot,
    require_fitting_lot,
    require_stop_part,
)
from shop.assemblies.models import Assembly, Crimp, End, SetUp
from shop.assemblies.presses import lock_tools
from shop.assemblies.refusals import FerruleMissing, OnlyTheSameParts
from shop.assemblies.sampling import place_in_run, require_set_up_holds
from shop.assemblies.standing import settle, standing_of
from shop.assemblies.steps import Step, newest_set_up, require_step
from shop.authority.models import AuthorisedStep
from shop.authority.services import require_authority
from shop.catalogue.models import CrimpSpecification
from shop.ledger.services import write_record
from shop.people.access import require
from shop.people.models import User
from shop.people.permissions import Permission
from shop.policy.services import policy_on, today
from shop.stock.models import Lot


def crimp_end(
    *,
    actor: User,
    assembly: Assembly,
    end: End,
    fitting_lot: Lot,
    ferrule_lot: Lot | None,
    seen: Sequence[str],
) -> Crimp:
    """Record the crimp of an end, made on the newest set-up for it.

    `seen` is what the person ticked. Raises `NotTheNextStep` (without a set-up, that comes next),
    `ChartMovedOn`, `NotAuthorised`, the refusal of a tool that was blocked or fell out of calibration since
    the set-up, of a wrong lot, of `require_set_up_holds` and `place_in_run`, and `OnlyTheSameParts` when
    crimping again.
    """
    require(actor, Permission.MAKE)
    with working_on(assembly):
        require_step(assembly, Step.CRIMP, end)
        require_chart_in_force(assembly, end)
        require_cut_as_confirmed(assembly)
        require_line_stands(assembly)
        set_up = newest_set_up(assembly, end)
        assert set_up is not None, "without one, setting up would be the next step"
        lock_tools(set_up)
        require_authority(actor, AuthorisedStep.CRIMP, [set_up.specification.series], set_up.crimper)
        _require_still_right(set_up)
        policy = policy_on(today())
        require_set_up_holds(set_up, actor, policy, timezone.now())
        specification = assembly.specification(end)
        require_fitting_lot(fitting_lot, assembly, end)
        _require_ferrule(ferrule_lot, specification)
        before = standing_of(assembly).end(end).crimp
        if before is not None:
            _require_same_parts(before, fitting_lot, ferrule_lot)
        place = place_in_run(assembly, end, set_up, (fitting_lot, ferrule_lot), policy)
        crimp = write_record(
            actor=actor,
            verb=verbs.CRIMPED,
            record=Crimp(
                assembly=assembly,
                end=end,
                attempt=1 if before is None else before.attempt + 1,
                set_up=set_up,
                specification=specification,
                fitting_lot=fitting_lot,
                ferrule_lot=ferrule_lot,
                seen=list(seen),
                sampling=place.sampling,
                first_piece=place.first_piece,
            ),
            subject=assembly,
        )
        settle(assembly)
        return crimp


def _require_still_right(set_up: SetUp) -> None:
    specification = set_up.specification
    require_crimper(set_up.crimper, specification)
    require_die_set(set_up.die_set, specification)
    if set_up.stop_part is not None:
        require_stop_part(set_up.stop_part, specification)
    require_caliper(set_up.gauge, specification, policy_on(today()), today())


def _require_ferrule(ferrule_lot: Lot | None, specification: CrimpSpecification) -> None:
    if ferrule_lot is not None:
        require_ferrule_lot(ferrule_lot, specification)
    elif specification.ferrule is not None:
        raise FerruleMissing(wanted=specification.ferrule)


def _require_same_parts(before: Crimp, fitting_lot: Lot, ferrule_lot: Lot | None) -> None:
    if (fitting_lot, ferrule_lot) != (before.fitting_lot, before.ferrule_lot):
        raise OnlyTheSameParts(
            fitting_lot=before.fitting_lot,
            ferrule_lot=f" and {before.ferrule_lot}" if before.ferrule_lot is not None else "",
        )
