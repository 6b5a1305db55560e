"""No service forgets the ledger: each writes at least one entry, with the number of who did it."""

import importlib
import inspect
import pkgutil
from collections.abc import Callable, Iterator
from decimal import Decimal
from typing import Any

import pytest

import shop
from shop.assemblies.planning import leave_unreplaced, plan_replacement, start_line
from shop.assemblies.pulling import pull_run
from shop.assemblies.release import make_tag, release, retire, ship
from shop.assemblies.runs import tag_pieces
from shop.assemblies.wear import record_tool_check
from shop.authority.models import Authority
from shop.authority.services import save_authority
from shop.catalogue import services as catalogue
from shop.catalogue.models import CrimpChart, DieType, FittingSeries, Fluid, Seal, StopType
from shop.documents.evidence import take_evidence
from shop.documents.services import issue_tag_paper, print_tag
from shop.ledger.models import Entry
from shop.ledger.services import seal_ledger
from shop.orders import services as orders
from shop.orders.models import Customer, Order
from shop.orders.worksheets import take_worksheet_off
from shop.people import services as people
from shop.people.pins import set_pin
from shop.policy import services as policy
from shop.policy.models import Policy
from shop.standards import services as standards
from shop.standards.loading import load_standards
from shop.stock import services as stock
from shop.stock.models import Lot
from shop.tooling import services as tooling
from shop.tooling.models import ArrangementPart, Crimper, Gauge
from shop.tooling.pressure_gauges import save_pressure_gauge
from tests import factories
from tests.assemblies import bench, proving
from tests.rules import deeds
from tests.world import World

# Parts of services: what calls them has asked for the permission, and is in the table below.
PARTS = {
    "append",
    "move_piece",
    "note",
    "occasion",
    "once",
    "require",
    "require_authority",
    "require_set_up_holds",
    "save_noted",
    "say_of_the_run",
    "write_confirmation",
    "write_person",
    "write_record",
}
SKIPPED = ("shop.web", "shop.demo", "shop.wsgi")


def _services() -> Iterator[str]:
    for module in pkgutil.walk_packages(shop.__path__, "shop."):
        if module.name.startswith(SKIPPED) or ".migrations" in module.name or ".management" in module.name:
            continue
        for name, function in vars(importlib.import_module(module.name)).items():
            if (
                inspect.isfunction(function)
                and function.__module__ == module.name
                and not name.startswith("_")
                and "actor" in inspect.signature(function).parameters
            ):
                yield name


# Who does it, and what they do.
SCENARIOS: dict[str, tuple[str, Callable[[World], Any]]] = {
    "add_to_recall": ("inspector", deeds.recalled_too),
    "adopt_cut_correction": ("inspector", deeds.adopted),
    "answer_recall": ("counter", deeds.answered),
    "attach_worksheet": ("counter", deeds.attach),
    "cancel_line": ("counter", lambda w: orders.cancel_line(actor=w.counter, line=w.written_line())),
    "check_chart": ("inspector", deeds.check),
    "check_gauge": ("bench", deeds.try_gauge),
    "choose_rating": ("owner", deeds.choose_rating),
    "close_recall": ("owner", deeds.recall_closed),
    "concede": ("owner", deeds.conceded),
    "condemn_lot": (
        "bench",
        lambda w: stock.condemn_lot(actor=w.bench, lot=w.fitting_lot, reason="cracked threads"),
    ),
    "confirm_connection": ("inspector", lambda w: w.confirm(factories.ConnectionFactory())),
    "confirm_figures": ("inspector", deeds.figures),
    "confirm_fitting": ("inspector", lambda w: w.confirm(factories.FittingFactory())),
    "confirm_hose": ("inspector", lambda w: w.confirm(factories.HoseFactory())),
    "confirm_hose_rating": (
        "inspector",
        lambda w: standards.confirm_hose_rating(
            actor=w.inspector,
            rating=(row := factories.HoseRatingFactory()),
            document="EN 853:2015",
            figure=row.rating,
        ),
    ),
    "confirm_line": ("counter", lambda w: orders.confirm_line(actor=w.counter, line=w.written_line())),
    "correct_inspection": ("inspector", deeds.inspection_corrected),
    "correct_lots": ("inspector", deeds.lots_corrected),
    "correct_measurement": ("inspector", deeds.correct),
    "correct_proof_test": ("bench", deeds.proof_corrected),
    "count_piece": (
        "bench",
        lambda w: stock.count_piece(actor=w.bench, piece=w.reel, measured_mm=Decimal(49_000)),
    ),
    "crimp_pieces": ("bench", deeds.pieces_crimped),
    "cut_pieces": ("bench", deeds.pieces_cut),
    "inspect_pieces": ("inspector", deeds.pieces_inspected),
    "tag_pieces": ("inspector", lambda w: tag_pieces(actor=w.inspector, run=deeds.inspected(w).run)),
    "crimp_end": ("bench", lambda w: bench.crimp(w, bench.ready_to_crimp(w))),
    "cut_hose": ("bench", lambda w: bench.cut(w, bench.plan(w))),
    "decide": ("bench", deeds.scrapped),
    "end_cut_correction": ("inspector", deeds.ended),
    "enter_end": ("inspector", deeds.end_from_card),
    "erase_customer": ("owner", deeds.customer_erased),
    "erase_from_report": ("owner", deeds.reporter_erased),
    "erase_person": ("owner", deeds.person_erased),
    "erase_private": ("owner", deeds.erase),
    "inspect": ("inspector", deeds.inspected),
    "issue_chart": ("owner", deeds.issue),
    "issue_tag_paper": (
        "inspector",
        lambda w: issue_tag_paper(actor=w.inspector, tag=bench.tagged(w).tags.get()),
    ),
    "judge_report": ("inspector", deeds.report_judged),
    "leave_unreplaced": (
        "counter",
        lambda w: leave_unreplaced(actor=w.counter, assembly=deeds.scrapped(w), reason="two will do"),
    ),
    "load_standards": ("owner", lambda w: load_standards(actor=w.owner)),
    "make_tag": ("inspector", lambda w: make_tag(actor=w.inspector, assembly=deeds.inspected(w))),
    "measure_crimp": ("bench", bench.crimped),
    "open_recall": ("inspector", deeds.recalled),
    "recall_doubtful": ("inspector", deeds.doubted),
    "recall_suspected": ("inspector", deeds.suspected),
    "recall_found_since": ("inspector", deeds.recalled_since),
    "record_finding": ("inspector", deeds.found_right),
    "open_order": (
        "counter",
        lambda w: orders.open_order(
            actor=w.counter, customer=Customer(number="K9", name="New"), order=Order(reference="x")
        ),
    ),
    "place_piece": (
        "bench",
        lambda w: stock.place_piece(actor=w.bench, piece=w.reel, place="rack C"),
    ),
    "plan_replacement": (
        "bench",
        lambda w: plan_replacement(actor=w.bench, assembly=deeds.scrapped(w)),
    ),
    "print_tag": (
        "inspector",
        lambda w: print_tag(actor=w.inspector, assembly=deeds.inspected(w), prints_seen=0),
    ),
    "pull_run": ("bench", lambda w: pull_run(actor=w.bench, run=bench.plan(w).run)),
    "put_run_back": ("bench", deeds.put_back),
    "prove_assembly": ("bench", lambda w: proving.prove(w, proving.ready_to_test(w))),
    "prove_pieces": ("bench", deeds.pieces_proven),
    "receive_hose": (
        "bench",
        lambda w: stock.receive_hose(
            actor=w.bench, lot=Lot(hose=w.hose, made_printed="1Q2026"), lengths_mm=[Decimal(9000)]
        ),
    ),
    "receive_lot": (
        "counter",
        lambda w: stock.receive_lot(actor=w.counter, lot=Lot(ferrule=w.ferrule, quantity=5)),
    ),
    "record_calibration": (
        "inspector",
        lambda w: tooling.record_calibration(actor=w.inspector, calibration=deeds.calibration(w)),
    ),
    "record_tool_check": (
        "bench",
        lambda w: record_tool_check(actor=w.bench, tool=w.die_set, passed=False, condition="die 3 chipped"),
    ),
    "report_damage": (
        "bench",
        lambda w: tooling.report_damage(actor=w.bench, tool=w.die_set, what="die 3 chipped"),
    ),
    "record_pressure_calibration": ("inspector", lambda w: proving.calibrated_gauge(w)),
    "refit_end": ("inspector", deeds.refitted),
    "release": (
        "inspector",
        lambda w: release(actor=w.inspector, assembly=(made := bench.tagged(w)), scanned=made.code),
    ),
    "remove_chart_line": (
        "bench",
        lambda w: catalogue.remove_chart_line(actor=w.bench, line=w.chart.lines.get()),
    ),
    "report_failure": ("counter", deeds.reported),
    "resolve_again": ("counter", deeds.resolved_again),
    "retire": (
        "counter",
        lambda w: retire(actor=w.counter, assembly=bench.shipped(w), reason="worn"),
    ),
    "save_arrangement": (
        "bench",
        lambda w: tooling.save_arrangement(
            actor=w.bench, arrangement=w.arrangement, parts=[ArrangementPart(position=1, role="pusher")]
        ),
    ),
    "save_authority": (
        "owner",
        lambda w: save_authority(
            actor=w.owner, authority=Authority(person=w.bench, step="crimp", valid_from=policy.today())
        ),
    ),
    "save_chart": (
        "bench",
        lambda w: catalogue.save_chart(actor=w.bench, chart=CrimpChart(number="RW-9", origin="sheet 9")),
    ),
    "save_chart_line": (
        "bench",
        lambda w: catalogue.save_chart_line(actor=w.bench, line=w.chart_line(hose=factories.HoseFactory())),
    ),
    "save_connection": (
        "counter",
        lambda w: standards.save_connection(
            actor=w.counter, connection=deeds.changed(w.fitting.connection, note="seen")
        ),
    ),
    "save_check_piece": (
        "inspector",
        lambda w: tooling.save_check_piece(actor=w.inspector, piece=factories.CheckPieceFactory.build()),
    ),
    "save_crimper": (
        "bench",
        lambda w: tooling.save_crimper(actor=w.bench, crimper=Crimper(number="press X", stop_kind="dial")),
    ),
    "save_customer": (
        "counter",
        lambda w: orders.save_customer(actor=w.counter, customer=Customer(number="K9", name="New")),
    ),
    "save_die_set": (
        "bench",
        lambda w: tooling.save_die_set(actor=w.bench, die_set=deeds.changed(w.die_set, condition="oiled")),
    ),
    "save_die_type": (
        "counter",
        lambda w: catalogue.save_die_type(actor=w.counter, die_type=DieType(designation="die X")),
    ),
    "save_ferrule": (
        "counter",
        lambda w: catalogue.save_ferrule(actor=w.counter, ferrule=deeds.changed(w.ferrule, material="brass")),
    ),
    "save_fitting": (
        "counter",
        lambda w: catalogue.save_fitting(actor=w.counter, fitting=deeds.changed(w.fitting, source="page 3")),
    ),
    "save_fluid": (
        "counter",
        lambda w: catalogue.save_fluid(actor=w.counter, fluid=Fluid(name="water glycol")),
    ),
    "save_gauge": (
        "bench",
        lambda w: tooling.save_gauge(
            actor=w.bench, gauge=Gauge(number="tape 9", kind="tape", resolution=Decimal(1))
        ),
    ),
    "save_hose": (
        "counter",
        lambda w: catalogue.save_hose(actor=w.counter, hose=deeds.changed(w.hose, source="sheet 5")),
    ),
    "save_hose_rating": (
        "counter",
        lambda w: standards.save_hose_rating(
            actor=w.counter, rating=deeds.changed(factories.HoseRatingFactory(), dn="13")
        ),
    ),
    "save_line": ("counter", lambda w: w.written_line()),
    "save_order": (
        "counter",
        lambda w: orders.save_order(actor=w.counter, order=Order(customer=w.customer)),
    ),
    "save_person": ("owner", lambda w: people.save_person(actor=w.owner, person=deeds.person())),
    "save_pressure_gauge": (
        "bench",
        lambda w: save_pressure_gauge(actor=w.bench, gauge=factories.PressureGaugeFactory.build()),
    ),
    "save_seal": (
        "counter",
        lambda w: catalogue.save_seal(actor=w.counter, seal=Seal(name="nitrile"), fluids=[w.fluid]),
    ),
    "save_series": (
        "counter",
        lambda w: catalogue.save_series(
            actor=w.counter, series=FittingSeries(maker="Ostrava Ends", name="X")
        ),
    ),
    "save_stop_part": (
        "bench",
        lambda w: tooling.save_stop_part(
            actor=w.bench, stop_part=deeds.changed(w.stop_part, place="drawer 1")
        ),
    ),
    "save_stop_type": (
        "counter",
        lambda w: catalogue.save_stop_type(actor=w.counter, stop_type=StopType(designation="stop X")),
    ),
    "save_workshop": (
        "owner",
        lambda w: policy.save_workshop(actor=w.owner, workshop=deeds.changed(w.workshop, address="Quay 2")),
    ),
    "set_pin": ("bench", lambda w: set_pin(actor=w.bench, person=w.bench, pin="2580")),
    "replace_key": ("owner", deeds.key_replaced),
    "seal_ledger": ("auditor", lambda w: seal_ledger(actor=w.auditor)),
    "set_policy": (
        "owner",
        lambda w: policy.set_policy(actor=w.owner, policy=Policy(effective_from=policy.today())),
    ),
    "set_up": ("bench", bench.ready_to_crimp),
    "ship": ("counter", lambda w: ship(actor=w.counter, assembly=bench.released(w))),
    "take_evidence": ("auditor", lambda w: take_evidence(actor=w.auditor, about=bench.plan(w)).file.close()),
    "start_line": ("counter", lambda w: start_line(actor=w.counter, line=w.written_line())),
    "take_worksheet_off": (
        "owner",
        lambda w: take_worksheet_off(actor=w.owner, attached=deeds.attach(w)),
    ),
    "withdraw_issue": (
        "inspector",
        lambda w: catalogue.withdraw_issue(actor=w.inspector, chart_issue=w.chart_issue, reason="misprint"),
    ),
}


def test_every_service_has_a_scenario_here() -> None:
    assert set(_services()) - PARTS == set(SCENARIOS)


@pytest.mark.parametrize("service", SCENARIOS)
def test_the_service_writes_into_the_ledger_who_did_it(world: World, service: str) -> None:
    who, act = SCENARIOS[service]
    before = Entry.objects.latest("pk").pk
    act(world)
    newest = Entry.objects.filter(pk__gt=before).latest("pk")
    assert newest.actor_number == getattr(world, who).number
