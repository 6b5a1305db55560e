"""What failures have in common: a hint where to look, asked of counts that are settled before any p."""

import datetime
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from shop.assemblies.models import Assembly
from shop.assemblies.planning import start_line
from shop.engineering.common_factors import Counts
from shop.stock.models import Lot
from shop.stock.services import receive_lot
from shop.trace import common_factors
from shop.trace.common_factors import in_common
from shop.trace.failures import WhatFailed, judge_report, report_failure
from shop.trace.models import FailureMode, Hurt, Verdict
from tests.assemblies import bench
from tests.world import World


def ship_some(world: World, count: int, lot: Lot | None = None) -> list[Assembly]:
    """Assemblies of one run that have left, with fittings of that lot at both ends."""
    usual, world.fitting_lot = world.fitting_lot, lot or world.fitting_lot
    pieces = list(start_line(actor=world.counter, line=world.written_line(quantity=count)))
    for piece in pieces:
        bench.cut(world, piece)
    bench.finish_run(world, pieces)
    world.fitting_lot = usual
    for piece in pieces:
        piece.refresh_from_db()
        bench.look_over(world, piece)
        bench.make_tag(actor=world.inspector, assembly=piece)
        bench.release(actor=world.inspector, assembly=piece, scanned=piece.code)
        bench.ship(actor=world.counter, assembly=piece)
    return pieces


def fail(world: World, assembly: Assembly, mode: FailureMode = FailureMode.BLOW_OFF) -> None:
    report = report_failure(actor=world.counter, assembly=assembly, told=WhatFailed(hurt=Hurt.NO, mode=mode))
    judge_report(
        actor=world.inspector, report=report, verdict=Verdict.FAILED, mode=mode, words="The end came off."
    )


@pytest.fixture
def bad_lot(world: World) -> Lot:
    """Five assemblies with fittings of that lot, of which four fail; five with another, all sound."""
    lot = receive_lot(actor=world.bench, lot=Lot(fitting=world.fitting, batch="BAD", quantity=50))
    ship_some(world, 5)
    for assembly in ship_some(world, 5, lot)[:4]:
        fail(world, assembly)
    return lot


def test_the_lot_that_the_failures_share_is_asked_about_and_what_made_them_all_is_not(
    world: World, bad_lot: Lot
) -> None:
    """One die set, crimper, hose lot and person made all ten: there is nothing to compare them with."""
    found = in_common(FailureMode.BLOW_OFF)
    assert (found.everything.assemblies, found.everything.failed) == (10, 4)
    [hint] = found.hints
    assert hint.question.suspicion.things == {"fitting_lot": (bad_lot.pk,)}
    assert hint.question.counts == Counts(4, 1, 0, 5)
    # Of 210 ways to pick four of ten, five from the one five and as many from the other.
    assert float(hint.p) == pytest.approx(10 / 210)
    assert hint.p_adjusted == hint.p  # one question was asked
    assert hint.odds.is_corrected
    assert hint.stands_out
    assert found.left_out > 0
    other = in_common(FailureMode.PINHOLE)
    assert (other.everything.assemblies, other.everything.failed) == (10, 0)  # they count with the sound
    assert not other.are_enough


def test_with_two_failures_there_is_only_their_list(world: World) -> None:
    bench.made(world)  # it never left the workshop, so it is in no population
    for assembly in ship_some(world, 3)[:2]:
        fail(world, assembly)
    found = in_common()
    assert found.everything.assemblies == 3
    assert not found.are_enough
    assert (found.hints, found.failed.count()) == ((), 2)


def test_months_in_service_end_with_the_failure(
    world: World, bad_lot: Lot, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two years later the six that are sound have been out for two years, those that failed for no month."""
    later = common_factors.timezone.now() + datetime.timedelta(days=730)
    monkeypatch.setattr(common_factors.timezone, "now", lambda: later)
    everything = in_common().everything
    months = Decimal(6 * 730) / Decimal("30.4375")
    assert float(everything.months) == pytest.approx(float(months), rel=1e-3)
    assert everything.rate == pytest.approx(4000 / months, abs=Decimal("0.1"))


def test_more_assemblies_in_service_take_no_more_queries(world: World, bad_lot: Lot) -> None:
    def asked() -> int:
        with CaptureQueriesContext(connection) as queries:
            in_common()
        return len(queries)

    few = asked()
    ship_some(world, 2)
    assert asked() == few
