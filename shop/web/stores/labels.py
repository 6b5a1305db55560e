"""Labels for what came in: one for each reel, one for each bin."""

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET

from shop.documents.labels import Label, label_sheet
from shop.documents.refusals import PdfNotInstalled
from shop.people.permissions import Permission
from shop.stock.models import Lot, Piece
from shop.web.access import StaffRequest, needs
from shop.web.files import shown_pdf


@require_GET
@needs(Permission.READ)
def of_lot(request: StaffRequest, pk: int) -> HttpResponse:
    """Labels of all pieces of a lot of hose, or the label of the bin."""
    lots = Lot.objects.select_related("hose", "fitting__series", "ferrule__series", "entry")
    lot = get_object_or_404(lots, pk=pk)
    pieces = lot.pieces.select_related("lot__hose").order_by("pk")
    labels = [piece_label(piece) for piece in pieces] if lot.hose_id is not None else [lot_label(lot)]
    return _pdf(request, labels, f"labels-{lot.printed_code}", lot)


@require_GET
@needs(Permission.READ)
def of_piece(request: StaffRequest, pk: int) -> HttpResponse:
    """The label of one piece."""
    piece = get_object_or_404(Piece.objects.select_related("lot__hose"), pk=pk)
    return _pdf(request, [piece_label(piece)], f"label-{piece.printed_code}", piece)


def piece_label(piece: Piece) -> Label:
    """What stands on a reel: hose, batch and date. The length would be wrong after the first cut."""
    return Label(piece.code, "hose", str(piece.hose), _batch_words(piece.lot))


def lot_label(lot: Lot) -> Label:
    """What stands on a bin."""
    kind = "fittings" if lot.fitting_id is not None else "ferrules"
    return Label(lot.code, kind, str(lot.item), _batch_words(lot))


def _batch_words(lot: Lot) -> str:
    batch = f"batch {lot.batch}" if lot.batch else "no batch number"
    return f"{batch}, made {lot.made_printed}" if lot.made_printed else f"{batch}, undated"


def _pdf(request: StaffRequest, labels: list[Label], name: str, thing: Lot | Piece) -> HttpResponse:
    try:
        content = label_sheet(labels)
    except PdfNotInstalled as refusal:
        context = {"refusal": refusal, "thing": thing, "is_piece": isinstance(thing, Piece)}
        return render(request, "web/stores/no_labels.html", context, status=503)
    return shown_pdf(content, f"{name}.pdf")
