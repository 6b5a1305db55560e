"""What is in the stores: lots, pieces, and what was made from them."""

from django.contrib import messages
from django.db.models import Q, QuerySet
from django.db.models.functions import Coalesce
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from shop.assemblies.models import Assembly
from shop.people.names import names_of
from shop.people.permissions import Permission
from shop.policy.services import policy_in_force, today
from shop.stock.models import Lot, LotCondemnation, Piece
from shop.stock.services import condemn_lot, count_piece, place_piece
from shop.web.access import StaffRequest, needs
from shop.web.quality.as_of import asked_as_of
from shop.web.quality.recalls.asking import asked_of
from shop.web.refusing import answered_doubts, attempt
from shop.web.registers.listing import list_page
from shop.web.stores.ages import age_of
from shop.web.stores.by_hose import stock_by_hose
from shop.web.stores.forms import CondemnForm, CountForm, PlaceForm
from shop.web.stores.tables import LotFilter, LotTable, MovementTable, PieceFilter, PieceTable, UsedTable
from shop.web.templatetags.quantities import length


@require_GET
@needs(Permission.READ)
def index(request: StaffRequest) -> HttpResponse:
    """What the stores hold, and what may no longer be fitted."""
    left = Piece.objects.filter(length_left__gt=0)
    pieces = left.filter(lot__condemnation=None).select_related("lot__hose")
    policy, day = policy_in_force(), today()
    over = [piece for piece in pieces if age_of(piece.lot, policy, day).is_over]
    context = {
        "pieces": len(pieces),
        "condemned": left.count() - len(pieces),
        "lots": Lot.objects.count(),
        "hoses": stock_by_hose(pieces),
        "over": over,
        "may_receive": request.user.may(Permission.RECEIVE_STOCK),
    }
    return render(request, "web/stores/index.html", context)


@require_GET
@needs(Permission.READ)
def lots(request: StaffRequest) -> HttpResponse:
    """What came in together."""
    narrowed = LotFilter(request.GET, queryset=_lots())
    table = LotTable(narrowed.qs, policy=policy_in_force(), today=today())
    context = {
        "filter": narrowed,
        "none_at_all": not Lot.objects.exists(),
        "may_receive": request.user.may(Permission.RECEIVE_STOCK),
    }
    return list_page(request, table, "web/stores/lots.html", "lots", context)


@require_GET
@needs(Permission.READ)
def lot(request: StaffRequest, pk: int) -> HttpResponse:
    """One lot: when it may be fitted, its pieces, and every assembly that it went into."""
    one = get_object_or_404(_lots(), pk=pk)
    policy, day = policy_in_force(), today()
    table = UsedTable(_assemblies_with(one))
    condemned = LotCondemnation.objects.filter(lot=one).select_related("entry").first()
    people = [one.actor_number] if condemned is None else [one.actor_number, condemned.actor_number]
    names = names_of(people)
    context = {
        "lot": one,
        "condemned": condemned,
        "why": condemned and condemned.private("reason"),
        "condemned_by": condemned and names[condemned.actor_number],
        "asked": asked_of(one) if condemned else [],
        "may_condemn": condemned is None and request.user.may(Permission.CONDEMN),
        "age": age_of(one, policy, day),
        "policy": policy,
        "received_by": names[one.actor_number],
        "pieces": one.pieces.order_by("pk"),
        **asked_as_of(request, one),
    }
    return list_page(request, table, "web/stores/lot.html", f"assemblies-of-{one.printed_code}", context)


@require_GET
@needs(Permission.READ)
def pieces(request: StaffRequest) -> HttpResponse:
    """Reels and remnants with hose left."""
    rows = Piece.objects.select_related("lot__hose", "lot__entry", "lot__condemnation")
    narrowed = PieceFilter(request.GET, queryset=rows)
    table = PieceTable(narrowed.qs, policy=policy_in_force(), today=today())
    context = {
        "filter": narrowed,
        "none_at_all": not Piece.objects.exists(),
        "may_receive": request.user.may(Permission.RECEIVE_STOCK),
    }
    return list_page(request, table, "web/stores/pieces.html", "pieces", context)


@require_GET
@needs(Permission.READ)
def piece(request: StaffRequest, pk: int) -> HttpResponse:
    """One piece: what is left, where it is, and every movement."""
    one = get_object_or_404(Piece.objects.select_related("lot__hose", "lot__entry"), pk=pk)
    moved = one.movements.select_related("entry", "cut__assembly")
    doer = Coalesce("entry__done_by", "entry__actor_number")
    names = names_of(moved.order_by().values_list(doer, flat=True).distinct())
    context = {
        "piece": one,
        "age": age_of(one.lot, policy_in_force(), today()),
        "is_condemned": LotCondemnation.objects.filter(lot=one.lot_id).exists(),
        "may_count": request.user.may(Permission.MAKE),
    }
    table = MovementTable(moved, names=names)
    return list_page(request, table, "web/stores/piece.html", f"piece-{one.printed_code}", context)


@require_http_methods(["GET", "POST"])
@needs(Permission.MAKE)
def count(request: StaffRequest, pk: int) -> HttpResponse:
    """Record what was measured on the reel."""
    one = get_object_or_404(Piece.objects.select_related("lot__hose"), pk=pk)
    form = CountForm(request.POST or None)
    sure = answered_doubts(request.POST)
    if request.method == "POST" and form.is_valid():
        measured = form.cleaned_data["measured"]
        counted = attempt(
            form, lambda: count_piece(actor=request.user, piece=one, measured_mm=measured, sure=sure)
        )
        if counted is not None:
            change = f"{'+' if counted.change > 0 else ''}{length(counted.change)}"
            messages.success(request, f"{one} has {length(counted.balance)} left ({change}).")
            return redirect("web:pieces_item", one.pk)
    return render(request, "web/stores/count.html", {"piece": one, "form": form, "sure": sure})


@require_http_methods(["GET", "POST"])
@needs(Permission.MAKE)
def place(request: StaffRequest, pk: int) -> HttpResponse:
    """Write down where a piece is kept."""
    one = get_object_or_404(Piece.objects.select_related("lot__hose"), pk=pk)
    form = PlaceForm(request.POST or None, initial={"place": one.place})
    if request.method == "POST" and form.is_valid():
        where = form.cleaned_data["place"]
        if attempt(form, lambda: place_piece(actor=request.user, piece=one, place=where)) is not None:
            messages.success(request, f"{one} is kept at {where or 'no place that is known'}.")
            return redirect("web:pieces_item", one.pk)
    return render(request, "web/stores/place.html", {"piece": one, "form": form})


@require_http_methods(["GET", "POST"])
@needs(Permission.CONDEMN)
def condemn(request: StaffRequest, pk: int) -> HttpResponse:
    """Say what is wrong with a lot, having seen what was made from it."""
    one = get_object_or_404(_lots(), pk=pk)
    form = CondemnForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        reason = form.cleaned_data["reason"]
        if attempt(form, lambda: condemn_lot(actor=request.user, lot=one, reason=reason)) is not None:
            messages.warning(
                request, f"{str(one).capitalize()} is condemned. Below is what was made from it."
            )
            return redirect("web:lots_item", one.pk)
    return render(request, "web/stores/condemn.html", {"lot": one, "form": form, "asked": asked_of(one)})


def _lots() -> QuerySet[Lot]:
    return Lot.objects.select_related("hose", "fitting__series", "ferrule__series", "entry", "condemnation")


def _assemblies_with(one: Lot) -> QuerySet[Assembly]:
    """Every assembly that the lot went into, by the records of its cut and crimps, corrected or not."""
    rows = Assembly.objects.select_related("run__line__hose", "run__line__order__customer")
    if one.hose_id is not None:
        return rows.filter(cut__movement__piece__lot=one)
    is_fitting = one.fitting_id is not None
    named = one.crimps_of_fitting if is_fitting else one.crimps_of_ferrule
    corrected = one.corrections_of_fitting if is_fitting else one.corrections_of_ferrule
    return rows.filter(Q(pk__in=named.values("assembly")) | Q(pk__in=corrected.values("crimp__assembly")))
