"""Hoses, fittings, ferrules and what charts call the tooling."""

from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction

from django.db import transaction

from shop.catalogue import verbs
from shop.catalogue.models import (
    DieType,
    Ferrule,
    Fitting,
    FittingConfirmation,
    FittingSeries,
    Fluid,
    Hose,
    HoseConfirmation,
    Seal,
    StopType,
)
from shop.catalogue.refusals import BoreNotOfSize, TypeOfAnotherSize
from shop.engineering.numbers import plain, rounded
from shop.engineering.pressures import Pressure
from shop.ledger.services import save_noted
from shop.people.access import require
from shop.people.models import User
from shop.people.permissions import Permission
from shop.standards.loading import usual_bore
from shop.standards.models import HoseRating
from shop.standards.services import require_same_part, write_confirmation

BORE_SHARE = Decimal("0.15")  # of the size's bore: common practice, no source


@transaction.atomic
def save_fluid(*, actor: User, fluid: Fluid) -> Fluid:
    """Add or change a fluid; its temperatures narrow every hose's that carries it."""
    require(actor, Permission.KEEP_CATALOGUE)
    return save_noted(actor=actor, verb=verbs.FLUID_SAVED, instance=fluid)


@transaction.atomic
def save_seal(*, actor: User, seal: Seal, fluids: Iterable[Fluid] | None = None) -> Seal:
    """Add or change a seal; `fluids` are all that it is approved for, None leaves them as they are."""
    require(actor, Permission.KEEP_CATALOGUE)
    many = None if fluids is None else {"fluids": fluids}
    return save_noted(actor=actor, verb=verbs.SEAL_SAVED, instance=seal, many=many)


@transaction.atomic
def save_hose(
    *,
    actor: User,
    hose: Hose,
    fluids: Iterable[Fluid] | None = None,
    sure: frozenset[str] = frozenset(),
) -> Hose:
    """Add or change a hose; `fluids` are all that it is approved for, None leaves them as they are.

    Raises `ConfirmedAsItIs`, `TypeOfAnotherSize`, and doubts a bore that is not its size's
    (`BoreNotOfSize`) until somebody is sure of it.
    """
    require(actor, Permission.KEEP_CATALOGUE)
    require_same_part(hose)
    if hose.standard is not None:
        _require_size(hose, hose.standard, sure)
    many = None if fluids is None else {"fluids": fluids}
    return save_noted(actor=actor, verb=verbs.HOSE_SAVED, instance=hose, many=many)


@transaction.atomic
def save_series(*, actor: User, series: FittingSeries) -> FittingSeries:
    """Add or rename a fitting series; one that isn't crimped is refused by its constraint."""
    require(actor, Permission.KEEP_CATALOGUE)
    return save_noted(actor=actor, verb=verbs.SERIES_SAVED, instance=series)


@transaction.atomic
def save_fitting(*, actor: User, fitting: Fitting) -> Fitting:
    """Add or change a fitting. Raises `ConfirmedAsItIs`."""
    require(actor, Permission.KEEP_CATALOGUE)
    require_same_part(fitting)
    return save_noted(actor=actor, verb=verbs.FITTING_SAVED, instance=fitting)


@transaction.atomic
def save_ferrule(*, actor: User, ferrule: Ferrule) -> Ferrule:
    """Add or change a ferrule."""
    require(actor, Permission.KEEP_CATALOGUE)
    return save_noted(actor=actor, verb=verbs.FERRULE_SAVED, instance=ferrule)


@transaction.atomic
def save_die_type(*, actor: User, die_type: DieType) -> DieType:
    """Add or change a die type."""
    require(actor, Permission.KEEP_CATALOGUE)
    return save_noted(actor=actor, verb=verbs.DIE_TYPE_SAVED, instance=die_type)


@transaction.atomic
def save_stop_type(*, actor: User, stop_type: StopType) -> StopType:
    """Add or change a stop type."""
    require(actor, Permission.KEEP_CATALOGUE)
    return save_noted(actor=actor, verb=verbs.STOP_TYPE_SAVED, instance=stop_type)


@transaction.atomic
def confirm_hose(*, actor: User, hose: Hose, document: str, figure: Pressure) -> HoseConfirmation:
    """Record that the actor has found `figure` in the maker's `document` for this hose.

    Raises `NothingToConfirm`, `FigureDiffers`.
    """
    require(actor, Permission.CONFIRM_RATINGS)
    return write_confirmation(
        HoseConfirmation(part=hose, document=document), actor=actor, verb=verbs.HOSE_CONFIRMED, figure=figure
    )


@transaction.atomic
def confirm_fitting(*, actor: User, fitting: Fitting, document: str, figure: Pressure) -> FittingConfirmation:
    """Record that the actor has found `figure` in the maker's `document` for this fitting.

    Raises `NothingToConfirm`, `FigureDiffers`.
    """
    require(actor, Permission.CONFIRM_RATINGS)
    return write_confirmation(
        FittingConfirmation(part=fitting, document=document),
        actor=actor,
        verb=verbs.FITTING_CONFIRMED,
        figure=figure,
    )


def _require_size(hose: Hose, standard: HoseRating, sure: frozenset[str]) -> None:
    """Raise `TypeOfAnotherSize`, or `BoreNotOfSize` unless somebody is sure of it.

    Hose that is sized by its tube has a smaller bore than other hose of its dash number; whoever takes
    one for the other orders fittings that don't go in.
    """
    if standard.dash != hose.dash:
        raise TypeOfAnotherSize(dash=hose.dash, standard=standard)
    usual = usual_bore(standard.standard, standard.dash)
    if usual is None or abs(hose.bore - usual.mm) <= usual.mm * BORE_SHARE:
        return
    counts = "its size counts the tube" if usual.sized_by_tube else "its size counts the bore"
    in_mm = f" ({plain(rounded(Fraction(usual.mm), 1))} mm)" if usual.sized_by_tube else ""
    doubt = BoreNotOfSize(
        bore=f"{plain(hose.bore)} mm",
        usual=f"{usual.printed}{in_mm}",
        dash=standard.dash,
        standard=standard.standard,
        counts=counts,
    )
    if doubt.code not in sure:
        raise doubt
