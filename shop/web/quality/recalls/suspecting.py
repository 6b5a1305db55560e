"""What is suspected: said bit by bit, shown with whom it concerns, and recalled."""

from collections.abc import Iterable
from dataclasses import replace

from django.contrib import messages
from django.db.models import Model
from django.http import HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_GET, require_POST

from shop.people.permissions import Permission
from shop.trace.links import LINKS, Link
from shop.trace.naming import things_called
from shop.trace.recalling import customers_of, recall_suspected, whereabouts_of_all
from shop.trace.suspicion import Suspicion
from shop.web.access import StaffRequest, needs
from shop.web.quality.recalls.address import address_of, pairs_of, suspicion_in
from shop.web.quality.recalls.forms import AddForm, NarrowForm, RecallForm
from shop.web.refusing import attempt
from shop.web.registers.listing import list_page
from shop.web.tools.tables import MadeTable, made_rows


@require_GET
@needs(Permission.READ)
def suspect(request: StaffRequest) -> HttpResponse:
    """What is suspected so far, and which assemblies and customers it concerns."""
    suspicion = suspicion_in(request.GET)
    add = AddForm(request.GET if "which" in request.GET else None)
    if add.is_valid():
        link = LINKS[add.cleaned_data["link"]]
        things = attempt(add, lambda: things_called(link, add.cleaned_data["which"]))
        if things is not None:
            return redirect(address_of(with_things(suspicion, link, things)))
    return suspect_page(request, suspicion, add=add)


@require_GET
@needs(Permission.READ)
def narrow(request: StaffRequest) -> HttpResponse:
    """Say when, and how near to a limit."""
    suspicion = suspicion_in(request.GET)
    form = NarrowForm(request.GET)
    if not form.is_valid():
        return suspect_page(request, suspicion, narrow=form)
    distances = {name: form.cleaned_data[name] for name in ("below_upper", "above_lower")}
    return redirect(address_of(replace(suspicion, **distances)))


@require_POST
@needs(Permission.RECALL)
def open_it(request: StaffRequest) -> HttpResponse:
    """Recall what is suspected, as it is found now."""
    suspicion, form = suspicion_in(request.POST), RecallForm(request.POST)
    if form.is_valid():
        recall = attempt(
            form,
            lambda: recall_suspected(
                actor=request.user, suspicion=suspicion, reason=form.cleaned_data["reason"]
            ),
        )
        if recall is not None:
            messages.success(
                request,
                f"{str(recall).capitalize()} is open: the tags of its {len(recall.members)} members say "
                "DO NOT USE from now on. Write to the customers.",
            )
            return redirect("web:recall", number=recall.number)
    return suspect_page(request, suspicion, recall=form)


def suspect_page(
    request: StaffRequest,
    suspicion: Suspicion,
    *,
    add: AddForm | None = None,
    narrow: NarrowForm | None = None,
    recall: RecallForm | None = None,
) -> HttpResponse:
    """Draw the page; the forms are those that were sent and not taken."""
    found = suspicion.assemblies()
    customers = customers_of(found) if suspicion else []
    context = {
        "suspicion": suspicion,
        "said": list(zip(suspicion.sentences(), _without_each(suspicion), strict=True)),
        "kept": list(pairs_of(suspicion)),
        "kept_things": list(pairs_of(Suspicion(things=suspicion.things))),
        "where": whereabouts_of_all(customers),
        "customers": customers,
        "add_form": add or AddForm(),
        "narrow_form": narrow or NarrowForm(initial=_initial(suspicion)),
        "recall_form": recall or RecallForm(),
        "may_recall": request.user.may(Permission.RECALL),
    }
    return list_page(
        request, MadeTable(made_rows(found)), "web/quality/recalls/suspect.html", "suspected", context
    )


def with_things(suspicion: Suspicion, link: Link, things: Iterable[Model]) -> Suspicion:
    """The suspicion with one more thing, or several that go by the same name, beside those of its link."""
    keys = [*suspicion.things.get(link.name, ()), *(getattr(thing, link.key) for thing in things)]
    return replace(suspicion, things={**suspicion.things, link.name: tuple(dict.fromkeys(keys))})


def _without_each(suspicion: Suspicion) -> Iterable[str]:
    """For each of its sentences the address of what is suspected without it."""
    for name, keys in suspicion.things.items():
        if keys:
            others = {other: kept for other, kept in suspicion.things.items() if other != name}
            yield address_of(replace(suspicion, things=others))
    for deed, window in suspicion.windows.items():
        if window:
            windows = {other: kept for other, kept in suspicion.windows.items() if other is not deed}
            yield address_of(replace(suspicion, windows=windows))
    if suspicion.below_upper is not None:
        yield address_of(replace(suspicion, below_upper=None))
    if suspicion.above_lower is not None:
        yield address_of(replace(suspicion, above_lower=None))


def _initial(suspicion: Suspicion) -> dict[str, object]:
    times = {
        f"{deed}_{end}": moment
        for deed, window in suspicion.windows.items()
        for end, moment in (("since", window.since), ("until", window.until))
        if moment is not None
    }
    return {**times, "below_upper": suspicion.below_upper, "above_lower": suspicion.above_lower}
