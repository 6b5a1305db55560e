"""Gauges: their calibrations by page and by CSV, and what is due."""

import datetime
from decimal import Decimal

import pytest
from django.test import Client
from django.urls import reverse

from shop.policy.services import today
from shop.tooling.models import Calibration, Gauge
from shop.tooling.services import save_gauge
from shop.web.tools.forms import due_again
from tests.assemblies import bench
from tests.factories import CheckPieceFactory, GaugeFactory
from tests.world import World

CSV = "/tools/gauges/calibrations/"
HEADERS = "gauge;done_on;due_on;error_as_found;error_as_left;expanded_uncertainty;passed;certificate"


@pytest.fixture
def gauge(client: Client, world: World) -> Gauge:
    client.force_login(world.inspector)
    gauge: Gauge = GaugeFactory(number="caliper 2", mark="blue", permitted_error=Decimal("0.02"))
    return gauge


def answers(**changes: str) -> dict[str, str]:
    return {
        "done_on": str(today()),
        "due_on": str(today() + datetime.timedelta(days=365)),
        "error_as_found": "-0,03 mm",
        "error_as_left": "0",
        "expanded_uncertainty": "0.03",
        "passed": "on",
        "certificate": "C-2",
        **changes,
    }


def line(gauge: str = "caliper 2", **changes: str) -> str:
    values = {"gauge": gauge, **answers(passed="yes"), **changes}
    return ";".join(values[name] for name in HEADERS.split(";"))


def test_errors_keep_their_sign(client: Client, gauge: Gauge) -> None:
    page = client.post(f"/tools/gauges/{gauge.pk}/calibrate/", answers(), follow=True).content.decode()
    calibration = gauge.calibrations.get()
    assert (calibration.error_as_found, calibration.error_as_left) == (Decimal("-0.03"), Decimal(0))
    assert "−0.03 mm" in page
    assert f"until {calibration.due_on}" in page


def test_the_form_proposes_today_and_the_gauges_own_interval(client: Client, gauge: Gauge) -> None:
    page = client.get(f"/tools/gauges/{gauge.pk}/calibrate/").content.decode()
    assert f'value="{today()}"' in page
    assert f'value="{due_again(today(), 12)}"' in page


@pytest.mark.parametrize(
    ("done_on", "months", "due"),
    [("2026-11-25", 12, "2027-11-25"), ("2026-08-31", 6, "2027-02-28"), ("2026-12-01", 1, "2027-01-01")],
)
def test_due_again_is_the_same_day_or_the_months_last(done_on: str, months: int, due: str) -> None:
    assert str(due_again(datetime.date.fromisoformat(done_on), months)) == due


def test_a_calibration_that_is_still_to_come_is_refused(client: Client, gauge: Gauge) -> None:
    tomorrow = str(today() + datetime.timedelta(days=1))
    page = client.post(f"/tools/gauges/{gauge.pk}/calibrate/", answers(done_on=tomorrow)).content.decode()
    assert "a calibration is recorded once it is done" in page
    assert not gauge.calibrations.exists()


def test_a_gauge_passed_outside_its_permitted_error_is_asked_about(client: Client, gauge: Gauge) -> None:
    address = f"/tools/gauges/{gauge.pk}/calibrate/"
    page = client.post(address, answers(error_as_left="0.05")).content.decode()
    assert "Fit for use with an error of 0.05 mm (the gauge is permitted 0.02 mm)" in page
    assert not gauge.calibrations.exists()
    client.post(address, answers(error_as_left="0.05", sure="unusual_values"))
    assert gauge.calibrations.exists()


def test_the_bench_keeps_gauges_and_does_not_calibrate_them(
    client: Client, world: World, gauge: Gauge
) -> None:
    client.force_login(world.bench)
    assert client.get(f"/tools/gauges/{gauge.pk}/change/").status_code == 200
    assert client.post(f"/tools/gauges/{gauge.pk}/calibrate/", answers()).status_code == 403


def test_calibrations_come_in_by_csv_with_the_gauges_number(client: Client, gauge: Gauge) -> None:
    page = client.post(CSV, {"text": f"{HEADERS}\n{line()}", "take": "yes"}, follow=True)
    assert "Taken in: 1 new." in page.content.decode()
    assert gauge.calibrations.get().error_as_found == Decimal("-0.03")


def test_a_line_that_does_not_say_fit_for_use_leaves_the_gauge_unfit(client: Client, gauge: Gauge) -> None:
    client.post(CSV, {"text": f"{HEADERS}\n{line(passed='')}", "take": "yes"})
    assert not gauge.calibrations.get().passed


@pytest.mark.parametrize("nothing", ["-", "mm", "."])
def test_no_figure_is_not_taken_for_an_error_of_nought(client: Client, gauge: Gauge, nothing: str) -> None:
    client.post(f"/tools/gauges/{gauge.pk}/calibrate/", answers(error_as_left=nothing))
    assert not gauge.calibrations.exists()


def test_a_recorded_calibration_is_not_changed_by_a_csv(client: Client, gauge: Gauge) -> None:
    client.post(CSV, {"text": f"{HEADERS}\n{line()}", "take": "yes"})
    changed = line(expanded_uncertainty="0.01")
    page = client.post(CSV, {"text": f"{HEADERS}\n{changed}", "take": "yes"}).content.decode()
    assert "This is recorded already, and a record is never changed." in page
    assert Calibration.objects.filter(gauge=gauge).count() == 1


def test_an_unknown_gauge_is_named_with_the_nearest(client: Client, gauge: Gauge) -> None:
    page = client.post(CSV, {"text": f"{HEADERS}\n{line('calipper 2')}"}).content.decode()
    assert "“calipper 2” is not in the list. Nearest: “caliper 2 (blue)”" in page


@pytest.mark.parametrize(
    ("due_in_days", "passed", "narrowed", "says"),
    [
        (None, True, "over", "never calibrated"),
        (-1, True, "over", "was due on"),
        (100, False, "over", "found unfit on"),
        (10, True, "soon", "due soon"),
        (31, True, "", "until"),
    ],
)
def test_the_list_says_where_each_gauge_stands(
    client: Client,
    world: World,
    gauge: Gauge,
    due_in_days: int | None,
    passed: bool,
    narrowed: str,
    says: str,
) -> None:
    if due_in_days is not None:
        due_on = today() + datetime.timedelta(days=due_in_days)
        world.calibrate(gauge, due_on=due_on, passed=passed)
    for name in ("over", "soon"):
        page = client.get(f"/tools/gauges/?calibration={name}").content.decode()
        assert ("caliper 2" in page) == (name == narrowed)
    page = client.get("/tools/gauges/?q=blue").content.decode()
    assert says in page


def test_the_first_page_counts_gauges_that_can_not_judge(client: Client, gauge: Gauge) -> None:
    page = client.get("/tools/").content.decode()
    assert "1 that can&#x27;t judge today" in page


def test_gauges_sort_by_when_they_are_due(client: Client, gauge: Gauge) -> None:
    page = client.get("/tools/gauges/?sort=calibration").content.decode()
    assert page.index("caliper 2") < page.index("caliper 1")


def test_a_calibration_shows_what_its_uncertainty_comes_from(client: Client, gauge: Gauge) -> None:
    address = f"/tools/gauges/{gauge.pk}/calibrate/"
    parts = {"certificate_uncertainty": "0.02", "temperature_effect": "0.003", "repeatability": "0"}
    page = client.post(address, answers(expanded_uncertainty="", **parts), follow=True).content.decode()
    assert gauge.calibrations.get().expanded_uncertainty > Decimal("0.02")
    assert "calibration 0.01 mm; resolution 0.002887 mm" in page


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"repeatability": "0.005"}, "Type this, or what it comes from, not both."),
        ({"expanded_uncertainty": ""}, "Type this, or all three things that it comes from."),
        (
            {"expanded_uncertainty": "", "repeatability": "0.005"},
            "A budget has all three. What does nothing is 0.",
        ),
    ],
)
def test_the_uncertainty_is_typed_or_worked_out(
    client: Client, gauge: Gauge, changes: dict[str, str], sentence: str
) -> None:
    address = f"/tools/gauges/{gauge.pk}/calibrate/"
    assert sentence in client.post(address, answers(**changes)).content.decode()
    assert not gauge.calibrations.exists()


def test_the_page_says_which_tolerance_it_is_fit_for(client: Client, world: World, gauge: Gauge) -> None:
    assert "Finest tolerance" not in client.get(f"/tools/gauges/{gauge.pk}/").content.decode()
    world.calibrate(gauge, expanded_uncertainty=Decimal("0.03"))
    page = client.get(f"/tools/gauges/{gauge.pk}/").content.decode()
    assert "0.24 mm" in page
    assert page.count(" ours") == 1


def test_a_gauge_is_tried_and_what_rested_on_it_is_shown_when_it_is_wrong(
    client: Client, world: World, gauge: Gauge
) -> None:
    world.caliper.permitted_error = Decimal("0.03")
    save_gauge(actor=world.bench, gauge=world.caliper)
    piece = CheckPieceFactory(number="ring 25", nominal=Decimal("25.00"))
    assembly = bench.made(world)
    address = f"/tools/gauges/{world.caliper.pk}/"
    client.force_login(world.bench)
    page = client.post(f"{address}try/", {"piece": piece.pk, "reading": "25.01"}, follow=True)
    assert "is right on ring 25" in page.content.decode()
    bench.made(world)
    page = client.post(f"{address}try/", {"piece": piece.pk, "reading": "25.06"}, follow=True)
    assert "is out of use from now on" in page.content.decode()
    assert "1 assembly rests on its readings" in page.content.decode()
    assert f"/{assembly.code}/" not in page.content.decode()
    shown = client.get(address).content.decode()
    assert "It was wrong on ring 25." in shown
    assert "read 25.06 mm on ring 25, which is 25 mm" in shown


def test_a_reading_far_off_is_asked_about(client: Client, world: World, gauge: Gauge) -> None:
    piece = CheckPieceFactory()
    sent = {"piece": piece.pk, "reading": "52"}
    page = client.post(f"/tools/gauges/{gauge.pk}/try/", sent).content.decode()
    assert "52 mm was read on" in page
    client.post(f"/tools/gauges/{gauge.pk}/try/", sent | {"sure": "far_from_check_piece"})
    assert not gauge.checks.get().passed


def test_a_calibration_that_found_it_wrong_asks_what_rested_on_it(
    client: Client, world: World, gauge: Gauge
) -> None:
    world.calibrate(gauge, done_on=today(), error_as_found=Decimal("0.05"))
    page = client.get(f"/tools/gauges/{gauge.pk}/").content.decode()
    assert f"The calibration of {today()} found it wrong." in page
    assert "0 assemblies" in page


def test_a_check_piece_is_written_by_who_calibrates(client: Client, world: World, gauge: Gauge) -> None:
    sent = {"number": "ring 25", "nominal": "25.003", "uncertainty": "0.002"}
    client.force_login(world.bench)
    assert client.post("/tools/check-pieces/new/", sent).status_code == 403
    client.force_login(world.inspector)
    page = client.post("/tools/check-pieces/new/", sent, follow=True).content.decode()
    assert "25.003 mm" in page


def test_without_a_check_piece_nothing_is_tried(client: Client, gauge: Gauge) -> None:
    assert "No check piece yet" in client.get(f"/tools/gauges/{gauge.pk}/try/").content.decode()


def test_the_gauges_page_leads_to_what_was_measured_with_it(client: Client, world: World) -> None:
    client.force_login(world.bench)
    page = f"/tools/gauges/{world.caliper.pk}/"
    assert "0 assemblies measured with it" in client.get(page).content.decode()
    assembly = bench.made(world)
    shown = client.get(page).content.decode()
    assert f'<a href="{page}measured/">1 assembly measured with it</a> since its calibration of' in shown
    assert f"/assembly/{assembly.code}/" in client.get(f"{page}measured/").content.decode()


def test_what_a_gauge_that_was_wrong_leaves_in_question_is_recalled_at_one_press(
    client: Client, world: World
) -> None:
    near, _ = bench.crimped(world, ("24.37", "24.37", "24.37", "24.37"))
    bench.crimped(world)
    fault = world.calibrate(world.caliper, done_on=today(), error_as_found=Decimal("0.05"), passed=False)
    client.force_login(world.inspector)
    page = client.get(reverse("web:gauges_measured", args=[world.caliper.pk]), {"fault": fault.pk})
    assert (page.context["proven"], page.context["question"].where.every) == (1, 1)
    assert f"{world.customer}: 0 out in service, 1 still here" in page.content.decode()
    address = reverse("web:gauges_recall", args=[world.caliper.pk, fault.pk])
    assert "This field is required" in client.post(address, {"reason": ""}).content.decode()
    opened = client.post(address, {"reason": "It read 0.05 mm wrong."}, follow=True).content.decode()
    assert "Recall 1 is open." in opened
    assert "1 that it came to as well" in opened
    assert near.recalls.exists()
