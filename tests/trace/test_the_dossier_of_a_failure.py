"""What the book says beside a failure: siblings, tools then and since, what is known and what isn't."""

from decimal import Decimal
from typing import Any

import pytest

from shop.assemblies.models import Assembly
from shop.assemblies.release import retire
from shop.assemblies.wear import record_tool_check
from shop.policy.services import today
from shop.trace.failures import WhatFailed, investigate, judge_report, report_failure
from shop.trace.failures.investigating import Investigation
from shop.trace.failures.siblings import COMPARED, Siblings, siblings_of
from shop.trace.links import LINKS
from shop.trace.models import FailureMode, FailureReport, Hurt, Verdict
from shop.trace.reaching import reached_by
from shop.trace.suspicion import Suspicion
from tests.assemblies import bench, proving
from tests.assemblies.test_recalls import recall
from tests.assemblies.test_runs import cut_run, make
from tests.world import World


def reported(assembly: Assembly, **changes: Any) -> FailureReport:
    told = WhatFailed(**{"hurt": Hurt.NO, "mode": FailureMode.BLOW_OFF, **changes})
    return report_failure(actor=None, assembly=assembly, told=told)


def failed(world: World, mode: FailureMode = FailureMode.PINHOLE) -> Assembly:
    assembly = bench.shipped(world)
    judge_report(
        actor=world.inspector, report=reported(assembly), verdict=Verdict.FAILED, mode=mode, words="seen"
    )
    return assembly


def about(assembly: Assembly) -> Investigation:
    return investigate(reported(assembly))


def of(found: list[Siblings], name: str) -> Siblings:
    return next(one for one in found if one.link.name == name)


def test_siblings_are_counted_by_what_became_of_them(world: World) -> None:
    assembly = bench.shipped(world)
    for mode in (FailureMode.PINHOLE, FailureMode.PINHOLE, FailureMode.KINK):
        failed(world, mode)
    bench.shipped(world)
    retire(actor=world.counter, assembly=bench.shipped(world), reason="worn")
    recall(world, bench.shipped(world))
    bench.made(world)
    lot = of(siblings_of(assembly), "hose_lot")
    assert lot.thing == world.reel.lot
    assert lot.every == 7
    assert lot.failed_by_mode == {FailureMode.PINHOLE: 2, FailureMode.KINK: 1}
    assert (lot.failed, lot.in_service, lot.retired, lot.recalled, lot.scrapped) == (3, 1, 1, 1, 0)
    assert lot.here == 1
    outcomes = [outcome for _, _, outcome in lot.rows(assembly)]
    assert sorted(outcomes) == sorted(
        ["failed in service"] * 3 + ["in service", "retired", "recalled", "in the workshop"]
    )


def test_each_factor_leads_to_the_things_that_lead_back_to_the_assembly(world: World) -> None:
    assembly = bench.shipped(world)
    bench.shipped(world)
    found = siblings_of(assembly)
    assert {one.link.name for one in found} == COMPARED
    for one in found:
        suspected = set(one.suspicion.assemblies())
        assert assembly in suspected
        assert suspected <= set(reached_by(one.thing))
        assert one.every == len(suspected) - 1


def test_a_covered_crimp_shares_the_gauge_of_the_pieces_around_it(world: World) -> None:
    run = cut_run(world, 4, every=3)
    make(world, *run)
    between = next(piece for piece in run if not piece.crimps.filter(measurements__isnull=False).exists())
    gauge = of(siblings_of(between), "gauge")
    assert gauge.thing == world.caliper
    assert between in Suspicion(things={LINKS["gauge"].name: (world.caliper.pk,)}).assemblies()
    [unmeasured] = [one for one in about(between).unknown if "was not measured itself" in one]
    assert (
        f"assemblies {run[0].serial} and {run[2].serial} of its run passed before and after it" in unmeasured
    )


def test_it_says_what_is_proven_and_what_is_not(world: World) -> None:
    found = about(bench.shipped(world))
    known, unknown = " ".join(found.known), " ".join(found.unknown)
    assert "The crimp at end A was measured: 24.20 mm in the mean" in known
    assert "It was not proof tested." in unknown
    assert "On which day it failed." in unknown
    tested = about(proving.prove(world, proving.ready_to_test(world)).assembly)
    assert "It was proof tested: " in " ".join(tested.known)
    assert "It was not proof tested." not in tested.unknown


def test_a_gauge_and_a_die_set_that_were_found_wrong_since_are_in_doubt(world: World) -> None:
    assembly = bench.shipped(world)
    assert not any(tool.in_doubt for tool in about(assembly).tools)
    world.calibrate(world.caliper, done_on=today(), error_as_found=Decimal("0.3"), passed=False)
    record_tool_check(actor=world.bench, tool=world.die_set, passed=False, condition="die 3 chipped")
    found = about(assembly)
    assert {tool.tool for tool in found.tools if tool.in_doubt} == {world.caliper, world.die_set}
    doubted = [sentence for sentence in found.unknown if "since when, nobody knows" in sentence]
    assert any(f"was found wrong on {today()}" in sentence for sentence in doubted)
    assert any(f"was found not fit on {today()}" in sentence for sentence in doubted)


def test_a_gauge_that_was_found_right_first_is_not_in_doubt(world: World) -> None:
    assembly = bench.shipped(world)
    world.calibrate(world.caliper, done_on=today(), certificate="C-2")
    world.calibrate(world.caliper, done_on=today(), error_as_found=Decimal("0.3"), passed=False)
    assert not any(tool.in_doubt for tool in about(assembly).tools if tool.tool == world.caliper)


def test_the_readings_around_it_are_those_of_its_dies_on_its_line(world: World) -> None:
    first, second = bench.shipped(world), bench.shipped(world)
    drawings = about(first).readings
    assert [drawing.title[:5] for drawing in drawings] == ["End A", "End B"]
    for drawing in drawings:
        assert len(drawing.readings) == 4  # both ends of both
        assert [reading.is_own for reading in drawing.readings].count(True) == 1
        assert drawing.lower_mm == world.chart_issue.specifications.get().lower
    later = about(second).readings[0].readings
    assert [reading.is_own for reading in later] == [False, False, True, False]
    assert [reading.at for reading in later] == sorted(reading.at for reading in later)


def test_decisions_and_corrections_are_deviations(world: World) -> None:
    assert about(bench.shipped(world)).deviations == ()
    bench.choose(world, decision_rule="guarded_u")
    assembly, crimp = bench.crimped(world, ("24.38",) * 4)
    bench.measure(world, crimp, ("24.34",) * 4)
    assert "Readings 1 at end A did not pass." in about(assembly).deviations


@pytest.mark.parametrize("contact", ["", "the yard"])
def test_what_is_open_is_asked(world: World, contact: str) -> None:
    assembly = bench.shipped(world)
    failed(world)
    bench.shipped(world)
    questions = " ".join(investigate(reported(assembly, contact=contact)).questions)
    assert "What is it? Look at the part in hand" in questions
    assert "Is it off the machine?" in questions
    assert ("Ask whom the reporter named" in questions) == bool(contact)
    assert "Others failed that share with it: hose from" in questions
    assert "crimped by the same person" in questions


def test_what_is_known_needs_not_be_asked(world: World) -> None:
    assembly = bench.shipped(world)
    report = reported(assembly, failed_on=today(), hours_in_service=1, contact="yard")
    judge_report(
        actor=world.inspector, report=report, verdict=Verdict.FAILED, mode=FailureMode.KINK, words="bent"
    )
    retire(actor=world.counter, assembly=assembly, reason="failed")
    assert investigate(report).questions == ()
