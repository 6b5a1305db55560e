"""What an act puts in question, asked in the same way of each: which assemblies, where they are, and whose.

A chart line withdrawn, a lot condemned, a tool damaged, an authority ended, a gauge found wrong: whoever
does it sees the answer where it is done, before and after.
"""

import datetime
from collections.abc import Iterator
from dataclasses import dataclass

from django.db.models import QuerySet

from shop.assemblies.models import Assembly
from shop.authority.models import AuthorisedStep, Authority
from shop.catalogue.models import ChartIssue, CrimpSpecification
from shop.policy.services import today
from shop.stock.models import Lot
from shop.tooling.models import WornTool
from shop.trace.links import LINKS, Deed, links_to
from shop.trace.made_with import morning_of, span_before
from shop.trace.recalling import Concerned, Whereabouts, customers_of, whereabouts_of_all
from shop.trace.suspicion import Suspicion, Window

Thing = Lot | ChartIssue | CrimpSpecification | WornTool | Authority

# By which link what a person did under an authority for that step leads to assemblies.
DONE_UNDER = {
    AuthorisedStep.SET_UP: "set_up_by",
    AuthorisedStep.CRIMP: "crimped_by",
    AuthorisedStep.INSPECT: "inspected_by",
    AuthorisedStep.TEST: "tested_by",
    AuthorisedStep.RELEASE: "released_by",
}
DEED_OF = {
    AuthorisedStep.SET_UP: Deed.CRIMPED,
    AuthorisedStep.CRIMP: Deed.CRIMPED,
    AuthorisedStep.INSPECT: Deed.INSPECTED,
    AuthorisedStep.TEST: Deed.TESTED,
    AuthorisedStep.RELEASE: Deed.RELEASED,
}


@dataclass(frozen=True)
class InQuestion:
    """What is in question `because` of something, in words that follow 'assemblies'.

    `suspicion` finds them again; it is None where only their own readings tell which they are.
    """

    because: str
    suspicion: Suspicion | None
    where: Whereabouts
    customers: tuple[Concerned, ...]


def in_question(thing: Thing) -> list[InQuestion]:
    """What is in question if that is wrong: one answer, or two for an authority whose last day is past."""
    return [answer(suspicion.assemblies(), because, suspicion) for because, suspicion in _suspicions(thing)]


def answer(assemblies: QuerySet[Assembly], because: str, suspicion: Suspicion | None = None) -> InQuestion:
    """Where these assemblies are and whose, in two queries."""
    customers = tuple(customers_of(assemblies))
    return InQuestion(because, suspicion, whereabouts_of_all(customers), customers)


def _suspicions(
    thing: Thing,
) -> Iterator[tuple[str, Suspicion]]:
    if isinstance(thing, Authority):
        yield from _of_an_authority(thing)
    elif isinstance(thing, Lot):
        # A lot is of one thing only, so one of its links leads anywhere.
        name = "hose_lot" if thing.hose_id else "fitting_lot" if thing.fitting_id else "ferrule_lot"
        yield f"were made from {thing}", Suspicion({name: (thing.pk,)})
    elif isinstance(thing, WornTool):
        span = span_before(None, thing)
        link = links_to(type(thing))[0]
        yield (
            f"were made with it {span.because}",
            Suspicion({link.name: (thing.pk,)}, {link.deed: Window(span.since)}),
        )
    else:
        link = links_to(type(thing))[0]
        yield f"were crimped to {thing}", Suspicion({link.name: (thing.pk,)})


def _of_an_authority(authority: Authority) -> Iterator[tuple[str, Suspicion]]:
    """What the person did under it since it began, and apart from that what came after its last day.

    The gates let nobody take a step without one, so after its last day there is only what was done before
    somebody ended it for a day that was past. Whether what was done under it is in question as well is for
    whoever ended it to say: it may have run out, or have been taken away.
    """
    step = AuthorisedStep(authority.step)
    things = {DONE_UNDER[step]: (authority.person.number,)}
    if authority.series_id is not None:
        things["series"] = (authority.series_id,)
    if authority.crimper_id is not None:
        things["crimper"] = (authority.crimper_id,)
    done = f"were {LINKS[DONE_UNDER[step]].words} {authority.person.name}"
    last = authority.expires_on
    if last is not None and last < today():
        after = morning_of(last + datetime.timedelta(days=1))
        yield f"{done} after its last day, {last}", Suspicion(things, {DEED_OF[step]: Window(after)})
    began = Window(morning_of(authority.valid_from))
    yield f"{done} since it began on {authority.valid_from}", Suspicion(things, {DEED_OF[step]: began})
