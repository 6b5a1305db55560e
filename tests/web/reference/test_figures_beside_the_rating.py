"""What documents print beside a rating is typed on the pages of the registers and taken in from a CSV."""

from decimal import Decimal
from html import unescape

import pytest
from django.test import Client

from shop.catalogue.models import Fitting, Fluid, Hose, Seal
from shop.standards.loading import load_standards
from shop.standards.models import HoseRating
from tests.factories import HoseRatingFactory, SealFactory
from tests.world import World

HOSE = {
    "maker": "Quillmark",
    "designation": "Brook",
    "dash": "-8",
    "bore": "12.7",
    "outside_diameter": "23",
    "rating": "275 bar",
    "source": "Brook data sheet 2",
    "bend_radius": "180",
    "temperature_min_c": "-40",
    "temperature_max_c": "100",
}


@pytest.fixture(autouse=True)
def _signed_in(client: Client, world: World) -> None:
    client.force_login(world.owner)


def test_a_hose_is_written_with_proof_burst_and_vacuum_and_reads_with_their_units(client: Client) -> None:
    figures = {"proof_printed": "550", "burst_printed": "1100", "vacuum_printed": "85", "vacuum_unit": "kPa"}
    client.post("/reference/hoses/new/", HOSE | figures)
    hose = Hose.objects.get(designation="Brook")
    assert [str(figure) for figure in (hose.proof, hose.burst, hose.vacuum)] == [
        "550 bar",
        "1100 bar",
        "85 kPa",
    ]
    page = " ".join(client.get(f"/reference/hoses/{hose.pk}/").content.decode().split())
    assert "<dt>Least burst pressure</dt><dd>1100 bar (15954 psi)</dd>" in page
    assert "<dt>Vacuum it stands</dt><dd>85 kPa (" in page
    values = page.partition('aria-label="Values"')[2].partition("</section>")[0]
    assert "Unit of that vacuum" not in values


def test_a_hose_without_a_vacuum_reads_as_not_for_suction(client: Client, world: World) -> None:
    assert "none: not for suction" in client.get(f"/reference/hoses/{world.hose.pk}/").content.decode()


@pytest.mark.parametrize(
    ("figures", "says"),
    [
        ({"proof_printed": "200"}, "A proof pressure of 200 bar is not above the rating of 275 bar."),
        ({"vacuum_printed": "0.85"}, "A vacuum has a figure and its unit, or neither."),
        ({"burst_printed": "four times"}, "four times is no figure."),
    ],
)
def test_figures_that_cannot_be_are_refused_at_their_field(
    client: Client, figures: dict[str, str], says: str
) -> None:
    assert says in unescape(client.post("/reference/hoses/new/", HOSE | figures).content.decode())
    assert not Hose.objects.filter(designation="Brook").exists()


def test_a_bore_that_is_not_its_types_is_asked_about_and_taken_once_it_is_meant(client: Client) -> None:
    built_to = {"standard": HoseRatingFactory(standard="SAE 100R5").pk}
    page = client.post("/reference/hoses/new/", HOSE | built_to).content.decode()
    assert "12.7 mm is far from the 13/32 in (10.3 mm) of size -8 of SAE 100R5" in page
    client.post("/reference/hoses/new/", HOSE | built_to | {"sure": "bore_not_of_size"})
    assert Hose.objects.filter(designation="Brook").exists()


def test_a_published_row_is_written_with_its_burst_pressure(client: Client) -> None:
    row = HoseRatingFactory()
    answers = {
        "standard": row.standard, "edition": row.edition, "dash": "8", "dn": "12", "rating": "27.5 MPa",
        "burst_printed": "110", "source": row.source, "basis": "memory",
    }  # fmt: skip
    client.post(f"/reference/hose-ratings/{row.pk}/change/", answers)
    assert str(HoseRating.objects.get(pk=row.pk).burst) == "110 MPa"


def test_water_gets_its_range(client: Client) -> None:
    answers = {"name": "water", "temperature_min_c": "0", "temperature_max_c": "70"}
    client.post("/reference/fluids/new/", answers)
    water = Fluid.objects.get(name="water")
    assert (water.temperature_min_c, water.temperature_max_c) == (0, 70)
    assert "70 °C" in client.get("/reference/fluids/").content.decode()


def test_a_seal_is_taken_in_from_a_csv_with_its_fluids(client: Client, world: World) -> None:
    text = f"Material,Approved for,From °C,To °C\nnitrile,{world.fluid},-30,100\n"
    client.post("/reference/seals/csv/", {"text": text, "take": "yes"})
    seal = Seal.objects.get(name="nitrile")
    assert (list(seal.fluids.all()), seal.temperature_min_c) == ([world.fluid], -30)


def test_a_fitting_gets_its_seal_and_how_far_its_metal_goes_on(client: Client, world: World) -> None:
    seal = SealFactory()
    text = (
        "Series,Designation,Seal,Metal beyond that point\n"
        f"{world.series},{world.fitting.designation},{seal},0 mm\n"
        f"{world.series},{world.elbow.designation},,14.5 mm\n"
    )
    dry = unescape(client.post("/reference/fittings/csv/", {"text": text}).content.decode())
    assert "Nothing has been taken in yet" in dry
    sure = ["2:changes", "3:changes"]
    client.post("/reference/fittings/csv/", {"text": text, "take": "yes", "sure": sure})
    straight, elbow = (Fitting.objects.get(pk=one.pk) for one in (world.fitting, world.elbow))
    assert (straight.seal, straight.beyond_datum) == (seal, Decimal(0))
    assert (elbow.seal, elbow.beyond_datum) == (None, Decimal("14.5"))


def test_only_a_straight_fitting_that_stays_as_crimped_says_what_shows_its_direction(
    client: Client, world: World
) -> None:
    column = "Series,Designation,What shows which way a straight one faces"
    for fitting in (world.elbow, world.fitting):
        text = f"{column}\n{world.series},{fitting.designation},its upper two bolt holes\n"
        client.post("/reference/fittings/csv/", {"text": text, "take": "yes", "sure": ["2:changes"]})
        fitting.refresh_from_db()
    assert (world.elbow.direction, world.elbow.faces) == ("", "the bend's centreline")
    assert (world.fitting.direction, world.fitting.faces) == ("its upper two bolt holes",) * 2


def test_metal_beyond_its_datum_is_never_less_than_none(client: Client, world: World) -> None:
    text = f"Series,Designation,Metal beyond that point\n{world.series},{world.fitting.designation},-3 mm\n"
    page = client.post("/reference/fittings/csv/", {"text": text}).content.decode()
    assert "it is nought or more" in page


def test_the_published_list_names_types_with_one_rating_in_all_sizes(client: Client, world: World) -> None:
    load_standards(actor=world.owner)
    page = " ".join(client.get("/reference/hose-ratings/").content.decode().split())
    assert "One rating in all its sizes" in page
    # From memory: 100R17 is rated 3000 psi in every size, 100R2AT is not.
    constant = page.partition("One rating in all its sizes")[2].partition("Pressure classes")[0]
    assert '<dt>SAE 100R17</dt><dd><span class="number">3000 psi' in constant
    assert "100R2AT" not in constant


def test_the_published_list_shows_the_classes_and_that_they_are_from_memory(client: Client) -> None:
    page = " ".join(client.get("/reference/hose-ratings/").content.decode().split())
    classes = page.partition("Pressure classes of ISO 18752")[2]
    assert "560 bar" in classes
    assert "The pressures of the classes are from memory." in classes
    assert "One rating in all its sizes" not in page
