"""The names behind staff numbers, for showing what the ledger knows by number only."""

from collections.abc import Iterable

from shop.core.prepared import Prepared
from shop.ledger.actors import PROGRAM_NUMBER
from shop.people.models import User

_USERS = Prepared(
    lambda numbers: User.objects.filter(number__in=numbers).order_by().only("number", "name", "code")
)


def names_of(numbers: Iterable[int]) -> dict[int, str]:
    """A name for each of the numbers, in one query; who was erased or is unknown is shown by number."""
    wanted = set(numbers)
    known = {user.number: user.name for user in _USERS.ask([PROGRAM_NUMBER, *wanted])}
    known[PROGRAM_NUMBER] = "the program"
    return {number: known.get(number, f"number {number}") for number in wanted}
