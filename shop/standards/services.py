"""The published tables: keeping and confirming them."""

from typing import TypeVar

from django.db import transaction

from shop.engineering.pressures import Pressure
from shop.ledger.registry import Verb
from shop.ledger.services import save_noted, write_record
from shop.people.access import require
from shop.people.models import User
from shop.people.permissions import Permission
from shop.standards import verbs
from shop.standards.models import (
    Confirmation,
    Connection,
    ConnectionConfirmation,
    HoseRating,
    HoseRatingConfirmation,
    Rated,
)
from shop.standards.refusals import ConfirmedAsItIs, FigureDiffers, NothingToConfirm

C = TypeVar("C", bound=Confirmation)


@transaction.atomic
def save_hose_rating(*, actor: User, rating: HoseRating) -> HoseRating:
    """Add or correct one row of the hose table; a changed figure is unconfirmed again.

    Raises `ConfirmedAsItIs`.
    """
    require(actor, Permission.KEEP_CATALOGUE)
    require_same_part(rating)
    return save_noted(actor=actor, verb=verbs.RATING_SAVED, instance=rating)


@transaction.atomic
def save_connection(*, actor: User, connection: Connection) -> Connection:
    """Add or correct one connection; a changed figure is unconfirmed again. Raises `ConfirmedAsItIs`."""
    require(actor, Permission.KEEP_CATALOGUE)
    require_same_part(connection)
    return save_noted(actor=actor, verb=verbs.CONNECTION_SAVED, instance=connection)


@transaction.atomic
def confirm_hose_rating(
    *, actor: User, rating: HoseRating, document: str, figure: Pressure
) -> HoseRatingConfirmation:
    """Record that the actor has found `figure` in `document` for this row."""
    require(actor, Permission.CONFIRM_RATINGS)
    return write_confirmation(
        HoseRatingConfirmation(part=rating, document=document),
        actor=actor,
        verb=verbs.RATING_CONFIRMED,
        figure=figure,
    )


@transaction.atomic
def confirm_connection(
    *, actor: User, connection: Connection, document: str, figure: Pressure
) -> ConnectionConfirmation:
    """Record that the actor has found `figure` in `document` for this connection."""
    require(actor, Permission.CONFIRM_RATINGS)
    return write_confirmation(
        ConnectionConfirmation(part=connection, document=document),
        actor=actor,
        verb=verbs.CONNECTION_CONFIRMED,
        figure=figure,
    )


def require_same_part(part: Rated) -> None:
    """Raise `ConfirmedAsItIs` if a part that somebody has confirmed would become another one.

    The confirmation, the lots in their bins and the assemblies in service are of the part as it was: a
    figure may be corrected, but a fitting for size -8 never turns into one for -12.
    """
    before = type(part)._default_manager.select_for_update(no_key=True).filter(pk=part.pk).first()
    if before is None or not before.confirmations.exists():  # type: ignore[attr-defined]  # as below
        return
    fields = [part._meta.get_field(name) for name in part.IDENTITY]
    changed = [
        str(field.verbose_name)  # type: ignore[union-attr]  # columns only
        for field in fields
        if getattr(before, field.attname) != getattr(part, field.attname)  # type: ignore[union-attr]  # as above
    ]
    if changed:
        raise ConfirmedAsItIs(part=before, columns=" and ".join(changed))


def write_confirmation(confirmation: C, *, actor: User, verb: Verb, figure: Pressure) -> C:
    """Write it if the figure read in the document is the one in the table.

    The person types what the document says without being shown the table's figure, so that agreeing
    is more than a tick. Raises `NothingToConfirm` or `FigureDiffers`.
    """
    part: Rated = confirmation.part  # type: ignore[attr-defined]  # each concrete table has its own key
    if part.rating is None:
        raise NothingToConfirm(part=part)
    if figure != part.rating:
        raise FigureDiffers(part=part, typed=f"{figure.value} {figure.unit}")
    confirmation.printed_value = part.printed_value
    confirmation.printed_unit = part.printed_unit
    return write_record(actor=actor, verb=verb, record=confirmation, subject=part)
