"""An owner says which of a hose's two ratings governs; until somebody does, the lower one governs."""

from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from shop.catalogue.models import Governs, Hose, RatingChoice
from shop.catalogue.refusals import ChoiceWithoutReason, MakerNotAbove, OneRatingOnly, RatingNotConfirmed
from shop.catalogue.services import choose_rating, confirm_hose, save_hose
from shop.people.refusals import NotAllowed
from shop.standards.services import confirm_hose_rating, save_hose_rating
from tests import factories
from tests.world import World

WHY = "Quillmark's letter of 2026-03-02 warrants 330 bar"


def hose_of_two_ratings(
    world: World, maker: str = "330", unit: str = "bar", *, confirmed: bool = True
) -> Hose:
    """A hose that its maker rates at 330 bar and its standard at 27.5 MPa."""
    standard = factories.HoseRatingFactory()
    hose = factories.HoseFactory(standard=standard, printed_value=maker, printed_unit=unit)
    if confirmed:
        world.confirm(hose)
        confirm_hose_rating(
            actor=world.inspector, rating=standard, document="EN 853:2015", figure=standard.rating
        )
    return hose


def test_nobody_has_chosen_at_first(world: World) -> None:
    assert hose_of_two_ratings(world).rating_choice is None
    assert world.hose.rating_choice is None


def test_an_owner_chooses_the_makers_rating_and_says_why(world: World) -> None:
    hose = hose_of_two_ratings(world)
    choice = choose_rating(actor=world.owner, hose=hose, governs=Governs.MAKER, reason=f"  {WHY} ")
    assert hose.rating_choice == choice
    assert (choice.governs, choice.actor_number) == (Governs.MAKER, world.owner.number)
    assert choice.private("reason") == WHY
    assert (choice.maker_value, choice.maker_unit) == ("330", "bar")
    assert (choice.published_value, choice.published_unit) == ("27.5", "MPa")


def test_a_later_choice_takes_the_place_of_an_earlier_one(world: World) -> None:
    hose = hose_of_two_ratings(world)
    choose_rating(actor=world.owner, hose=hose, governs=Governs.MAKER, reason=WHY)
    later = choose_rating(
        actor=world.owner, hose=hose, governs=Governs.LOWER, reason="the letter was withdrawn"
    )
    assert Hose.objects.get(pk=hose.pk).rating_choice == later


def test_a_corrected_figure_ends_the_choice(world: World) -> None:
    hose = hose_of_two_ratings(world)
    choose_rating(actor=world.owner, hose=hose, governs=Governs.MAKER, reason=WHY)
    hose.printed_value = "340"
    save_hose(actor=world.counter, hose=hose)
    assert Hose.objects.get(pk=hose.pk).rating_choice is None


def test_a_corrected_published_figure_ends_the_choice(world: World) -> None:
    hose = hose_of_two_ratings(world)
    choose_rating(actor=world.owner, hose=hose, governs=Governs.MAKER, reason=WHY)
    assert hose.standard is not None
    hose.standard.printed_value = "28"
    save_hose_rating(actor=world.counter, rating=hose.standard)
    assert Hose.objects.get(pk=hose.pk).rating_choice is None


def test_another_standard_ends_the_choice(world: World) -> None:
    hose = hose_of_two_ratings(world)
    choose_rating(actor=world.owner, hose=hose, governs=Governs.MAKER, reason=WHY)
    hose.standard = factories.HoseRatingFactory(edition="2022")
    save_hose(actor=world.counter, hose=hose)
    assert hose.rating_choice is None


def test_a_hose_built_to_no_standard_has_nothing_to_choose(world: World) -> None:
    with pytest.raises(OneRatingOnly, match="a published one is not known"):
        choose_rating(actor=world.owner, hose=world.hose, governs=Governs.LOWER, reason=WHY)


def test_a_hose_without_its_makers_rating_has_nothing_to_choose(world: World) -> None:
    hose = hose_of_two_ratings(world, "", "", confirmed=False)
    with pytest.raises(OneRatingOnly, match="its maker's is not known"):
        choose_rating(actor=world.owner, hose=hose, governs=Governs.LOWER, reason=WHY)


def test_nothing_is_chosen_between_ratings_that_nobody_has_confirmed(world: World) -> None:
    hose = hose_of_two_ratings(world, confirmed=False)
    with pytest.raises(RatingNotConfirmed, match=str(hose)):
        choose_rating(actor=world.owner, hose=hose, governs=Governs.MAKER, reason=WHY)
    confirm_hose(actor=world.inspector, hose=hose, document="letter", figure=hose.rating)  # type: ignore[arg-type]  # it has one
    with pytest.raises(RatingNotConfirmed, match="EN 853 2SN"):
        choose_rating(actor=world.owner, hose=hose, governs=Governs.MAKER, reason=WHY)
    assert not RatingChoice.objects.exists()


def test_a_choice_without_a_reason_is_refused(world: World) -> None:
    hose = hose_of_two_ratings(world)
    with pytest.raises(ChoiceWithoutReason):
        choose_rating(actor=world.owner, hose=hose, governs=Governs.MAKER, reason=" ")


@pytest.mark.parametrize(("maker", "unit"), [("275", "bar"), ("27.5", "MPa"), ("270", "bar")])
def test_a_makers_rating_that_is_not_above_the_published_one_is_not_chosen(
    world: World, maker: str, unit: str
) -> None:
    hose = hose_of_two_ratings(world, maker, unit)
    with pytest.raises(MakerNotAbove):
        choose_rating(actor=world.owner, hose=hose, governs=Governs.MAKER, reason=WHY)


def test_only_an_owner_chooses(world: World) -> None:
    hose = hose_of_two_ratings(world)
    for actor in (world.counter, world.bench, world.inspector, world.auditor):
        with pytest.raises(NotAllowed):
            choose_rating(actor=actor, hose=hose, governs=Governs.MAKER, reason=WHY)


def test_many_hoses_tell_their_choices_in_one_query(world: World) -> None:
    for n in range(4):
        hose = factories.HoseFactory(
            standard=factories.HoseRatingFactory(edition=f"edition {n}"), printed_value="330"
        )
        world.confirm(hose)
        confirm_hose_rating(
            actor=world.inspector, rating=hose.standard, document="EN 853", figure=hose.standard.rating
        )
        choose_rating(actor=world.owner, hose=hose, governs=Governs.MAKER, reason=WHY)
    with CaptureQueriesContext(
        connection,
    ) as queries:
        hoses = Hose.objects.select_related("standard").prefetch_related("rating_choices__entry")
        chosen = [hose.rating_choice for hose in hoses if hose.standard]
        assert [choice.actor_number for choice in chosen if choice] == [world.owner.number] * 4
    assert len(queries) == 3


def test_a_choice_leaves_the_hose_as_it_was(world: World) -> None:
    hose = hose_of_two_ratings(world)
    choose_rating(actor=world.owner, hose=hose, governs=Governs.MAKER, reason=WHY)
    assert (hose.printed_value, hose.bore) == ("330", Decimal("12.7"))
