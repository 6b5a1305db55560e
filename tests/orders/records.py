"""What the workshop has found or decided about a part, written as its own services would."""

from decimal import Decimal

from django.db import transaction

from shop.catalogue import verbs
from shop.catalogue.models import CutCorrection, FittingSeries, Governs, Hose
from shop.catalogue.services.governing import choose_rating
from shop.ledger.services import write_record
from shop.standards.models import HoseRating
from shop.standards.services import confirm_hose_rating
from tests import factories
from tests.world import World


@transaction.atomic
def correct_the_cut(
    world: World,
    mean: str,
    *,
    hose: Hose | None = None,
    series: FittingSeries | None = None,
    applies: bool = True,
) -> CutCorrection:
    """Seven finished pieces came out so many mm longer than wanted."""
    correction = CutCorrection(
        hose=hose or world.hose, series=series or world.series, pieces=7, mean=Decimal(mean),
        spread=Decimal("0.2"), low=Decimal(mean) - Decimal("0.2"), high=Decimal(mean) + Decimal("0.2"),
        applies=applies,
    )  # fmt: skip
    return write_record(
        actor=world.inspector, verb=verbs.CUT_CORRECTED, record=correction, subject=correction.hose
    )


def published(world: World, **changes: object) -> HoseRating:
    """The world's hose is built to a standard that prints 25 MPa, found there by the inspector."""
    rating: HoseRating = factories.HoseRatingFactory(
        **{"printed_value": "25", "printed_unit": "MPa"} | changes
    )
    confirm_hose_rating(actor=world.inspector, rating=rating, document="EN 853:2015", figure=rating.rating)
    world.hose.standard = rating
    world.hose.save()
    return rating


def choose(world: World, governs: Governs) -> None:
    """The owner says which rating of the world's hose counts."""
    choose_rating(actor=world.owner, hose=world.hose, governs=governs, reason="Letter of the maker.")
