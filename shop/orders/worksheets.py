"""Worksheets that are kept with an order line. They prescribe nothing: the resolution does."""

from collections.abc import Collection, Iterable

from django.db import transaction
from django.db.models import QuerySet

from shop.ledger.services import write_record
from shop.orders import verbs
from shop.orders.models import AttachedWorksheet, OrderLine, WorksheetRemoval
from shop.orders.refusals import (
    LineCancelled,
    WorksheetAttachedBefore,
    WorksheetNotWorkedOut,
    WorksheetTakenOffBefore,
)
from shop.people.access import require
from shop.people.models import User
from shop.people.permissions import Permission


def attached_to(line: OrderLine) -> QuerySet[AttachedWorksheet]:
    """The worksheets of the line that were not taken off, in the order in which they came."""
    return attached_to_any([line])


def attached_to_any(lines: Collection[OrderLine]) -> QuerySet[AttachedWorksheet]:
    """Those of any of the lines, in the order in which they came."""
    return AttachedWorksheet.objects.filter(line__in=lines, removal=None).order_by("entry")


@transaction.atomic
def attach_worksheet(
    *, actor: User, line: OrderLine, worksheet: str, typed: Iterable[tuple[str, str]], says: str
) -> AttachedWorksheet:
    """Keep a worksheet with a line, confirmed or not: what was typed, and its answer of today.

    `worksheet` is its name in addresses, `typed` each question with its answer, `says` what it came to;
    empty if it came to nothing. Raises `WorksheetNotWorkedOut`, `LineCancelled`,
    `WorksheetAttachedBefore`.
    """
    require(actor, Permission.WRITE_ORDERS)
    answers = [list(pair) for pair in typed]
    there = OrderLine.objects.select_for_update(no_key=True).get(pk=line.pk)
    if there.cancelled:
        raise LineCancelled(line=line)
    if not says:
        raise WorksheetNotWorkedOut
    if any(before.typed == answers for before in attached_to(line).filter(worksheet=worksheet)):
        raise WorksheetAttachedBefore(line=line)
    return write_record(
        actor=actor,
        verb=verbs.WORKSHEET_ATTACHED,
        record=AttachedWorksheet(line=line, worksheet=worksheet, typed=answers, says=says),
        subject=line,
    )


@transaction.atomic
def take_worksheet_off(*, actor: User, attached: AttachedWorksheet) -> WorksheetRemoval:
    """Let an attached worksheet count no more; the ledger keeps it. Raises `WorksheetTakenOffBefore`."""
    require(actor, Permission.WRITE_ORDERS)
    line = OrderLine.objects.select_for_update(no_key=True).get(pk=attached.line_id)
    if not attached_to(line).filter(pk=attached.pk).exists():
        raise WorksheetTakenOffBefore(line=line)
    return write_record(
        actor=actor,
        verb=verbs.WORKSHEET_REMOVED,
        record=WorksheetRemoval(attached=attached),
        subject=line,
    )
