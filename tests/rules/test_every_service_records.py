"""No service forgets the ledger: each writes at least one entry, with the number of who did it."""

import importlib
import inspect
import pkgutil
from collections.abc import Callable, Iterator
from decimal import Decimal
from typing import Any

import pytest

import shop
from shop.assemblies.lengths import adopt_cut_correction, end_cut_correction
from shop.assemblies.making import correct_measurement, decide
from shop.assemblies.models import DecisionKind, End
from shop.assemblies.planning import leave_unreplaced, plan_replacement, resolve_again, start_line
from shop.assemblies.pulling import pull_run, put_run_back
from shop.assemblies.release import make_tag, release, retire, ship
from shop.assemblies.runs import crimp_pieces, cut_pieces, inspect_pieces, prove_pieces, tag_pieces
from shop.assemblies.wear import record_tool_check
from shop.authority.models import Authority
from shop.authority.services import save_authority
from shop.catalogue import services as catalogue
from shop.catalogue.models import CrimpChart, DieType, FittingSeries, Fluid, Governs, Seal, StopType
from shop.documents.services import issue_tag_paper, print_tag
from shop.ledger.models import Entry
from shop.ledger.services import erase_private
from shop.orders import services as orders
from shop.orders.models import Customer, Order
from shop.orders.worksheets import attach_worksheet, take_worksheet_off
from shop.people import services as people
from shop.people.models import User
from shop.people.pins import set_pin
from shop.policy import services as policy
from shop.policy.models import Policy
from shop.standards import services as standards
from shop.standards.figures import confirm_figures, printed_rows
from shop.standards.loading import load_standards
from shop.stock import services as stock
from shop.stock.models import Lot
from shop.tooling import services as tooling
from shop.tooling.models import ArrangementPart, Calibration, Crimper, Gauge
from shop.tooling.pressure_gauges import save_pressure_gauge
from tests import factories
from tests.assemblies import bench, proving
from tests.world import World

# Parts of services: what calls them has asked for the permission, and is in the table below.
PARTS = {
    "append",
    "move_piece",
    "note",
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


def _changed(row: Any, **values: Any) -> Any:
    for name, value in values.items():
        setattr(row, name, value)
    return row


def _scrapped(w: World) -> Any:
    assembly, _ = bench.crimped(w, ("24.5", "24.5", "24.5", "24.5"))
    decide(actor=w.bench, assembly=assembly, kind=DecisionKind.SCRAP, reason="too large")
    return assembly


def _resolve_again(w: World) -> Any:
    line = bench.plan(w).run.line
    bench.reissue(w, "2", target=Decimal("24.1"))
    return resolve_again(actor=w.counter, line=line)


def _correct(w: World) -> Any:
    _, crimp = bench.crimped(w)
    readings = bench.mm("24.20", "24.20", "24.20", "24.21")
    return correct_measurement(actor=w.inspector, measurement=crimp.measurements.get(), readings_mm=readings)


def _check(w: World) -> Any:
    catalogue.save_chart(actor=w.bench, chart=w.chart)
    return catalogue.check_chart(actor=w.inspector, chart=w.chart)


def _choose_rating(w: World) -> Any:
    row = factories.HoseRatingFactory(printed_value="25")
    standards.confirm_hose_rating(actor=w.inspector, rating=row, document="EN 853", figure=row.rating)
    w.hose.standard = row
    catalogue.save_hose(actor=w.counter, hose=w.hose)
    return catalogue.choose_rating(
        actor=w.owner, hose=w.hose, governs=Governs.MAKER, reason="the maker's letter"
    )


def _erase(w: World) -> Any:
    customer = orders.save_customer(actor=w.counter, customer=Customer(number="K9", name="New"))
    return erase_private(actor=w.owner, subject=customer)


def _issue(w: World) -> Any:
    catalogue.check_chart(actor=w.inspector, chart=w.chart)
    w.chart.refresh_from_db()
    return catalogue.issue_chart(actor=w.owner, chart=w.chart, issue="2", effective_from=policy.today())


def _attach(w: World) -> Any:
    typed = [("known", "cut"), ("cut", "880")]
    return attach_worksheet(
        actor=w.counter, line=w.written_line(), worksheet="length", typed=typed, says="Overall 930 mm."
    )


def _cut_pieces(w: World) -> Any:
    return cut_pieces(actor=w.bench, run=bench.plan(w).run, count=1, piece=w.reel, seen=["square"])


def _crimp_pieces(w: World) -> Any:
    return crimp_pieces(
        actor=w.bench,
        run=bench.ready_to_crimp(w).run,
        end=End.A,
        count=1,
        fitting_lot=w.fitting_lot,
        ferrule_lot=w.ferrule_lot,
        seen=["pushed home"],
    )


def _put_back(w: World) -> Any:
    run = pull_run(actor=w.inspector, run=bench.plan(w).run)
    return put_run_back(actor=w.bench, run=run)


def _inspect_pieces(w: World) -> Any:
    piece = bench.made(w)
    return inspect_pieces(
        actor=w.inspector,
        run=piece.run,
        measured={piece: (Decimal(932), None)},
        gauge=w.tape,
        seen=bench.EVERYTHING,
    )


def _prove_pieces(w: World) -> Any:
    run = proving.ready_to_test(w).run
    gauge = proving.calibrated_gauge(w)
    return prove_pieces(actor=w.bench, run=run, count=1, gauge=gauge, observed=proving.observed())


def _inspected(w: World) -> Any:
    assembly = bench.made(w)
    bench.look_over(w, assembly)
    return assembly


def _figures(w: World) -> Any:
    row = printed_rows("sizes")[0]
    return confirm_figures(
        actor=w.inspector,
        table=row.table,
        row=row.row,
        document="ISO 4397:2011",
        typed={figure.name: figure.printed for figure in row.figures},
    )


def _person(**values: Any) -> User:
    return User(number=9, username="bo", name="Bo Aalto", roles=["bench"], **values)


def _calibration(w: World) -> Calibration:
    return Calibration(
        gauge=w.caliper, done_on=policy.today(), due_on=policy.today().replace(year=policy.today().year + 1),
        error_as_found=Decimal(0), error_as_left=Decimal(0), expanded_uncertainty=Decimal("0.02"),
    )  # fmt: skip


def _try_gauge(w: World) -> Any:
    gauge = tooling.save_gauge(actor=w.bench, gauge=_changed(w.caliper, permitted_error=Decimal("0.03")))
    piece = factories.CheckPieceFactory()
    return tooling.check_gauge(actor=w.bench, gauge=gauge, piece=piece, reading=Decimal("25.2"))


def _adopted(w: World) -> Any:
    bench.finished(w)
    return adopt_cut_correction(actor=w.inspector, hose=w.hose, series=w.series)


def _ended(w: World) -> Any:
    _adopted(w)
    return end_cut_correction(actor=w.inspector, hose=w.hose, series=w.series)


# Who does it, and what they do.
SCENARIOS: dict[str, tuple[str, Callable[[World], Any]]] = {
    "adopt_cut_correction": ("inspector", _adopted),
    "attach_worksheet": ("counter", _attach),
    "cancel_line": ("counter", lambda w: orders.cancel_line(actor=w.counter, line=w.written_line())),
    "check_chart": ("inspector", _check),
    "check_gauge": ("bench", _try_gauge),
    "choose_rating": ("owner", _choose_rating),
    "confirm_connection": ("inspector", lambda w: w.confirm(factories.ConnectionFactory())),
    "confirm_figures": ("inspector", _figures),
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
    "correct_measurement": ("inspector", _correct),
    "count_piece": (
        "bench",
        lambda w: stock.count_piece(actor=w.bench, piece=w.reel, measured_mm=Decimal(49_000)),
    ),
    "crimp_pieces": ("bench", _crimp_pieces),
    "cut_pieces": ("bench", _cut_pieces),
    "inspect_pieces": ("inspector", _inspect_pieces),
    "tag_pieces": ("inspector", lambda w: tag_pieces(actor=w.inspector, run=_inspected(w).run)),
    "crimp_end": ("bench", lambda w: bench.crimp(w, bench.ready_to_crimp(w))),
    "cut_hose": ("bench", lambda w: bench.cut(w, bench.plan(w))),
    "decide": ("bench", _scrapped),
    "end_cut_correction": ("inspector", _ended),
    "erase_private": ("owner", _erase),
    "inspect": ("inspector", _inspected),
    "issue_chart": ("owner", _issue),
    "issue_tag_paper": (
        "inspector",
        lambda w: issue_tag_paper(actor=w.inspector, tag=bench.tagged(w).tags.get()),
    ),
    "leave_unreplaced": (
        "counter",
        lambda w: leave_unreplaced(actor=w.counter, assembly=_scrapped(w), reason="two will do"),
    ),
    "load_standards": ("owner", lambda w: load_standards(actor=w.owner)),
    "make_tag": ("inspector", lambda w: make_tag(actor=w.inspector, assembly=_inspected(w))),
    "measure_crimp": ("bench", bench.crimped),
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
        lambda w: plan_replacement(actor=w.bench, assembly=_scrapped(w)),
    ),
    "print_tag": (
        "inspector",
        lambda w: print_tag(actor=w.inspector, assembly=_inspected(w), prints_seen=0),
    ),
    "pull_run": ("bench", lambda w: pull_run(actor=w.bench, run=bench.plan(w).run)),
    "put_run_back": ("bench", _put_back),
    "prove_assembly": ("bench", lambda w: proving.prove(w, proving.ready_to_test(w))),
    "prove_pieces": ("bench", _prove_pieces),
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
        lambda w: tooling.record_calibration(actor=w.inspector, calibration=_calibration(w)),
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
    "release": (
        "inspector",
        lambda w: release(actor=w.inspector, assembly=(made := bench.tagged(w)), scanned=made.code),
    ),
    "remove_chart_line": (
        "bench",
        lambda w: catalogue.remove_chart_line(actor=w.bench, line=w.chart.lines.get()),
    ),
    "resolve_again": ("counter", _resolve_again),
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
            actor=w.counter, connection=_changed(w.fitting.connection, note="seen")
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
        lambda w: tooling.save_die_set(actor=w.bench, die_set=_changed(w.die_set, condition="oiled")),
    ),
    "save_die_type": (
        "counter",
        lambda w: catalogue.save_die_type(actor=w.counter, die_type=DieType(designation="die X")),
    ),
    "save_ferrule": (
        "counter",
        lambda w: catalogue.save_ferrule(actor=w.counter, ferrule=_changed(w.ferrule, material="brass")),
    ),
    "save_fitting": (
        "counter",
        lambda w: catalogue.save_fitting(actor=w.counter, fitting=_changed(w.fitting, source="page 3")),
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
        lambda w: catalogue.save_hose(actor=w.counter, hose=_changed(w.hose, source="sheet 5")),
    ),
    "save_hose_rating": (
        "counter",
        lambda w: standards.save_hose_rating(
            actor=w.counter, rating=_changed(factories.HoseRatingFactory(), dn="13")
        ),
    ),
    "save_line": ("counter", lambda w: w.written_line()),
    "save_order": (
        "counter",
        lambda w: orders.save_order(actor=w.counter, order=Order(customer=w.customer)),
    ),
    "save_person": ("owner", lambda w: people.save_person(actor=w.owner, person=_person())),
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
        lambda w: tooling.save_stop_part(actor=w.bench, stop_part=_changed(w.stop_part, place="drawer 1")),
    ),
    "save_stop_type": (
        "counter",
        lambda w: catalogue.save_stop_type(actor=w.counter, stop_type=StopType(designation="stop X")),
    ),
    "save_workshop": (
        "owner",
        lambda w: policy.save_workshop(actor=w.owner, workshop=_changed(w.workshop, address="Quay 2")),
    ),
    "set_pin": ("bench", lambda w: set_pin(actor=w.bench, person=w.bench, pin="2580")),
    "set_policy": (
        "owner",
        lambda w: policy.set_policy(actor=w.owner, policy=Policy(effective_from=policy.today())),
    ),
    "set_up": ("bench", bench.ready_to_crimp),
    "ship": ("counter", lambda w: ship(actor=w.counter, assembly=bench.released(w))),
    "start_line": ("counter", lambda w: start_line(actor=w.counter, line=w.written_line())),
    "take_worksheet_off": (
        "owner",
        lambda w: take_worksheet_off(actor=w.owner, attached=_attach(w)),
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
