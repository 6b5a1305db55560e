"""The seals of the ledger: the newest, all of them, one to print and keep, and the key that signs them."""

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from shop.core.refusals import Refusal
from shop.documents.evidence.taking import VERIFIER, verifier
from shop.drawings.qr import QUIET_ZONE, qr_path
from shop.ledger.models import Chain, KeyReason, LedgerSeal, SealingKey
from shop.ledger.sealing import keys
from shop.ledger.sealing.files import SealFile, export_seal, export_seals, one_line
from shop.ledger.services import newest_key, newest_seal, replace_key, seal_ledger, unsealed
from shop.people.names import names_of
from shop.people.permissions import Permission
from shop.web.access import StaffRequest, needs
from shop.web.files import download
from shop.web.quality.seals.forms import NewKeyForm
from shop.web.quality.seals.tables import SealTable
from shop.web.refusing import attempt
from shop.web.registers.listing import list_page


@require_GET
@needs(Permission.READ)
def seals(request: StaffRequest) -> HttpResponse:
    """How much of the ledger is sealed, and every seal."""
    return _list(request)


@require_POST
@needs(Permission.AUDIT)
def seal_now(request: StaffRequest) -> HttpResponse:
    """Seal what was recorded since the newest seal."""
    try:
        made = seal_ledger(actor=request.user)
    except Refusal as refusal:
        return _list(request, refusal)
    messages.success(
        request, f"Made the {made[-1]}. Print it or keep its file, on another machine than this."
    )
    return redirect("web:ledger_seal", made[-1].pk)


@require_GET
@needs(Permission.READ)
def seal(request: StaffRequest, pk: int) -> HttpResponse:
    """One seal as it is kept on paper: its root, who signed it, and all of it in a square."""
    row = get_object_or_404(LedgerSeal.objects.select_related("chain", "key", "entry__chain"), pk=pk)
    line = one_line(row)
    square = qr_path(line)
    context = {
        "seal": row,
        "line": line,
        "who": names_of([row.actor_number])[row.actor_number],
        "square": square,
        "quiet": QUIET_ZONE,
        "may_export": request.user.may(Permission.AUDIT),
        "side": square.side_modules + 2 * QUIET_ZONE,
    }
    return render(request, "web/quality/seals/item.html", context)


@require_GET
@needs(Permission.AUDIT)
def as_file(request: StaffRequest, pk: int) -> HttpResponse:
    """One seal as a file to keep elsewhere."""
    row = get_object_or_404(LedgerSeal.objects.select_related("chain", "key"), pk=pk)
    return _file(export_seal(row), f"seal-{row.chain.site}-{row.last}")


@require_GET
@needs(Permission.AUDIT)
def all_as_file(request: StaffRequest) -> HttpResponse:
    """Every seal as one file, in which each later one is shown to go on from the one before."""
    try:
        return _file(export_seals(), "seals")
    except Refusal as refusal:
        return _list(request, refusal)


@require_http_methods(["GET", "POST"])
@needs(Permission.KEEP_SEALING_KEY)
def key(request: StaffRequest) -> HttpResponse:
    """Where the key stands, every key there was, and a new one in its place."""
    newest = newest_key()
    is_here = newest is not None and keys.is_here(newest.public_key)
    form = NewKeyForm(request.POST or None, is_here=is_here)
    if request.method == "POST" and form.is_valid():
        reason = KeyReason(form.cleaned_data["reason"])
        new = attempt(form, lambda: replace_key(actor=request.user, reason=reason))
        if new is not None:
            messages.success(
                request, f"From now on {new.known} signs. Seal now, and keep that seal elsewhere."
            )
            return redirect("web:ledger_seals")
    rows = list(SealingKey.objects.select_related("entry").order_by("-pk"))
    names = names_of(row.actor_number for row in rows)
    told = [(row, names[row.actor_number]) for row in rows]
    path = keys.key_path(newest.public_key) if newest is not None else None
    context = {"form": form, "newest": newest, "is_here": is_here, "keys": told, "path": path}
    return render(request, "web/quality/seals/key.html", context)


@require_GET
@needs(Permission.READ)
def evidence_verifier(request: StaffRequest) -> HttpResponse:
    """The program that checks evidence packages, to be handed out by itself."""
    return download(verifier(), VERIFIER, "text/x-python; charset=utf-8")


def _list(request: StaffRequest, refusal: Refusal | None = None) -> HttpResponse:
    key = newest_key()
    context: dict[str, Any] = {
        "chains": [_standing(chain) for chain in Chain.objects.order_by("site")],
        "key": key,
        "key_is_here": key is None or keys.is_here(key.public_key),
        "refusal": refusal,
        "may_seal": request.user.may(Permission.AUDIT),
        "may_keep_key": request.user.may(Permission.KEEP_SEALING_KEY),
    }
    rows = LedgerSeal.objects.select_related("chain", "key")
    return list_page(request, SealTable(rows), "web/quality/seals/index.html", "seals", context)


def _standing(chain: Chain) -> dict[str, Any]:
    newest = newest_seal(chain)
    count = unsealed(chain, newest).count()
    return {"newest": newest, "unsealed": count, "unit": "entry" if count == 1 else "entries"}


def _file(content: SealFile, name: str) -> HttpResponse:
    return download(content.text(), f"{name}.json", "application/json")
