"""The names behind staff numbers, for showing what the ledger knows by number only."""

from collections.abc import Iterable

from shop.ledger.actors import PROGRAM_NUMBER
from shop.people.models import User


def names_of(numbers: Iterable[int]) -> dict[int, str]:
    """A name for each of the numbers, in one query; who was erased or is unknown is shown by number."""
    wanted = set(numbers)
    known = dict(User.objects.filter(number__in=wanted).values_list("number", "name"))
    known[PROGRAM_NUMBER] = "the program"
    return {number: known.get(number, f"number {number}") for number in wanted}
