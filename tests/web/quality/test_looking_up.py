"""From anything in hand to all that it touched, on the pages and in files."""

import csv
import io
from collections.abc import Callable
from unittest.mock import patch

import openpyxl
import pytest
from django.db import connection
from django.db.models import Model
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils.html import strip_tags

from shop.assemblies.models import Assembly, FindingKind, State
from shop.orders.services import save_order
from shop.policy.services import today
from shop.stock.models import Lot
from shop.stock.services import receive_lot
from shop.trace.failures import WhatFailed, judge_report, report_failure
from shop.trace.models import FailureMode, Hurt, Verdict
from shop.trace.naming import things_meant
from shop.trace.refusals import NothingCalledThat
from shop.web.quality.lookups import files
from shop.web.quality.lookups.address import lookup_address
from tests.assemblies import bench
from tests.assemblies.test_recalls import find, recall
from tests.web.quality.test_recalls import words
from tests.world import World

BOX = "/quality/look-up/"


@pytest.fixture
def browser(client: Client, world: World) -> Client:
    client.force_login(world.auditor)
    return client


def rows_of(answer: object) -> list[Assembly]:
    return [row.record for row in answer.context["table"].rows]  # type: ignore[attr-defined]  # a test's answer


IN_HAND: dict[str, Callable[[World], tuple[str, Model]]] = {
    "the code of a lot": lambda world: (world.fitting_lot.code, world.fitting_lot),
    "the code of a reel": lambda world: (world.reel.printed_code, world.reel),
    "the number of a die set": lambda world: (world.die_set.number, world.die_set),
    "the number of a crimper": lambda world: (world.crimper.number.lower(), world.crimper),
    "the number of a gauge": lambda world: (world.caliper.number, world.caliper),
    "a designation": lambda world: (world.hose.designation, world.hose),
    "the name of a customer": lambda world: (world.customer.name.upper(), world.customer),
    "the name of a person": lambda world: (f" {world.bench.name} ", world.bench),
}


@pytest.mark.parametrize("in_hand", IN_HAND.values(), ids=IN_HAND)
def test_the_one_box_takes(
    browser: Client, world: World, in_hand: Callable[[World], tuple[str, Model]]
) -> None:
    typed, thing = in_hand(world)
    assert things_meant(typed) == [thing]
    found = browser.get(BOX, {"which": typed}, follow=True)
    assert found.redirect_chain[-1][0] == lookup_address(thing)
    assert found.context["thing"] == thing


def test_a_serial_leads_to_what_the_assembly_came_from(browser: Client, world: World) -> None:
    assembly = bench.shipped(world)
    meant = things_meant(str(assembly.serial))
    assert assembly in meant
    page = words(browser.get(lookup_address(assembly)))
    for thing in (world.reel.lot, world.reel, world.fitting_lot, world.die_set, world.caliper, world.bench):
        assert f'href="{lookup_address(thing)}"' in page


def test_a_customers_reference_and_the_number_of_a_chart_are_known(browser: Client, world: World) -> None:
    world.order.reference = "PO 77/b"
    save_order(actor=world.counter, order=world.order)
    assert things_meant("po 77/B") == [world.order]
    meant = things_meant(world.chart.number)
    assert set(meant) == {world.chart_issue, world.chart_issue.specifications.get()}
    offered = words(browser.get(BOX, {"which": world.chart.number}))
    assert "Which is meant?" in offered
    for thing in meant:
        assert f'href="{lookup_address(thing)}"' in offered


def test_lots_of_one_batch_are_offered_and_what_nothing_is_called_is_refused(
    browser: Client, world: World
) -> None:
    lots = [
        receive_lot(actor=world.bench, lot=Lot(fitting=world.fitting, batch="TWICE", quantity=5))
        for _ in range(2)
    ]
    offered = words(browser.get(BOX, {"which": "twice"}))
    assert all(str(lot) in offered for lot in lots)
    wrong = words(browser.get(BOX, {"which": "reel of tomorrow"}))
    assert "Nothing in the book is called reel of tomorrow." in wrong
    assert 'value="reel of tomorrow"' in wrong
    with pytest.raises(NothingCalledThat):
        things_meant("  ")


def test_counts_come_first_and_each_leads_to_its_rows(browser: Client, world: World) -> None:
    shipped, planned = bench.shipped(world), bench.plan_and_cut(world)
    address = lookup_address(world.reel.lot)
    page = browser.get(address)
    assert (page.context["where"].every, page.context["where"].out, page.context["where"].here) == (2, 1, 1)
    assert [(way.link.name, way.count) for way, _ in page.context["ways"]] == [("hose_lot", 2)]
    assert page.context["states"] == [(State.CUT, 1), (State.SHIPPED, 1)]
    assert rows_of(page) == [planned, shipped]
    assert rows_of(browser.get(address, {"state": "shipped"})) == [shipped]
    assert rows_of(browser.get(address, {"customer": world.customer.pk})) == [planned, shipped]
    suspected = page.context["ways"][0][1]
    assert suspected == f"{reverse('web:suspect')}?hose_lot={world.reel.lot.pk}"


def test_a_look_up_is_narrowed_by_way_and_by_days(browser: Client, world: World) -> None:
    made, cut = bench.made(world), bench.plan_and_cut(world)
    address = lookup_address(world.bench)
    assert rows_of(browser.get(address)) == [cut, made]
    assert rows_of(browser.get(address, {"way": "crimped_by", "until": str(today())})) == [made]
    assert rows_of(browser.get(address, {"until": "2020-01-01"})) == []
    narrowed = browser.get(
        address, {"way": "crimped_by", "since": "2020-01-01", "customer": world.customer.pk}
    )
    kept = {way.link.name: address for way, address in narrowed.context["ways"]}["crimped_by"]
    assert "crimped_since=2020-01-01" in kept
    assert f"customer={world.customer.pk}" in kept
    wrong = browser.get(address, {"since": "yesterday"})
    assert "Enter a valid date." in words(wrong)
    assert rows_of(wrong) == [cut, made]


def test_a_thing_that_touched_nothing_says_so(browser: Client, world: World) -> None:
    assert "No assembly." in words(browser.get(lookup_address(world.die_set)))
    assert browser.get(f"{BOX}cupboard/1/").status_code == 404


def test_a_look_up_is_taken_as_a_file_with_each_row(browser: Client, world: World) -> None:
    made, cut = bench.made(world), bench.plan_and_cut(world)
    address = lookup_address(world.bench)
    with patch.object(files, "AT_ONCE", 1):
        sent = browser.get(address, {"_export": "csv"})
        lines = b"".join(sent.streaming_content).decode("utf-8-sig").splitlines()
    assert lines[0].startswith("Assembly,Stands,Not to be used,How,Hose cut,Customer")
    assert [line.split(",")[0] for line in lines[1:]] == [str(cut.serial), str(made.serial)]
    assert "crimped by" in lines[2]
    assert "crimped by" not in lines[1]
    sheet = browser.get(address, {"_export": "xlsx", "state": "cut"})
    [headers, row] = openpyxl.load_workbook(io.BytesIO(sheet.content)).active.iter_rows(values_only=True)
    assert (headers[0], row[0]) == ("Assembly", cut.serial)


def test_each_row_says_what_is_recalled_or_has_failed_on_the_page_and_in_files(
    browser: Client, world: World
) -> None:
    failed, both, recalled, freed, sound = (bench.shipped(world) for _ in range(5))
    made = recall(world, both, recalled, freed)
    find(world, made, freed, FindingKind.RIGHT)
    for one in (failed, both):
        report = report_failure(actor=None, assembly=one, told=WhatFailed(hurt=Hurt.NO))
        judge_report(
            actor=world.inspector, report=report, verdict=Verdict.FAILED, mode=FailureMode.KINK, words="bent"
        )
    wanted = [
        (sound.serial, ""),
        (freed.serial, ""),
        (recalled.serial, "recalled"),
        (both.serial, "failed in service"),
        (failed.serial, "failed in service"),
    ]
    address = lookup_address(world.bench)
    shown = browser.get(address).context["table"].rows
    cells = [strip_tags(row.get_cell("not_used")).strip() for row in shown]
    assert cells == [why or "—" for _, why in wanted]
    sent = b"".join(browser.get(address, {"_export": "csv"}).streaming_content).decode("utf-8-sig")
    lines = csv.DictReader(sent.splitlines())
    assert [(int(line["Assembly"]), line["Not to be used"]) for line in lines] == wanted
    sheet = openpyxl.load_workbook(io.BytesIO(browser.get(address, {"_export": "xlsx"}).content)).active
    rows = sheet.iter_rows(min_row=2, values_only=True)
    assert [(row[0], row[2] or "") for row in rows] == wanted


def test_a_sheet_has_an_end_and_a_csv_none(browser: Client, world: World) -> None:
    for _ in range(2):
        bench.plan_and_cut(world)
    address = lookup_address(world.reel.lot)
    with patch.object(files, "MOST_IN_A_SHEET", 1):
        refused = words(browser.get(address, {"_export": "xlsx"}))
        assert "2 assemblies are more than the 1 that go into one sheet." in refused
        assert "Content-Disposition" in browser.get(address, {"_export": "csv"}).headers


def test_every_thing_leads_from_its_own_page_to_its_look_up(browser: Client, world: World) -> None:
    line = world.chart_issue.specifications.get()
    pages = {
        reverse("web:lots_item", args=[world.fitting_lot.pk]): world.fitting_lot,
        reverse("web:pieces_item", args=[world.reel.pk]): world.reel,
        reverse("web:die_sets_item", args=[world.die_set.pk]): world.die_set,
        reverse("web:gauges_item", args=[world.caliper.pk]): world.caliper,
        reverse("web:order", args=[world.order.code]): world.order,
        reverse("web:customers_item", args=[world.customer.pk]): world.customer,
        reverse("web:people_item", args=[world.bench.pk]): world.bench,
        reverse("web:issued_line", args=[line.pk]): line,
        reverse("web:issued_chart", args=[world.chart_issue.pk]): world.chart_issue,
        reverse("web:hoses_item", args=[world.hose.pk]): world.hose,
    }
    for page, thing in pages.items():
        assert f'href="{lookup_address(thing)}"' in words(browser.get(page)), page


def test_the_page_asks_as_many_questions_at_thirty_as_at_three(browser: Client, world: World) -> None:
    bench.made(world)
    for _ in range(2):
        bench.plan_and_cut(world)
    for thing in (world.reel.lot, world.bench):
        browser.get(lookup_address(thing))  # what is asked once and kept
    few = [_questions(browser, thing) for thing in (world.reel.lot, world.bench)]
    for _ in range(27):
        bench.plan_and_cut(world)
    assert [_questions(browser, thing) for thing in (world.reel.lot, world.bench)] == few


def _questions(browser: Client, thing: Model) -> int:
    with CaptureQueriesContext(connection) as queries:
        assert browser.get(lookup_address(thing)).status_code == 200
    return len(queries)
