"""One page's worth of facts about one assembly, as they were on the day."""

from decimal import Decimal

from django.db import connection
from django.test.utils import CaptureQueriesContext

from shop.assemblies.making import correct_measurement, decide
from shop.assemblies.models import Assembly, DecisionKind, End
from shop.assemblies.planning import plan_replacement
from shop.assemblies.release import make_tag, retire
from shop.ledger.services import erase_private
from shop.orders.worksheets import attach_worksheet, take_worksheet_off
from shop.trace.dossier import AssemblyRecord, record_of
from tests.assemblies import bench
from tests.world import World


def test_it_tells_how_an_assembly_was_made(world: World) -> None:
    record = record_of(bench.shipped(world))
    assert record.assembly.run.line.order.customer == world.customer
    assert record.resolution.record.policy == world.policy
    assert record.cut is not None
    assert record.cut.record.movement.piece == world.reel
    assert record.cut.record.movement.piece.lot.batch == "T-771"
    assert record.cut.by.number == world.bench.number
    for end in record.ends:
        [crimp] = end.crimps
        assert crimp.written.record.fitting_lot == world.fitting_lot
        assert crimp.written.record.ferrule_lot == world.ferrule_lot
        assert crimp.set_up.record.die_set == world.die_set
        assert crimp.set_up.record.stop_part == world.stop_part
        assert crimp.set_up.record.crimper == world.crimper
        assert crimp.set_up.record.specification.chart_issue == world.chart_issue
        [measured] = crimp.measurements
        assert measured.written.record.calibration.certificate == "C-1"
        assert measured.drawing.mean_mm == Decimal("24.2")
        assert measured.drawing.outcome == "pass"
    assert [inspection.record.passed for inspection in record.inspections] == [True]
    assert record.release is not None
    assert record.shipment is not None
    assert record.shipment.by.name == world.counter.name
    assert record.retirement is None


def test_it_names_everybody_who_had_a_hand_in_it(world: World) -> None:
    record = record_of(bench.shipped(world))
    people = {(person.number, person.name) for person in record.people}
    for user in (world.counter, world.bench, world.inspector):
        assert (user.number, user.name) in people


def test_it_tells_the_ledgers_entries_in_order_with_both_times(world: World) -> None:
    record = record_of(bench.shipped(world))
    numbers = [told.entry.number for told in record.entries]
    assert numbers == sorted(numbers)
    verbs = [told.entry.verb for told in record.entries]
    for verb in ("stock.lot_received", "orders.line_confirmed", "assemblies.planned", "assemblies.cut"):
        assert verb in verbs
    assert verbs[-1] == "assemblies.shipped"
    assert all(told.happened_at <= told.recorded_at for told in record.entries)


def test_the_calibration_is_the_one_of_that_day_and_not_todays(world: World) -> None:
    assembly, _ = bench.crimped(world)
    then = world.caliper.calibration
    world.calibrate(world.caliper, certificate="C-2", expanded_uncertainty=Decimal("0.01"))
    [measured] = record_of(assembly).ends[0].crimps[0].measurements
    assert measured.written.record.calibration == then
    assert measured.drawing.expanded_mm == Decimal("0.03")


def test_readings_that_were_judged_together_are_drawn_together(world: World) -> None:
    bench.choose(world, decision_rule="guarded_u")
    assembly, crimp = bench.crimped(world, ("24.38", "24.38", "24.38", "24.38"))
    bench.measure(world, crimp, ("24.34", "24.34", "24.34", "24.34"))
    first, second = record_of(assembly).ends[0].crimps[0].measurements
    assert (first.drawing.outcome, second.drawing.outcome) == ("held", "pass")
    assert len(first.drawing.readings_mm) == 4
    assert len(second.drawing.readings_mm) == 8
    assert second.drawing.mean_mm == Decimal("24.36")
    assert second.drawing.acceptance_upper_mm == Decimal("24.37")


def test_a_corrected_set_stays_and_says_what_corrected_it(world: World) -> None:
    assembly, crimp = bench.crimped(world, ("24.1", "24.1", "24.1", "24.1"))
    correct_measurement(
        actor=world.bench, measurement=crimp.measurements.get(), readings_mm=bench.mm(*bench.GOOD)
    )
    first, second = record_of(assembly).ends[0].crimps[0].measurements
    assert first.corrected_by == 2
    assert second.corrects == 1
    assert first.drawing.readings_mm == bench.mm("24.1", "24.1", "24.1", "24.1")
    assert second.drawing.readings_mm == bench.mm(*bench.GOOD)


def test_decisions_carry_their_reasons_until_they_are_erased(world: World) -> None:
    assembly, _ = bench.crimped(world, ("23.9", "23.9", "23.9", "23.9"))
    decide(actor=world.bench, assembly=assembly, kind=DecisionKind.SCRAP, reason="Ulla mixed the dies")
    [decision] = record_of(assembly).decisions
    assert (decision.what, decision.reason) == ("scrap", "Ulla mixed the dies")
    erase_private(actor=world.owner, subject=assembly)
    [decision] = record_of(assembly).decisions
    assert decision.reason == "erased"


def test_a_crimp_that_was_made_again_shows_both_attempts(world: World) -> None:
    bench.allow_crimping_again(world)
    assembly, crimp = bench.crimped(world, ("24.6", "24.6", "24.6", "24.6"))
    decide(actor=world.inspector, assembly=assembly, kind=DecisionKind.CRIMP_AGAIN, reason="too large")
    bench.measure(world, bench.crimp(world, assembly))
    first, second = record_of(assembly).ends[0].crimps
    assert first.written.record == crimp
    assert (first.written.record.attempt, second.written.record.attempt) == (1, 2)


def test_a_replacement_and_what_it_replaces_name_each_other(world: World) -> None:
    assembly, _ = bench.crimped(world, ("23.9", "23.9", "23.9", "23.9"))
    decide(actor=world.bench, assembly=assembly, kind=DecisionKind.SCRAP, reason="too small")
    replacement = plan_replacement(actor=world.bench, assembly=assembly)
    assert record_of(assembly).replaced_by == replacement
    assert record_of(replacement).assembly.replaces == assembly


def test_a_set_up_without_a_crimp_is_shown_too(world: World) -> None:
    record = record_of(bench.ready_to_crimp(world))
    [set_up] = record.ends[0].unused_set_ups
    assert set_up.record.die_set == world.die_set
    assert record.ends[0].crimps == ()


def test_taking_out_of_service_carries_its_reason(world: World) -> None:
    assembly = bench.shipped(world)
    retire(actor=world.counter, assembly=assembly, reason="cover worn through")
    record = record_of(assembly)
    assert record.retirement is not None
    assert record.retirement.reason == "cover worn through"


def test_it_has_the_worksheets_of_its_order_line_that_were_not_taken_off(world: World) -> None:
    assembly = bench.made(world)
    line = assembly.run.line
    kept, other = (
        attach_worksheet(
            actor=world.counter, line=line, worksheet="length", typed=[("overall", typed)], says=typed
        )
        for typed in ("930", "935")
    )
    take_worksheet_off(actor=world.counter, attached=other)
    [told] = record_of(assembly).worksheets
    assert (told.record, told.by.number) == (kept, world.counter.number)


def test_much_is_read_in_as_many_queries_as_little(world: World) -> None:
    little = bench.shipped(world)
    bench.choose(world, decision_rule="guarded_u")
    much, crimp = bench.crimped(world, ("24.38", "24.38", "24.38", "24.38"))
    for _ in range(5):
        bench.measure(world, crimp, ("24.38", "24.38", "24.38", "24.38"))
    bench.measure(world, crimp, ("24.0", "24.1", "24.0", "24.1"))
    bench.finish_ends(world, much)
    bench.look_over(world, much)
    for _ in range(3):
        make_tag(actor=world.inspector, assembly=much)
    assert len(record_of(much).entries) > len(record_of(little).entries)
    assert _queries(much) == _queries(little)


def _queries(assembly: Assembly) -> int:
    with CaptureQueriesContext(
        connection,
    ) as captured:
        _walk(record_of(assembly))
    return len(captured)


def _walk(record: AssemblyRecord) -> None:
    """Touch what a page shows."""
    str(record.assembly.run.line.order.customer)
    str((record.resolution.record.hose, record.resolution.record.fluid))
    if record.cut:
        str((record.cut.by, record.cut.record.movement.piece.lot.item))
    for end in record.ends:
        assert end.end in End
        for crimp in end.crimps:
            written, set_up = crimp.written.record, crimp.set_up.record
            str((written.fitting_lot.item, written.ferrule_lot and written.ferrule_lot.item))
            str((written.specification.ferrule, written.specification.chart_issue))
            str((set_up.crimper, set_up.die_set.die_type, set_up.stop_part, set_up.gauge, set_up.calibration))
            for measured in crimp.measurements:
                str((measured.written.record.gauge, measured.written.record.calibration, measured.written.by))
    for told in record.entries:
        str((told.entry, told.by, told.private("reason")))
    for tag in record.tags:
        str((tag.by, tag.record.number, tag.record.mark))
