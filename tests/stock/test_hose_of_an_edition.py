"""Hose comes in as what it was when it was made: some types were rated differently in other years."""

from decimal import Decimal

import pytest

from shop.catalogue.models import Hose
from shop.standards.loading import load_standards
from shop.standards.models import HoseRating
from shop.stock.models import Lot, Piece
from shop.stock.refusals import MayBeOlderEdition, OutsideEdition, UndatedHose
from shop.stock.services import receive_hose
from tests.factories import HoseFactory
from tests.world import World

OLDER, NEWER = "older table, to 2005", "type S, from 2006"
UNDATED = frozenset({"undated_hose"})


def hose_of(world: World, standard: str, edition: str = "") -> Hose:
    """A hose in size -8 built to a row of the published table."""
    load_standards(actor=world.owner)
    row = HoseRating.objects.get(standard=standard, edition=edition, dash=8)
    hose: Hose = HoseFactory(standard=row)
    return hose


def receive(world: World, hose: Hose, made: str, sure: frozenset[str] = frozenset()) -> list[Piece]:
    lot = Lot(hose=hose, made_printed=made)
    return receive_hose(actor=world.bench, lot=lot, lengths_mm=[Decimal(5000)], sure=sure)


@pytest.mark.parametrize(
    ("standard", "edition", "made"),
    [
        # SAE J517-2003: 100R2AT took the type S pressures from 2006; R9 was dropped from 2005.
        ("SAE 100R2AT", NEWER, "1Q2006"),
        ("SAE 100R2AT", OLDER, "4Q2005"),
        ("SAE 100R9", "discontinued 2005", "2004-12"),
        ("EN 853 2SN", "2015", "2Q2003"),  # an edition that names no years
        ("SAE 100R12", "", "2Q1999"),
    ],
)
def test_hose_made_while_its_edition_held_comes_in(
    world: World, standard: str, edition: str, made: str
) -> None:
    assert receive(world, hose_of(world, standard, edition), made)


@pytest.mark.parametrize(
    ("standard", "edition", "made", "says"),
    [
        ("SAE 100R2AT", NEWER, "3Q2004", r"In 2004 held SAE 100R2AT \(older table, to 2005\).*3500 psi"),
        ("SAE 100R2AT", OLDER, "2006-01", r"In 2006 held SAE 100R2AT \(type S, from 2006\).*4000 psi"),
        ("SAE 100R9", "discontinued 2005", "1Q2005", "SAE 100R9 was not in the standard in 2005"),
    ],
)
def test_hose_made_in_the_years_of_another_edition_is_refused(
    world: World, standard: str, edition: str, made: str, says: str
) -> None:
    with pytest.raises(OutsideEdition, match=says):
        receive(world, hose_of(world, standard, edition), made)
    assert not Lot.objects.filter(hose__standard__standard=standard).exists()


def test_undated_hose_of_a_newer_edition_may_be_of_the_older_one(world: World) -> None:
    hose = hose_of(world, "SAE 100R2AT", NEWER)
    with pytest.raises(UndatedHose):
        receive(world, hose, "")
    with pytest.raises(MayBeOlderEdition, match=r"Rated lower is SAE 100R2AT \(older table, to 2005\)"):
        receive(world, hose, "", UNDATED)
    assert receive(world, hose, "", UNDATED | {"may_be_older_edition"})


@pytest.mark.parametrize(("standard", "edition"), [("SAE 100R2AT", OLDER), ("SAE 100R12", "")])
def test_undated_hose_of_the_lowest_edition_is_only_undated(
    world: World, standard: str, edition: str
) -> None:
    assert receive(world, hose_of(world, standard, edition), "", UNDATED)


def test_hose_built_to_no_type_goes_by_its_maker(world: World) -> None:
    assert receive(world, world.hose, "1Q1995")


def test_a_row_without_a_rating_is_compared_by_its_years_alone(world: World) -> None:
    hose = hose_of(world, "SAE 100R2AT", NEWER)
    assert hose.standard is not None
    hose.standard.printed_value = hose.standard.printed_unit = ""
    hose.standard.save()
    assert receive(world, hose, "", UNDATED)
    with pytest.raises(OutsideEdition):
        receive(world, hose, "2004-05")
