"""Two hoses side by side: what differs is marked, and nothing says that one may stand in for the other."""

from decimal import Decimal
from html import unescape

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from shop.catalogue.models import Hose
from shop.catalogue.services import save_chart_line
from shop.engineering.pressures import Pressure, PressureUnit
from shop.standards.models import HoseRating
from shop.standards.services import confirm_hose_rating
from shop.web.reference.compare_differences import (
    DIFFERENT,
    NEITHER,
    ONE_SIDED,
    SAME,
    Difference,
    of_lengths,
    of_pressures,
    of_temperatures,
    of_words,
)
from shop.web.reference.compare_facts import Pair, side_by_side
from tests.factories import FluidFactory, HoseFactory, HoseRatingFactory
from tests.world import World

COMPARE = "/reference/hoses/compare/"


def bar(value: str) -> Pressure:
    return Pressure(Decimal(value), PressureUnit.BAR)


def psi(value: str) -> Pressure:
    return Pressure(Decimal(value), PressureUnit.PSI)


def beside(world: World, **changes: object) -> Pair:
    return side_by_side(world.hose.pk, HoseFactory(**changes).pk)


def difference(pair: Pair, label: str) -> Difference:
    return next(figure.difference for figure in pair.figures if figure.label == label)


@pytest.mark.parametrize(
    ("one", "other", "told"),
    [
        (bar("275"), bar("275"), SAME),
        (bar("275"), bar("250"), Difference("−", "25 bar lower")),
        (psi("4000"), psi("5000"), Difference("+", "1000 psi higher")),
        # Exact by definition: 27.5 MPa is 275 bar.
        (bar("275"), Pressure(Decimal("27.5"), PressureUnit.MPA), SAME),
        # 41.5 MPa is 6019 psi (1 MPa = 145.0377 psi), so 6000 psi is 19 psi or 1.3 bar lower.
        (Pressure(Decimal("41.5"), PressureUnit.MPA), psi("6000"), Difference("−", "1.3 bar lower")),
        # 6000 psi is 413.6854 bar.
        (psi("6000"), bar("413.69"), Difference("+", "under 0.1 bar higher")),
        (None, bar("275"), ONE_SIDED),
        (None, None, NEITHER),
    ],
)
def test_pressures_are_compared_as_they_are_printed(
    one: Pressure | None, other: Pressure | None, told: Difference
) -> None:
    assert of_pressures(one, other) == told


@pytest.mark.parametrize(
    ("one", "other", "told"),
    [
        ("180", "180.00", SAME),
        ("180", "165.5", Difference("−", "14.5 mm less")),
        ("12.7", "23", Difference("+", "10.3 mm more")),
        ("12.7", None, ONE_SIDED),
    ],
)
def test_lengths_differ_by_so_much(world: World, one: str, other: str | None, told: Difference) -> None:
    assert of_lengths(Decimal(one), None if other is None else Decimal(other)) == told


def test_temperatures_and_words_differ_too() -> None:
    assert of_temperatures(-40, -50) == Difference("−", "10 °C lower")
    assert of_temperatures(0, 0) == SAME  # nought is a temperature, not a gap
    assert of_temperatures(None, 0) == ONE_SIDED
    assert of_words("-8", "-12") == DIFFERENT


def test_every_figure_of_a_hose_stands_beside_the_others(world: World) -> None:
    pair = beside(world, outside_diameter=Decimal("21.5"), temperature_max_c=120, proof_printed="550")
    assert difference(pair, "Outside diameter") == Difference("−", "1.5 mm less")
    assert difference(pair, "Highest temperature") == Difference("+", "20 °C higher")
    assert difference(pair, "Proof pressure in its document") == DIFFERENT
    assert difference(pair, "True bore") == SAME
    assert [name for name in pair.differing if "diameter" in name] == ["outside diameter"]


def test_the_least_gap_is_the_policys_where_a_hose_has_none(world: World) -> None:
    pair = beside(world, least_between_ferrules=Decimal(60))
    figure = next(f for f in pair.figures if f.label.startswith("Least free hose"))
    assert (figure.one, figure.other) == ("the policy's 2 outside diameters", "60 mm")
    assert figure.difference == DIFFERENT


@pytest.mark.parametrize(
    ("maker", "published", "governs", "told"),
    [
        (("290", "bar"), ("27.5", "MPa"), "published", "The published rating governs: its maker's is 15 bar"),
        (("250", "bar"), ("27.5", "MPa"), "maker", "Its maker's rating governs: the published one is 25 bar"),
        (("275", "bar"), ("27.5", "MPa"), "maker", "Its maker's rating and the published one are the same."),
        (("", ""), ("27.5", "MPa"), "published", "The published rating counts alone"),
        (("275", "bar"), ("", ""), "maker", "Its published type has no rating"),
    ],
)
def test_the_lower_of_both_ratings_of_a_hose_governs(
    world: World, maker: tuple[str, str], published: tuple[str, str], governs: str, told: str
) -> None:
    standard = HoseRatingFactory(printed_value=published[0], printed_unit=published[1])
    pair = beside(world, printed_value=maker[0], printed_unit=maker[1], standard=standard)
    assert next(iter(pair.other.sentences)).startswith(told)
    of_maker, of_standard = (row.other for row in pair.ratings)
    assert (of_maker.governs, of_standard.governs) == (governs == "maker", governs == "published")


def test_a_hose_without_any_rating_may_be_quoted_only(world: World) -> None:
    pair = beside(world, printed_value="", printed_unit="", source="")
    assert list(pair.other.sentences) == ["No rating is known: it may be quoted, never confirmed."]
    assert (pair.counts, pair.other.counts) == (ONE_SIDED, "none known")
    assert not any(cell.governs for cell in (pair.ratings[0].other, pair.ratings[1].other))


def test_a_rating_from_memory_says_so_and_that_nobody_confirmed_it(client: Client, world: World) -> None:
    client.force_login(world.bench)
    other = HoseFactory(standard=HoseRatingFactory(), printed_value="290")
    page = unescape(client.get(COMPARE, {"one": world.hose.pk, "other": other.pk}).content.decode())
    assert "from memory (EN 853:2015, from memory)" in " ".join(page.split())
    assert f"Nobody has confirmed the rating of {other.standard}, from memory: no order line" in page
    assert "27.5 MPa (275 bar, 3988 psi), from memory, not confirmed" in page


def test_what_counts_says_whether_it_can_be_relied_on(world: World) -> None:
    assert beside(world).one.counts == "275 bar (3988 psi)"
    assert beside(world).other.counts == "275 bar (3988 psi), not confirmed"
    Hose.objects.filter(pk=world.hose.pk).update(standard=HoseRatingFactory())
    assert beside(world).one.counts == "275 bar (3988 psi), confirmed only in part"


def test_a_confirmed_rating_says_who_found_it_where(client: Client, world: World) -> None:
    rating = HoseRatingFactory()
    confirm_hose_rating(
        actor=world.inspector, rating=rating, document="EN 853:2015 (E)", figure=rating.rating
    )
    client.force_login(world.bench)
    other = HoseFactory(standard=rating)
    page = client.get(COMPARE, {"one": world.hose.pk, "other": other.pk}).content.decode()
    assert "by Radu Lindqvist, against EN 853:2015 (E)" in page
    assert "by Radu Lindqvist, against data sheet, 2025" in page


def test_fluids_are_told_hose_by_hose(world: World) -> None:
    glycol = FluidFactory(name="water glycol")
    pair = beside(world, fluids=[glycol, world.fluid])
    assert [(row.fluid, row.one, row.other, row.difference) for row in pair.fluids] == [
        (world.fluid, True, True, SAME),
        (glycol, False, True, ONE_SIDED),
    ]
    assert "approval for water glycol" in pair.differing


def test_two_hoses_to_the_same_standard_are_not_the_same_to_a_chart(client: Client, world: World) -> None:
    standard = HoseRatingFactory()
    Hose.objects.filter(pk=world.hose.pk).update(standard=standard)
    other = HoseFactory(standard=standard)
    [row] = side_by_side(world.hose.pk, other.pk).charts
    assert (row.series, len(row.one), len(row.other)) == (world.series, 1, 0)
    assert row.difference.words == "a chart names only one"
    client.force_login(world.bench)
    page = unescape(client.get(COMPARE, {"one": world.hose.pk, "other": other.pk}).content.decode())
    assert f'<a href="/quality/charts/{world.chart.pk}/">RW-8 issue 1</a>' in page
    assert "no chart names it" in page
    assert "Neither stands in for the other by its figures" in page


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({}, SAME),
        ({"target": Decimal("24.1")}, Difference("≠", "differs in crimp diameter")),
        (
            {"target": Decimal("25.2"), "lower": Decimal(25), "upper": Decimal("25.4")},
            Difference("≠", "differs in crimp diameter and lower limit and upper limit"),
        ),
    ],
)
def test_set_ups_of_both_are_compared(world: World, changes: dict[str, object], told: Difference) -> None:
    other = HoseFactory()
    save_chart_line(actor=world.bench, line=world.chart_line(hose=other, **changes))
    [row] = side_by_side(world.hose.pk, other.pk).charts
    assert not row.other  # typed, but not issued: nothing of it is in force
    world.chart.refresh_from_db()
    world.issue("2")
    [row] = side_by_side(world.hose.pk, other.pk).charts
    assert row.difference == told


def test_several_set_ups_are_the_same_only_one_by_one(world: World) -> None:
    other = HoseFactory()
    for hose, material in ((other, ""), (other, "stainless"), (world.hose, "stainless")):
        save_chart_line(actor=world.bench, line=world.chart_line(hose=hose, material=material))
    world.chart.refresh_from_db()
    world.issue("2")
    [row] = side_by_side(world.hose.pk, other.pk).charts
    assert (len(row.one), len(row.other), row.difference) == (2, 2, SAME)


def test_the_same_dash_with_another_bore_is_a_caution(world: World) -> None:
    cautions = beside(world, bore=Decimal("10.31875")).cautions
    assert any("Both are called -8, but their bores differ" in caution for caution in cautions)
    assert not any("bores differ" in caution for caution in beside(world).cautions)
    assert not any("bores differ" in caution for caution in beside(world, dash=6, bore=Decimal(10)).cautions)


def test_a_hose_is_not_compared_with_itself(client: Client, world: World) -> None:
    client.force_login(world.bench)
    page = client.get(COMPARE, {"one": world.hose.pk, "other": world.hose.pk}).content.decode()
    assert "That is the first one again." in page
    assert "<caption>" not in page


def test_the_page_of_a_hose_leads_to_the_choice_of_the_other(client: Client, world: World) -> None:
    client.force_login(world.bench)
    link = f"{COMPARE}?one={world.hose.pk}"
    assert f'href="{link}"' in client.get(f"/reference/hoses/{world.hose.pk}/").content.decode()
    page = client.get(link).content.decode()
    assert f'<option value="{world.hose.pk}" selected>' in page
    assert "is-invalid" not in page
    assert client.get(COMPARE, {"one": "x", "other": "999999"}).status_code == 200


def test_more_of_everything_takes_no_more_queries(client: Client, world: World) -> None:
    client.force_login(world.bench)

    def queries(one: Hose, other: Hose) -> int:
        with CaptureQueriesContext(connection) as captured:
            assert client.get(COMPARE, {"one": one.pk, "other": other.pk}).status_code == 200
        return len(captured)

    def rated(edition: int) -> HoseRating:
        rating = HoseRatingFactory(edition=f"edition {edition}")
        confirm_hose_rating(actor=world.inspector, rating=rating, document="its text", figure=rating.rating)
        return rating

    first = HoseFactory(standard=rated(1))
    Hose.objects.filter(pk=world.hose.pk).update(standard=rated(2))
    few = queries(world.hose, first)
    many = HoseFactory(standard=rated(3), fluids=[FluidFactory(name=f"fluid {n}") for n in range(6)])
    for material in ("", "stainless"):
        save_chart_line(actor=world.bench, line=world.chart_line(hose=many, material=material))
    world.chart.refresh_from_db()
    world.issue("2")
    assert queries(world.hose, many) == few
