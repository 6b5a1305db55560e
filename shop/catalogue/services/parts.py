"""Hoses, fittings, ferrules and what charts call the tooling."""

from collections.abc import Iterable

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
    StopType,
)
from shop.engineering.pressures import Pressure
from shop.ledger.services import save_noted
from shop.people.access import require
from shop.people.models import User
from shop.people.permissions import Permission
from shop.standards.services import require_same_part, write_confirmation


@transaction.atomic
def save_fluid(*, actor: User, fluid: Fluid) -> Fluid:
    """Add or rename a fluid."""
    require(actor, Permission.KEEP_CATALOGUE)
    return save_noted(actor=actor, verb=verbs.FLUID_SAVED, instance=fluid)


@transaction.atomic
def save_hose(*, actor: User, hose: Hose, fluids: Iterable[Fluid] | None = None) -> Hose:
    """Add or change a hose; `fluids` are all that it is approved for, None leaves them as they are.

    Raises `ConfirmedAsItIs`.
    """
    require(actor, Permission.KEEP_CATALOGUE)
    require_same_part(hose)
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
