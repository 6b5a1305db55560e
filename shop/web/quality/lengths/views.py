"""What finished lengths say about the cut: all hoses, one of them, and the correction adopted or ended."""

from collections.abc import Callable

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_POST

from shop.assemblies.lengths import adopt_cut_correction, end_cut_correction, lengths_of, lengths_of_all
from shop.catalogue.models import CutCorrection, FittingSeries, Hose
from shop.core.refusals import Refusal
from shop.people.permissions import Permission
from shop.web.access import StaffRequest, needs
from shop.web.quality.lengths.page import LengthPage, length_row
from shop.web.quality.lengths.tables import LengthsTable
from shop.web.registers.listing import list_page
from shop.web.worksheets.cut_correction import cut_words


@require_GET
@needs(Permission.READ)
def index(request: StaffRequest) -> HttpResponse:
    """Every hose and series among the newest finished assemblies."""
    rows = [length_row(finding) for finding in lengths_of_all()]
    return list_page(request, LengthsTable(rows), "web/quality/lengths/index.html", "finished-lengths", {})


@require_GET
@needs(Permission.READ)
def item(request: StaffRequest, hose: int, series: int) -> HttpResponse:
    """One hose with one series at both ends: each piece, their mean, and what may be done about it."""
    return _page(request, *_pair(hose, series))


@require_POST
@needs(Permission.DECIDE)
def adopt(request: StaffRequest, hose: int, series: int) -> HttpResponse:
    """Cut by what the pieces say from now on."""
    of, ends = _pair(hose, series)
    return _act(
        request,
        of,
        ends,
        lambda: adopt_cut_correction(actor=request.user, hose=of, series=ends),
        lambda made: f"From now on {of} with {ends} is {cut_words(made.mean)}. Measure the next ones too.",
    )


@require_POST
@needs(Permission.DECIDE)
def end(request: StaffRequest, hose: int, series: int) -> HttpResponse:
    """Cut by the chart as it is again."""
    of, ends = _pair(hose, series)
    return _act(
        request,
        of,
        ends,
        lambda: end_cut_correction(actor=request.user, hose=of, series=ends),
        lambda _: f"From now on {of} with {ends} is cut by the chart as it is.",
    )


def _pair(hose: int, series: int) -> tuple[Hose, FittingSeries]:
    return get_object_or_404(Hose, pk=hose), get_object_or_404(FittingSeries, pk=series)


def _act(
    request: StaffRequest,
    hose: Hose,
    series: FittingSeries,
    act: Callable[[], CutCorrection],
    done: Callable[[CutCorrection], str],
) -> HttpResponse:
    try:
        made = act()
    except Refusal as refusal:
        return _page(request, hose, series, refusal)
    messages.success(request, done(made))
    return redirect("web:finished_lengths_of", hose.pk, series.pk)


def _page(
    request: StaffRequest, hose: Hose, series: FittingSeries, refusal: Refusal | None = None
) -> HttpResponse:
    context = {"page": LengthPage(lengths_of(hose, series), request.user), "refusal": refusal}
    return render(request, "web/quality/lengths/item.html", context)
