"""What is in a press now: one set-up holds there, and a die set lies in one press.

Two benches may share a press, or its tools. Whoever sets up takes the tools from the set-up before, which
ends there (rule 4), unless the same person left them just as they were. What counts is when it happened: a
set-up that is written down later ends none that was made after it.
"""

from typing import TypeVar

from django.db.models import Q
from django.db.models.functions import Coalesce

from shop.assemblies.models import SetUp
from shop.assemblies.occasion import Occasion
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


def require_still_together(set_up: SetUp, on: Occasion) -> None:
    """Raise `SetUpTakenApart` if the press, the dies or the stop were set up otherwise before that."""
    later = _taken_by(set_up, on)
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


def _taken_by(set_up: SetUp, on: Occasion) -> SetUp | None:
    """The last set-up that has taken a tool of that one by then, other than by its own person to the same."""
    began = set_up.happened_at
    came_after = Q(entry__happened_at__gt=began) | Q(entry__happened_at=began, entry__gt=set_up.pk)
    on_its_tools = Q(crimper=set_up.crimper_id) | Q(die_set=set_up.die_set_id)
    if set_up.stop_part_id is not None:
        on_its_tools |= Q(stop_part=set_up.stop_part_id)
    # What is recorded as it happens comes after all that there is, whatever the clock said as it began.
    by_then = Q(entry__happened_at__lte=on.at) if on.is_earlier else Q()
    return (
        SetUp.objects.filter(on_its_tools, came_after, by_then)
        .annotate(by=Coalesce("entry__done_by", "entry__actor_number"))
        .exclude(
            by=set_up.actor_number,
            crimper=set_up.crimper_id,
            die_set=set_up.die_set_id,
            stop_part=set_up.stop_part_id,
            stop_setting=set_up.stop_setting,
        )
        .select_related("entry", "crimper", "die_set", "stop_part", "run__line__order")
        .order_by("entry__happened_at", "entry")
        .last()
    )


def _tools(set_up: SetUp) -> tuple[WornTool, ...]:
    return tuple(tool for tool in (set_up.crimper, set_up.die_set, set_up.stop_part) if tool is not None)


def _locked(kind: type[Tool], pk: int) -> Tool:
    tool: Tool = kind._default_manager.select_for_update(no_key=True).get(pk=pk)
    return tool
