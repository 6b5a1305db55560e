"""What failures have in common: a hint where to look, asked of counts that are settled before any p."""

import datetime
import itertools
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from shop.assemblies.making import correct_lots
from shop.assemblies.models import Assembly
from shop.assemblies.planning import start_line
from shop.engineering.common_factors import Counts
from shop.people.models import User
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
    # The lot that none of them shares could be asked about just as well, so there were two questions.
    assert found.questions == 2
    assert float(hint.p_adjusted) == pytest.approx(2 * float(hint.p))
    assert hint.odds.is_corrected
    assert hint.stands_out
    assert found.left_out > 0
    other = in_common(FailureMode.PINHOLE)
    assert (other.everything.assemblies, other.everything.failed) == (10, 0)  # they count with the sound
    assert not other.are_enough


def test_each_lot_that_enough_were_made_of_counts_whether_any_of_it_failed_or_not(
    world: World, bad_lot: Lot
) -> None:
    """Otherwise whatever a few failures happen to share would be telling."""
    before = in_common()
    another, small = (
        receive_lot(actor=world.bench, lot=Lot(fitting=world.fitting, batch=batch, quantity=50))
        for batch in ("SOUND", "SMALL")
    )
    ship_some(world, 5, another)
    ship_some(world, 4, small)
    after = in_common()
    assert (before.questions, after.questions) == (2, 3)
    assert float(after.hints[0].p_adjusted) == pytest.approx(3 * float(after.hints[0].p))


def test_what_fewer_of_have_failed_than_of_the_rest_does_not_stand_out(world: World, bad_lot: Lot) -> None:
    """Both lots share failures: all five of the one, two of the ten of the other."""
    [last] = Assembly.objects.exclude(pk__in=in_common().failed).order_by("-serial")[:1]
    fail(world, last)
    others = ship_some(world, 5)
    for assembly in others[:2]:
        fail(world, assembly)
    bad, usual = in_common().hints
    assert (bad.question.counts, usual.question.counts) == (Counts(5, 0, 2, 8), Counts(2, 8, 5, 0))
    assert bad.p_adjusted == usual.p_adjusted
    assert (bad.is_uneven, bad.stands_out) == (True, True)
    assert (usual.is_uneven, usual.stands_out) == (True, False)


def test_what_is_counted_of_the_failures_is_what_a_suspicion_of_the_same_finds(
    world: World, inspector: User, bad_lot: Lot, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Of each thing that they share: lots that were corrected and readings that cover a crimp among them."""
    monkeypatch.setattr(common_factors, "FEWEST_EXPOSED", 0)  # or what all ten share would be left out
    for assembly in in_common().failed[:2]:
        crimp = assembly.crimps.order_by("pk")[0]
        correct_lots(
            actor=inspector,
            crimp=crimp,
            fitting_lot=world.fitting_lot,
            ferrule_lot=crimp.ferrule_lot,
            reason="The bins had been swapped.",
        )
    found = in_common()
    shared = {name for hint in found.hints for name in hint.question.suspicion.things}
    assert shared == common_factors.ASKED
    assert [hint for hint in found.hints if hint.question.suspicion.windows]  # and the month
    assert [
        hint.question.with_it.failed
        for hint in found.hints
        if hint.question.suspicion.things == {"fitting_lot": (world.fitting_lot.pk,)}
    ] == [2]
    for hint in found.hints:
        suspected = hint.question.suspicion.assemblies()
        assert hint.question.with_it.failed == found.failed.filter(pk__in=suspected.values("pk")).count()
        assert hint.question.with_it.assemblies == suspected.filter(shipment__isnull=False).count()


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


def test_months_of_another_mode_end_with_that_failure_too(
    world: World, bad_lot: Lot, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Asked about pinholes, the four that blew off are sound, but nobody has used them since."""
    later = common_factors.timezone.now() + datetime.timedelta(days=730)
    monkeypatch.setattr(common_factors.timezone, "now", lambda: later)
    pinholes = in_common(FailureMode.PINHOLE).everything
    assert (pinholes.assemblies, pinholes.failed) == (10, 0)
    assert pinholes.months == in_common().everything.months


def test_every_question_is_of_the_same_moment(
    world: World, bad_lot: Lot, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A clock that jumps two years at each look gives nobody less than no time in service."""
    began, looks = common_factors.timezone.now(), itertools.count(1)
    monkeypatch.setattr(
        common_factors.timezone, "now", lambda: began + datetime.timedelta(days=730) * next(looks)
    )
    [hint] = in_common().hints
    years = hint.question.with_it.months + hint.question.without_it.months
    assert float(years) == pytest.approx(6 * 24, rel=1e-2)


def test_more_assemblies_in_service_take_no_more_queries(world: World, bad_lot: Lot) -> None:
    def asked() -> int:
        with CaptureQueriesContext(connection) as queries:
            in_common()
        return len(queries)

    few = asked()
    ship_some(world, 2)
    assert asked() == few
