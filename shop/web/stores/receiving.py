"""Booking in what came: hose by length, fittings and ferrules by number; each also from a CSV."""

from dataclasses import dataclass

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from shop.people.permissions import Permission
from shop.stock.models import Lot
from shop.web.access import StaffRequest, needs
from shop.web.refusing import answered_doubts, attempt
from shop.web.registers.csv_page import csv_page
from shop.web.registers.export import export
from shop.web.registers.forms import RegisterForm
from shop.web.registers.sheet import Sheet
from shop.web.stores.forms import ReceiveHoseForm, ReceivePartsForm


@dataclass(frozen=True)
class Receipt:
    """One of the two ways of receiving: its words, its form, and the first part of its pages' names."""

    name: str
    title: str
    lead: str
    form: type[RegisterForm]

    @property
    def sheet(self) -> Sheet:
        """What a CSV is taken into: every line is a new lot."""
        return Sheet(self.form, Lot, Lot.objects.none(), may_change=False)


HOSE = Receipt(
    name="receive_hose",
    title="Receive hose",
    lead="One batch of one hose. Each reel or coil becomes a piece with a label of its own.",
    form=ReceiveHoseForm,
)
PARTS = Receipt(
    name="receive_parts",
    title="Receive fittings or ferrules",
    lead="One batch of one fitting or one ferrule. The bin gets the lot's label.",
    form=ReceivePartsForm,
)


@require_http_methods(["GET", "POST"])
@needs(Permission.RECEIVE_STOCK)
def receive_hose(request: StaffRequest) -> HttpResponse:
    """Book in hose."""
    return _receive(request, HOSE)


@require_http_methods(["GET", "POST"])
@needs(Permission.RECEIVE_STOCK)
def receive_parts(request: StaffRequest) -> HttpResponse:
    """Book in fittings or ferrules."""
    return _receive(request, PARTS)


@require_http_methods(["GET", "POST"])
@needs(Permission.RECEIVE_STOCK)
def hose_csv(request: StaffRequest) -> HttpResponse:
    """Book in hose from a CSV, after a dry run."""
    return _from_csv(request, HOSE)


@require_http_methods(["GET", "POST"])
@needs(Permission.RECEIVE_STOCK)
def parts_csv(request: StaffRequest) -> HttpResponse:
    """Book in fittings and ferrules from a CSV, after a dry run."""
    return _from_csv(request, PARTS)


@require_GET
@needs(Permission.RECEIVE_STOCK)
def hose_template(request: StaffRequest) -> HttpResponse:
    """The headers of a CSV of hose."""
    return export(HOSE.sheet, (), name="hose-template", file_format="csv")


@require_GET
@needs(Permission.RECEIVE_STOCK)
def parts_template(request: StaffRequest) -> HttpResponse:
    """The headers of a CSV of fittings and ferrules."""
    return export(PARTS.sheet, (), name="parts-template", file_format="csv")


def _receive(request: StaffRequest, receipt: Receipt) -> HttpResponse:
    form = receipt.form(request.POST or None, instance=Lot())
    sure = answered_doubts(request.POST)
    if request.method == "POST" and form.is_valid():
        lot = attempt(form, lambda: form.take(actor=request.user, sure=sure))
        if isinstance(lot, Lot):
            messages.success(request, f"{lot.item} is received as {lot}. Print its labels and stick them on.")
            return redirect("web:lots_item", lot.pk)
    context = {"receipt": receipt, "form": form, "sure": sure, "csv_url": reverse(f"web:{receipt.name}_csv")}
    return render(request, "web/stores/receive.html", context)


def _from_csv(request: StaffRequest, receipt: Receipt) -> HttpResponse:
    frame = {
        "title": f"{receipt.title} from a CSV",
        "trail": [
            (reverse("web:stores"), "Stores"),
            (reverse(f"web:{receipt.name}"), receipt.title),
        ],
        "template_url": reverse(f"web:{receipt.name}_template"),
    }
    return csv_page(request, receipt.sheet, done_url=reverse("web:lots"), frame=frame)
