"""The ledger, newest entries first. It is read here; nothing on this page can change it."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from shop.ledger.models import Chain, Entry
from shop.people.names import names_of
from shop.people.permissions import Permission
from shop.web.access import StaffRequest, needs
from shop.web.quality.ledger.forms import LedgerFilterForm

ENTRIES_PER_PAGE = 50


@dataclass(frozen=True)
class Told:
    """One entry with the name of who wrote it, and of who did it if that was somebody else."""

    entry: Entry
    who: str
    done_by: str


@require_GET
@needs(Permission.READ)
def ledger(request: StaffRequest) -> HttpResponse:
    """The newest entries, or older ones, narrowed by what was done or to which."""
    form = LedgerFilterForm(request.GET)
    entries, older = _page(form.cleaned_data) if form.is_valid() else ([], "")
    names = names_of(number for entry in entries for number in (entry.actor_number, entry.doer_number))
    context = {
        "form": form,
        "told": [_told(entry, names) for entry in entries],
        "older": older,
        "chains": Chain.objects.order_by("pk"),
    }
    return render(request, "web/quality/ledger/ledger.html", context)


def _told(entry: Entry, names: Mapping[int, str]) -> Told:
    done_by = "" if entry.done_by is None else names[entry.done_by]
    return Told(entry, names[entry.actor_number], done_by)


def _page(wanted: Mapping[str, Any]) -> tuple[list[Entry], str]:
    """The entries of the page, and the query of the page with older ones, empty if there are none.

    Pages go on from an entry and not from a count: the millionth page is as quick as the first.
    """
    rows = Entry.objects.select_related("chain").order_by("-pk")
    kept = {name: wanted[name] for name in ("verb", "subject") if wanted[name]}
    if wanted["before"]:
        rows = rows.filter(pk__lt=wanted["before"])
    entries = list(rows.filter(**kept)[: ENTRIES_PER_PAGE + 1])
    if len(entries) <= ENTRIES_PER_PAGE:
        return entries, ""
    entries.pop()
    return entries, urlencode(kept | {"before": entries[-1].pk})
