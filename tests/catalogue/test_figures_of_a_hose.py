"""A hose's figures fit each other, its size and its type; what looks like a slip is asked about."""

from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError

from shop.catalogue.models import Hose
from shop.catalogue.refusals import BoreNotOfSize, TypeOfAnotherSize
from shop.catalogue.services import save_hose
from shop.engineering.pressures import Pressure, PressureUnit
from shop.standards.models import HoseRating
from shop.standards.services import save_hose_rating
from tests import factories
from tests.world import World

SURE = frozenset({"bore_not_of_size"})


def built_to(standard: str, dash: int, bore: str, **values: object) -> Hose:
    """A hose of a type and size with this bore in mm, not written yet."""
    row = factories.HoseRatingFactory(standard=standard, dash=dash)
    return factories.HoseFactory.build(standard=row, dash=dash, bore=Decimal(bore), **values)


def test_a_bore_that_counts_the_tube_is_taken_for_hose_that_is_sized_by_it(world: World) -> None:
    hose = save_hose(actor=world.counter, hose=built_to("SAE 100R5", 8, "10.3"))
    assert hose.pk


def test_the_bore_of_other_hose_is_asked_about_in_hose_that_is_sized_by_its_tube(world: World) -> None:
    hose = built_to("SAE 100R5", 8, "12.7")
    with pytest.raises(BoreNotOfSize) as doubt:
        save_hose(actor=world.counter, hose=hose)
    # 13/32 in: SAE J517, from memory.
    assert "12.7 mm is far from the 13/32 in (10.3 mm) of size -8 of SAE 100R5" in doubt.value.what
    assert "its size counts the tube" in doubt.value.what
    assert not Hose.objects.filter(designation=hose.designation).exists()
    assert save_hose(actor=world.counter, hose=hose, sure=SURE).pk


def test_the_bore_of_a_tube_is_asked_about_in_hose_that_is_sized_by_its_bore(world: World) -> None:
    with pytest.raises(BoreNotOfSize, match="its size counts the bore"):
        save_hose(actor=world.counter, hose=built_to("EN 853 2SN", 8, "10.3"))


@pytest.mark.parametrize(("bore", "asked"), [("14.375", False), ("14.376", True), ("10.625", False)])
def test_fifteen_percent_of_the_nominal_bore_are_not_asked_about(
    world: World, bore: str, asked: bool
) -> None:
    hose = built_to("EN 853 2SN", 8, bore)  # 12.5 mm
    if asked:
        with pytest.raises(BoreNotOfSize):
            save_hose(actor=world.counter, hose=hose)
    else:
        assert save_hose(actor=world.counter, hose=hose).pk


def test_a_size_that_no_table_has_is_not_compared(world: World) -> None:
    assert save_hose(
        actor=world.counter, hose=built_to("SAE 100R5", 7, "18", outside_diameter=Decimal(30))
    ).pk


def test_a_hose_is_not_built_to_a_row_of_another_size(world: World) -> None:
    hose = built_to("EN 853 2SN", 8, "12.7")
    hose.dash = 12
    with pytest.raises(TypeOfAnotherSize, match="size -12 is not built to EN 853 2SN 2015 -8"):
        save_hose(actor=world.counter, hose=hose)


def test_proof_and_burst_are_in_the_ratings_unit(world: World) -> None:
    hose = factories.HoseFactory.build(proof_printed="550", burst_printed="1100")
    save_hose(actor=world.counter, hose=hose)
    assert (hose.proof, hose.burst) == (
        Pressure(Decimal(550), PressureUnit.BAR),
        Pressure(Decimal(1100), PressureUnit.BAR),
    )
    assert (world.hose.proof, world.hose.burst, world.hose.vacuum) == (None, None, None)


@pytest.mark.parametrize(
    ("values", "field", "says"),
    [
        ({"proof_printed": "275"}, "proof_printed", "275 bar is not above the rating of 275 bar"),
        ({"burst_printed": "200"}, "burst_printed", "200 bar is not above the rating of 275 bar"),
        (
            {"proof_printed": "550", "burst_printed": "550"},
            "burst_printed",
            "550 bar is not above the proof pressure of 550 bar",
        ),
        ({"proof_printed": "twice"}, "proof_printed", "twice is no figure"),
        (
            {"printed_value": "", "printed_unit": "", "burst_printed": "1100"},
            "burst_printed",
            "type the rating first",
        ),
        ({"vacuum_printed": "0.85"}, "vacuum_unit", "a figure and its unit"),
        ({"vacuum_printed": "0.00", "vacuum_unit": "bar"}, "vacuum_printed", "0.00 is no figure"),
        ({"printed_value": "0.0"}, "printed_value", "0.0 is no figure"),
        ({"vacuum_printed": "1.1", "vacuum_unit": "bar"}, "vacuum_printed", "deeper than atmosphere"),
    ],
)
def test_figures_that_do_not_fit_each_other_are_refused(
    world: World, values: dict[str, str], field: str, says: str
) -> None:
    with pytest.raises(ValidationError, match=says) as refused:
        save_hose(actor=world.counter, hose=factories.HoseFactory.build(**values))
    assert set(refused.value.message_dict) == {field}


def test_a_published_row_holds_to_the_same(world: World) -> None:
    row = factories.HoseRatingFactory.build(proof_printed="20")
    with pytest.raises(ValidationError, match="A proof pressure of 20 MPa is not above"):
        save_hose_rating(actor=world.counter, rating=row)
    row.proof_printed, row.burst_printed = "55", "110"
    row.vacuum_printed, row.vacuum_unit = "80", "kPa"
    save_hose_rating(actor=world.counter, rating=row)
    again = HoseRating.objects.get(pk=row.pk)
    assert (str(again.proof), str(again.burst), str(again.vacuum)) == ("55 MPa", "110 MPa", "80 kPa")
