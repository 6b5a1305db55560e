"""Which rating of a hose counts where its maker prints more than the standard that it is built to."""

from django.db import transaction

from shop.catalogue import verbs
from shop.catalogue.models import Governs, Hose, RatingChoice
from shop.catalogue.refusals import ChoiceWithoutReason, MakerNotAbove, OneRatingOnly, RatingNotConfirmed
from shop.engineering.pressures import exceeds, show_rating
from shop.ledger.services import write_record
from shop.people.access import require
from shop.people.models import User
from shop.people.permissions import Permission
from shop.standards.models import HoseRating


@transaction.atomic
def choose_rating(*, actor: User, hose: Hose, governs: Governs, reason: str) -> RatingChoice:
    """Record which rating of a hose governs and why, for as long as both figures stay as they are.

    Until somebody chooses the lower governs. What is chosen rates the hose alone: fittings and connections
    limit an assembly as before. Raises `OneRatingOnly`, `RatingNotConfirmed`, `ChoiceWithoutReason`, and
    `MakerNotAbove` if there is nothing to gain by the maker's.
    """
    require(actor, Permission.CHOOSE_RATING)
    hose.refresh_from_db(from_queryset=Hose.objects.select_for_update(no_key=True))
    published = None
    if hose.standard_id is not None:
        published = HoseRating.objects.select_for_update(no_key=True).get(pk=hose.standard_id)
    if hose.rating is None or published is None or published.rating is None:
        missing = "its maker's" if hose.rating is None else "a published one"
        raise OneRatingOnly(hose=hose, missing=missing)
    for part in (hose, published):
        if not part.is_confirmed:
            raise RatingNotConfirmed(part=part)
    if not reason.strip():
        raise ChoiceWithoutReason
    if governs == Governs.MAKER and not exceeds(hose.rating, published.rating):
        raise MakerNotAbove(maker=show_rating(hose.rating), published=show_rating(published.rating))
    return write_record(
        actor=actor,
        verb=verbs.RATING_CHOSEN,
        record=RatingChoice(
            hose=hose,
            standard=published,
            governs=governs,
            maker_value=hose.printed_value,
            maker_unit=hose.printed_unit,
            published_value=published.printed_value,
            published_unit=published.printed_unit,
        ),
        subject=hose,
        private={"reason": reason.strip()},
    )
