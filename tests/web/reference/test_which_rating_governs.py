"""The page of a hose shows both of its ratings and which governs; an owner chooses there."""

from html import unescape

import pytest
from django.test import Client

from shop.catalogue.models import Governs, Hose
from shop.catalogue.services import choose_rating
from shop.standards.services import confirm_hose_rating
from shop.web.reference.governing import two_ratings, which_governs
from tests.factories import HoseFactory, HoseRatingFactory
from tests.world import World

WHY = "Quillmark's letter of 2026-03-02"


def written(world: World, maker: str = "330", *, confirmed: bool = True) -> Hose:
    """A hose that its maker rates in bar, built to a type of 27.5 MPa."""
    standard = HoseRatingFactory()
    hose: Hose = HoseFactory(standard=standard, printed_value=maker, printed_unit="bar" if maker else "")
    if confirmed:
        world.confirm(hose)
        confirm_hose_rating(
            actor=world.inspector, rating=standard, document="EN 853:2015", figure=standard.rating
        )
    return hose


def page_of(client: Client, hose: Hose) -> str:
    text = unescape(client.get(f"/reference/hoses/{hose.pk}/").content.decode())
    return " ".join(text.split())


def test_the_lower_governs_until_somebody_chooses(client: Client, world: World) -> None:
    client.force_login(world.owner)
    page = page_of(client, hose := written(world))
    assert "The published rating governs: its maker's is 55 bar higher." in page
    assert [one.governs for one in two_ratings(hose)] == [False, True]
    assert "Choose which governs" in page


def test_an_owner_chooses_the_makers_on_the_page_and_is_told_by_name(client: Client, world: World) -> None:
    client.force_login(world.owner)
    hose = written(world)
    answers = {"governs": "maker", "reason": WHY}
    told = client.post(f"/reference/hoses/{hose.pk}/rating/", answers, follow=True)
    assert "Order lines that were confirmed before keep their rating" in told.content.decode()
    page = page_of(client, hose)
    assert "Its maker's rating governs, 55 bar above the published one, because an owner chose it." in page
    assert f"{world.owner.name} chose “the maker's own” on" in page
    assert WHY in page
    assert [one.governs for one in two_ratings(Hose.objects.get(pk=hose.pk))] == [True, False]


@pytest.mark.parametrize(
    ("answers", "says"),
    [
        ({"governs": "maker", "reason": " "}, "This field is required."),
        ({"governs": "", "reason": WHY}, "This field is required."),
    ],
)
def test_what_is_missing_is_said_and_what_was_typed_stays(
    client: Client, world: World, answers: dict[str, str], says: str
) -> None:
    client.force_login(world.owner)
    hose = written(world)
    page = unescape(client.post(f"/reference/hoses/{hose.pk}/rating/", answers).content.decode())
    assert says in page
    assert answers["reason"].strip() in page
    assert hose.rating_choice is None


def test_a_makers_rating_below_the_published_one_is_not_chosen(client: Client, world: World) -> None:
    client.force_login(world.owner)
    hose = written(world, "250")
    page = client.post(f"/reference/hoses/{hose.pk}/rating/", {"governs": "maker", "reason": WHY})
    assert "so the lower governs as it is" in page.content.decode()


def test_others_see_which_governs_and_cannot_choose(client: Client, world: World) -> None:
    hose = written(world)
    choose_rating(actor=world.owner, hose=hose, governs=Governs.MAKER, reason=WHY)
    client.force_login(world.inspector)
    page = page_of(client, hose)
    assert WHY in page
    assert "Choose which governs" not in page
    assert client.post(f"/reference/hoses/{hose.pk}/rating/", {"governs": "lower"}).status_code == 403


def test_unconfirmed_ratings_are_confirmed_before_anything_is_chosen(client: Client, world: World) -> None:
    client.force_login(world.owner)
    page = page_of(client, hose := written(world, confirmed=False))
    assert "An owner may choose once both ratings are known and confirmed" in page
    refused = client.post(f"/reference/hoses/{hose.pk}/rating/", {"governs": "maker", "reason": WHY})
    assert "Nobody has confirmed the rating of" in refused.content.decode()


def test_a_hose_built_to_no_type_has_nothing_to_choose(client: Client, world: World) -> None:
    client.force_login(world.owner)
    assert "Which rating governs" not in page_of(client, world.hose)
    asked = client.get(f"/reference/hoses/{world.hose.pk}/rating/").content.decode()
    assert "there is nothing to choose" in asked
    assert two_ratings(world.hose) == []


def test_side_by_side_says_that_it_was_chosen(client: Client, world: World) -> None:
    hose = written(world)
    choose_rating(actor=world.owner, hose=hose, governs=Governs.MAKER, reason=WHY)
    client.force_login(world.bench)
    answer = client.get("/reference/hoses/compare/", {"one": world.hose.pk, "other": hose.pk})
    assert which_governs(Hose.objects.get(pk=hose.pk)) in unescape(answer.content.decode())
