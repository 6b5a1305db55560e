"""A pin of nine tenths of the narrowest bore goes through each assembly, where the policy wants it."""

from decimal import Decimal

import pytest

from shop.assemblies import refusals
from shop.assemblies.models import Assembly
from shop.catalogue.services import save_fitting
from tests.assemblies import bench
from tests.world import World

pytestmark = pytest.mark.django_db


@pytest.fixture
def assembly(world: World) -> Assembly:
    """Crimped at both ends, in a workshop whose policy wants the pin."""
    bench.choose(world, bore_pin=True)
    return bench.made(world)


def test_the_pin_that_went_through_is_kept_with_the_thinnest_that_shows_it(
    world: World, assembly: Assembly
) -> None:
    inspection = bench.look_over(world, assembly, pin_mm=Decimal("11.5"))
    assert inspection.passed
    assert (inspection.pin, inspection.pin_least) == (Decimal("11.5"), Decimal("11.43"))
    assert "bore_pin" in inspection.seen
    assert "bore_open" not in inspection.seen


def test_it_refuses_a_pin_that_is_too_thin_to_show_anything(world: World, assembly: Assembly) -> None:
    with pytest.raises(refusals.PinTooThin, match=r"11\.43 mm are nine tenths of the bore of the hose"):
        bench.look_over(world, assembly, pin_mm=Decimal("11.4"))
    assert not assembly.inspections.exists()


def test_it_refuses_a_pin_that_nobody_measured(world: World, assembly: Assembly) -> None:
    with pytest.raises(refusals.PinNotMeasured):
        bench.look_over(world, assembly)


def test_it_refuses_a_pin_that_is_wider_than_the_bore(world: World, assembly: Assembly) -> None:
    with pytest.raises(refusals.MeasureNotUsable, match="can't have gone through the hose"):
        bench.look_over(world, assembly, pin_mm=Decimal(13))


def test_a_bore_that_no_pin_goes_through_fails(world: World, assembly: Assembly) -> None:
    inspection = bench.look_over(world, assembly, seen=bench.EVERYTHING - {"bore_pin"})
    assert not inspection.passed
    assert inspection.found_wrong[0].startswith("Not seen: The pin goes through by its own weight")


def test_the_bore_of_a_fitting_counts_if_it_is_narrower(world: World, assembly: Assembly) -> None:
    world.fitting.bore = Decimal("9.6")
    save_fitting(actor=world.counter, fitting=world.fitting)
    with pytest.raises(refusals.PinTooThin, match=r"8\.64 mm are nine tenths of the bore of end A"):
        bench.look_over(world, assembly, pin_mm=Decimal("8.6"))
    assert bench.look_over(world, assembly, pin_mm=Decimal("8.64")).passed


def test_without_the_policy_the_inspector_looks_through(world: World) -> None:
    inspection = bench.look_over(world, bench.made(world))
    assert (inspection.pin, inspection.pin_least) == (None, None)
    assert "bore_open" in inspection.seen
