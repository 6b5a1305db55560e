"""How many crimps each tool has made, and whether it is to be looked at before the next (rule 4).

Uses are counted from the crimps themselves. A check that found the tool fit starts its count anew. What is
due is asked at the set-up: a run that was begun on a set-up is not stopped in the middle.
"""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db import transaction
from django.db.models import Count, F, IntegerField, Min, OuterRef, QuerySet, Subquery, Value
from django.db.models.functions import Coalesce

from shop.assemblies.models import Crimp
from shop.assemblies.refusals import ToolCheckDue
from shop.ledger.services import save_noted, write_record
from shop.people.access import require
from shop.people.models import User
from shop.people.permissions import Permission
from shop.policy.services import today
from shop.tooling import verbs
from shop.tooling.models import Crimper, DieSet, StopPart, ToolCheck, WornTool
from shop.tooling.photos import keep_photo

# What a set-up and a check call each kind of tool.
ROLES: dict[type[WornTool], str] = {Crimper: "crimper", DieSet: "die_set", StopPart: "stop_part"}


@dataclass(frozen=True)
class Wear:
    """What a tool has done so far. `good_check` is the newest check that found it fit."""

    tool: WornTool
    uses: int
    since: datetime | None
    good_check: ToolCheck | None

    @property
    def since_check(self) -> int:
        """Crimps since it was last found fit, or ever."""
        return self.uses - (0 if self.good_check is None else self.good_check.uses)

    @property
    def left(self) -> int | None:
        """Crimps until the next check, nought if it is due; None if none is asked for by use."""
        every = self.tool.check_every_uses
        return None if every is None else max(every - self.since_check, 0)

    @property
    def is_due(self) -> bool:
        """Whether it has to be looked at before it is put in a crimper again."""
        return self.left == 0


def wear_of(tool: WornTool) -> Wear:
    """The tool's uses and its newest good check, in two queries."""
    made = crimps_on(tool).aggregate(uses=Count("pk"), since=Min("entry__happened_at"))
    good = checks_of(tool).filter(passed=True).select_related("entry").order_by("-entry").first()
    return Wear(tool, made["uses"], made["since"], good)


def crimps_on(tool: WornTool) -> QuerySet[Crimp]:
    """Every crimp that was made with the tool."""
    return Crimp.objects.filter((f"set_up__{ROLES[type(tool)]}", tool))


def checks_of(tool: WornTool) -> QuerySet[ToolCheck]:
    """Every time that somebody looked at the tool."""
    return ToolCheck.objects.filter((ROLES[type(tool)], tool))


def with_wear(tools: QuerySet[Any]) -> QuerySet[Any]:
    """The tools with `uses` and `since_check`, both counted as `wear_of` does."""
    role = ROLES[tools.model]
    made = Crimp.objects.filter((f"set_up__{role}", OuterRef("pk"))).order_by()
    made = made.values(f"set_up__{role}").annotate(count=Count("pk"))
    good = ToolCheck.objects.filter((role, OuterRef("pk")), passed=True).order_by("-entry")
    counted = tools.annotate(uses=_whole(made.values("count")), uses_then=_whole(good.values("uses")[:1]))
    found: QuerySet[Any] = counted.annotate(since_check=F("uses") - F("uses_then"))
    return found


def due_for_a_check(tools: QuerySet[Any]) -> QuerySet[Any]:
    """Those of `with_wear` that have to be looked at before they are put in a crimper again."""
    return tools.filter(blocked_because="", check_every_uses__lte=F("since_check"))


def require_checked(tool: WornTool) -> None:
    """Raise `ToolCheckDue` if it has made as many crimps as are allowed between two checks."""
    if tool.check_every_uses is None:
        return
    wear = wear_of(tool)
    if wear.is_due:
        raise ToolCheckDue(tool=tool, uses=wear.since_check, every=tool.check_every_uses)


@transaction.atomic
def record_tool_check(
    *, actor: User, tool: WornTool, passed: bool, condition: str, photo: bytes | None = None
) -> ToolCheck:
    """Record what somebody saw who looked at the tool; one that is not fit is blocked by that.

    `photo` is an image file as it came from a camera. Raises `NotAPhoto`.
    """
    require(actor, Permission.KEEP_TOOLS)
    tool = type(tool)._default_manager.select_for_update(no_key=True).get(pk=tool.pk)
    check = ToolCheck(
        uses=crimps_on(tool).count(),
        passed=passed,
        photo_sha256="" if photo is None else keep_photo(photo),
    )
    setattr(check, ROLES[type(tool)], tool)
    if not passed and tool.is_usable:
        tool.blocked_because = f"not fit for use when it was looked at on {today()}"
        save_noted(actor=actor, verb=verbs.BLOCKED, instance=tool)
    return write_record(
        actor=actor,
        verb=verbs.TOOL_CHECKED,
        record=check,
        subject=tool,
        private={"condition": condition},
    )


def _whole(counted: QuerySet[Any, Any]) -> Coalesce:
    return Coalesce(Subquery(counted, output_field=IntegerField()), Value(0))
