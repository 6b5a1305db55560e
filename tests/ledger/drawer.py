"""A drawer with a history, and somebody who goes behind the program's back."""

from decimal import Decimal
from typing import Any

from django.db import connection, transaction

from shop.ledger import triggers
from shop.ledger.services import note, save_noted, write_record
from shop.people.models import User
from tests.ledger.testapp import verbs
from tests.ledger.testapp.models import Loss, Tool, Wear


def keep(actor: User, mark: str = "T1") -> Tool:
    """Enter a tool in the drawer's list."""
    return save_noted(actor=actor, verb=verbs.KEPT, instance=Tool(mark=mark, bore=Decimal("24.5")))


@transaction.atomic
def look(actor: User, tool: Tool, attempt: int, *, last: bool = False) -> Wear:
    """Look at the tool once more."""
    wear = Wear(tool=tool, attempt=attempt, bore=Decimal("24.5") + attempt, last=last)
    return write_record(actor=actor, verb=verbs.WORN, record=wear, subject=tool)


@transaction.atomic
def fill_drawer(actor: User) -> Tool:
    """Entry 1 keeps a tool, 2 turns it over, 3 to 14 look at it (attempts 1 to 12), 15 loses it."""
    tool = keep(actor)
    note(actor=actor, verb=verbs.TURNED, subject=tool, private={"remark": "Lent to Ada"})
    for attempt in range(1, 13):
        look(actor, tool, attempt)
    write_record(actor=actor, verb=verbs.LOST, record=Loss(tool=tool))
    return tool


def behind_the_back(sql: str, *parameters: Any) -> None:
    """Run SQL with the triggers taken away and put back, as somebody with the database's password can."""
    connection.check_constraints()  # PostgreSQL alters no table while a foreign key waits to be checked
    triggers.remove(connection)
    with connection.cursor() as cursor:
        cursor.execute(sql, parameters or None)
    triggers.install(connection)
