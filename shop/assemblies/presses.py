"""What is in a press now: one set-up holds there, and a die set lies in one press.

Two benches may share a press, or its tools. Whoever sets up takes the tools from the set-up before, which
ends there (rule 4), unless the same person left them just as they were.
"""

from typing import TypeVar

from django.db.models import Q

from shop.assemblies.models import SetUp
from shop.assemblies.refusals import SetUpTakenApart
from shop.people.names import names_of
from shop.tooling.models import Crimper, DieSet, StopPart, WornTool

Tool = TypeVar("Tool", bound=WornTool)


def lock_tools(set_up: SetUp) -> None:
    """Have the tools of a set-up to oneself until the transaction ends, each as it is now."""
    set_up.crimper = _locked(Crimper, set_up.crimper_id)
    set_up.die_set = _locked(DieSet, set_up.die_set_id)
    if set_up.stop_part_id is not None:
        set_up.stop_part = _locked(StopPart, set_up.stop_part_id)


def require_still_together(set_up: SetUp) -> None:
    """Raise `SetUpTakenApart` if the press, the dies or the stop were set up otherwise since."""
    later = _taken_by(set_up)
    if later is None:
        return
    taken = next(tool for tool in (later.crimper, later.die_set, later.stop_part) if tool in _tools(set_up))
    raise SetUpTakenApart(
        name=names_of([later.actor_number])[later.actor_number],
        taken=taken if taken == later.crimper else f"{taken} in {later.crimper}",
        run=later.run,
        at=later.end,
        end=set_up.end,
    )


def _taken_by(set_up: SetUp) -> SetUp | None:
    """The newest set-up that has taken a tool of that one since, other than by its own person to the same."""
    on_its_tools = Q(crimper=set_up.crimper_id) | Q(die_set=set_up.die_set_id)
    if set_up.stop_part_id is not None:
        on_its_tools |= Q(stop_part=set_up.stop_part_id)
    return (
        SetUp.objects.filter(on_its_tools, entry__gt=set_up.pk)
        .exclude(
            entry__actor_number=set_up.actor_number,
            crimper=set_up.crimper_id,
            die_set=set_up.die_set_id,
            stop_part=set_up.stop_part_id,
            stop_setting=set_up.stop_setting,
        )
        .select_related("entry", "crimper", "die_set", "stop_part", "run__line__order")
        .order_by("entry")
        .last()
    )


def _tools(set_up: SetUp) -> tuple[WornTool, ...]:
    return tuple(tool for tool in (set_up.crimper, set_up.die_set, set_up.stop_part) if tool is not None)


def _locked(kind: type[Tool], pk: int) -> Tool:
    tool: Tool = kind._default_manager.select_for_update(no_key=True).get(pk=pk)
    return tool
