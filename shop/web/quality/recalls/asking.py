"""What an act puts in question, as each page shows it where the act is done."""

from dataclasses import dataclass

from shop.trace.in_question import InQuestion, Thing, in_question
from shop.web.quality.recalls.address import address_of


@dataclass(frozen=True)
class Asked:
    """An answer, and the page on which it is looked at and recalled; no address if this is that page."""

    answer: InQuestion
    address: str = ""


def asked_of(thing: Thing) -> list[Asked]:
    """What is in question if that is wrong, for `web/parts/in_question.html`."""
    return [
        Asked(answer, "" if answer.suspicion is None else address_of(answer.suspicion))
        for answer in in_question(thing)
    ]
