"""Pressure gauges in the cabinet: their list, their figures, and their calibrations."""

import datetime

import pytest
from django.test import Client
from django.urls import reverse

from shop.engineering.pressures import parse_pressure
from shop.policy.services import today
from shop.tooling.models import PressureCalibration, PressureGauge
from tests import factories
from tests.assemblies import proving
from tests.world import World

pytestmark = pytest.mark.django_db


def test_the_bench_adds_one_by_what_stands_on_its_dial(world: World, client: Client) -> None:
    client.force_login(world.bench)
    answers = {
        "number": "m 1",
        "unit": "psi",
        "scale_to": "15000",
        "division": "100",
        "interval_months": "12",
    }
    answer = client.post(reverse("web:pressure_gauges_new"), answers)
    assert answer.status_code == 302
    gauge = PressureGauge.objects.get()
    assert str(gauge.end_of_scale) == "15000 psi"
    listed = client.get(reverse("web:pressure_gauges")).content.decode()
    assert "0 to 15000 psi" in listed
    assert "never calibrated" in listed


@pytest.mark.parametrize(("field", "typed"), [("scale_to", "0"), ("scale_to", "600 bar"), ("division", "-1")])
def test_figures_that_are_none_are_refused(world: World, client: Client, field: str, typed: str) -> None:
    client.force_login(world.bench)
    answers = {"number": "m 1", "unit": "bar", "scale_to": "600", "division": "1", "interval_months": "12"}
    answer = client.post(reverse("web:pressure_gauges_new"), answers | {field: typed})
    assert "Write a number above nought" in answer.content.decode()
    assert not PressureGauge.objects.exists()


def test_the_inspector_records_a_calibration_in_the_unit_of_its_scale(world: World, client: Client) -> None:
    gauge = factories.PressureGaugeFactory()
    client.force_login(world.inspector)
    day = today()
    answers = {
        "done_on": str(day),
        "due_on": str(day + datetime.timedelta(days=365)),
        "error_as_found": "-2.5",
        "error_as_left": "0",
        "expanded_uncertainty": "1.5",
        "passed": "on",
        "certificate": "P-7",
    }
    address = reverse("web:pressure_gauges_calibrate", args=[gauge.pk])
    assert "every figure here is in bar" in client.get(address).content.decode()
    assert client.post(address, answers).status_code == 302
    calibration = PressureCalibration.objects.get()
    assert (calibration.unit, str(calibration.expanded)) == ("bar", "1.5 bar")
    shown = client.get(reverse("web:pressure_gauges_item", args=[gauge.pk])).content.decode()
    assert "-2.5 bar" in shown
    assert f"until {calibration.due_on}" in shown


def test_a_calibration_is_recorded_once_it_is_done(world: World, client: Client) -> None:
    gauge = factories.PressureGaugeFactory()
    client.force_login(world.inspector)
    tomorrow = today() + datetime.timedelta(days=1)
    answers = {
        "done_on": str(tomorrow),
        "due_on": str(tomorrow + datetime.timedelta(days=9)),
        "error_as_found": "0",
        "error_as_left": "0",
        "expanded_uncertainty": "1.5",
    }
    answer = client.post(reverse("web:pressure_gauges_calibrate", args=[gauge.pk]), answers)
    assert f"{tomorrow} has not come yet" in answer.content.decode()
    assert not PressureCalibration.objects.exists()


def test_those_that_cannot_tell_a_test_are_counted_on_the_cabinets_page(world: World, client: Client) -> None:
    proving.calibrated_gauge(world)
    factories.PressureGaugeFactory()
    client.force_login(world.bench)
    listed = client.get(reverse("web:pressure_gauges"), {"calibration": "over"}).content.decode()
    assert listed.count("never calibrated") == 1
    assert reverse("web:pressure_gauges") in client.get(reverse("web:tools")).content.decode()


def test_what_a_pressure_gauge_that_was_wrong_leaves_in_question_is_recalled_at_one_press(
    world: World, client: Client
) -> None:
    """550 bar is asked for. It showed 6 bar too much: 555 bar proves nothing any more, 560 bar does."""
    just, enough = proving.ready_to_test(world), proving.ready_to_test(world)
    gauge = proving.calibrated_gauge(world)
    proving.prove(world, just, gauge, peak=parse_pressure("555 bar"))
    proving.prove(world, enough, gauge, peak=parse_pressure("560 bar"))
    fault = proving.calibrate(world, gauge, done_on=today(), error_as_found="6")
    client.force_login(world.inspector)
    item = client.get(reverse("web:pressure_gauges_item", args=[gauge.pk])).content.decode()
    address = f"{reverse('web:pressure_gauges_measured', args=[gauge.pk])}?fault={fault.pk}"
    assert f'The calibration of {today()} found it wrong. <a href="{address}">2 assemblies</a>' in item
    page = client.get(address)
    assert (page.context["proven"], page.context["question"].where.every) == (1, 1)
    assert "proof tests that it told" in page.content.decode()
    press = reverse("web:pressure_gauges_recall", args=[gauge.pk, fault.pk])
    opened = client.post(press, {"reason": "It showed 6 bar too much."}, follow=True).content.decode()
    assert "Recall 1 is open." in opened
    assert just.recalls.exists()
    assert not enough.recalls.exists()


def test_a_pressure_gauge_off_by_what_its_calibration_allowed_for_was_not_wrong(
    world: World, client: Client
) -> None:
    """U was 1.5 bar when its tests were judged: off by 1.5 bar is as it was said, by 1.6 bar is not."""
    gauge = proving.calibrated_gauge(world)
    proving.prove(world, proving.ready_to_test(world), gauge)
    client.force_login(world.inspector)
    item = reverse("web:pressure_gauges_item", args=[gauge.pk])
    fault = proving.calibrate(world, gauge, done_on=today(), error_as_found="-1.5")
    assert "found it wrong" not in client.get(item).content.decode()
    recall = reverse("web:pressure_gauges_recall", args=[gauge.pk, fault.pk])
    assert client.post(recall, {"reason": "Why not."}).status_code == 404
    proving.calibrate(world, gauge, done_on=today(), error_as_found="-1.6")
    assert "found it wrong" in client.get(item).content.decode()


CSV = "/tools/pressure-gauges/calibrations/"
HEADERS = "gauge;unit;done_on;due_on;error_as_found;error_as_left;expanded_uncertainty;passed;certificate"


def line(**changes: str) -> str:
    """One gauge's line from a laboratory's list."""
    day = today()
    values = {
        "gauge": "m 1",
        "unit": "bar",
        "done_on": str(day),
        "due_on": str(day + datetime.timedelta(days=365)),
        "error_as_found": "-2.5",
        "error_as_left": "0",
        "expanded_uncertainty": "1.5",
        "passed": "yes",
        "certificate": "P-7",
    } | changes
    return ";".join(values[name] for name in HEADERS.split(";"))


def send(client: Client, *lines: str) -> str:
    """What the page says once these lines were sent to be taken in."""
    text = "\n".join((HEADERS, *lines))
    return client.post(CSV, {"text": text, "take": "yes"}, follow=True).content.decode()


@pytest.fixture
def listed(world: World, client: Client) -> list[PressureGauge]:
    """Two gauges, one in bar and one in psi, and the inspector who holds their certificates."""
    client.force_login(world.inspector)
    return [
        factories.PressureGaugeFactory(number="m 1", mark=""),
        factories.PressureGaugeFactory(number="m 2", mark="", unit="psi", scale_to="15000", division="100"),
    ]


def test_a_laboratorys_list_comes_in_by_csv_each_gauge_in_its_own_unit(
    client: Client, listed: list[PressureGauge]
) -> None:
    said = send(client, line(), line(gauge="m 2", unit="psi", expanded_uncertainty="40"))
    assert "Taken in: 2 new." in said
    found = [str(calibration.expanded) for gauge in listed for calibration in gauge.calibrations.all()]
    assert found == ["1.5 bar", "40 psi"]


def test_figures_in_another_unit_than_the_dial_are_refused(
    client: Client, listed: list[PressureGauge]
) -> None:
    said = send(client, line(gauge="m 2", unit="bar"))
    assert f"The scale of {listed[1]} is in psi. Write every figure so." in said
    assert not PressureCalibration.objects.exists()


def test_a_line_that_does_not_say_fit_for_use_leaves_the_pressure_gauge_unfit(
    client: Client, listed: list[PressureGauge]
) -> None:
    send(client, line(passed=""))
    assert not listed[0].calibrations.get().passed


def test_a_recorded_calibration_of_a_pressure_gauge_is_not_changed_by_a_csv(
    client: Client, listed: list[PressureGauge]
) -> None:
    send(client, line())
    said = send(client, line(expanded_uncertainty="1"))
    assert "This is recorded already, and a record is never changed." in said
    assert PressureCalibration.objects.count() == 1


def test_what_was_recorded_is_a_file_that_names_the_unit(client: Client, listed: list[PressureGauge]) -> None:
    send(client, line())
    rows = client.get(f"{CSV}export/").content.decode("utf-8-sig").splitlines()
    assert "Unit of its scale" in rows[0]
    assert len(rows) == 2
    assert ",bar," in rows[1] or rows[1].endswith(",bar")
    assert client.get(f"{CSV}template/").content.decode("utf-8-sig").splitlines() == rows[:1]


def test_only_who_calibrates_takes_calibrations_in(
    client: Client, world: World, listed: list[PressureGauge]
) -> None:
    client.force_login(world.bench)
    assert client.get(CSV).status_code == 403
