"""The fluid's own temperatures, and seals that stand the fluid and the heat or don't."""

import pytest

from shop.assemblies.refusals import NoLongerRight
from shop.catalogue.models import Seal
from shop.core.refusals import Refusal
from shop.orders import refusals
from shop.orders.models import OrderLine
from shop.orders.resolution import resolve_line
from shop.orders.services import confirm_line, save_line
from shop.policy.services import today
from tests.assemblies import bench
from tests.world import World


@pytest.fixture
def sealed(world: World) -> Seal:
    """Both ends of the world's line seal with NBR, from -30 to 90 °C, in the line's fluid."""
    seal = Seal.objects.create(name="NBR", temperature_min_c=-30, temperature_max_c=90)
    seal.fluids.add(world.fluid)
    world.fitting.seal = seal
    world.fitting.save()
    return seal


def refused(world: World, kind: type[Refusal], **changes: object) -> Refusal:
    with pytest.raises(kind) as raised:
        save_line(actor=world.counter, line=world.line(**changes))
    assert type(raised.value) is kind
    assert not OrderLine.objects.exists()
    return raised.value


def test_a_fluid_hotter_than_any_hose_may_carry_it(world: World) -> None:
    # Water up to 70 °C: EN 857.
    world.fluid.temperature_min_c, world.fluid.temperature_max_c = 0, 70
    world.fluid.save()
    refusal = refused(world, refusals.FluidTooHot)
    assert refusal.what == f"Hose carries {world.fluid} up to 70 °C; here it is at 80 °C."
    assert refusal.field == "temperature_c"


def test_a_fluid_colder_than_any_hose_may_carry_it(world: World) -> None:
    world.fluid.temperature_min_c, world.fluid.temperature_max_c = 0, 70
    world.fluid.save()
    refusal = refused(world, refusals.FluidTooCold, temperature_c=-1)
    assert refusal.what == f"Hose carries {world.fluid} down to 0 °C; here it is at -1 °C."


def test_the_tag_carries_the_narrowest_of_hose_fluid_and_seals(world: World, sealed: Seal) -> None:
    world.fluid.temperature_min_c = -20
    world.fluid.save()
    resolution = confirm_line(actor=world.counter, line=world.written_line())
    assert (resolution.temperature_min_c, resolution.temperature_max_c) == (-20, 90)


def test_a_seal_for_another_fluid_is_refused(world: World, sealed: Seal) -> None:
    sealed.fluids.clear()
    refusal = refused(world, refusals.SealNotApproved)
    assert refusal.what == (f"The seal NBR at both ends ({world.fitting}) is not approved for {world.fluid}.")
    assert refusal.field == "fluid"


def test_a_seal_at_one_end_is_named_with_its_end(world: World, sealed: Seal) -> None:
    sealed.fluids.clear()
    refusal = refused(world, refusals.SealNotApproved, fitting_a=world.elbow)
    assert refusal.what.startswith("The seal NBR at end B")


@pytest.mark.parametrize(
    ("kind", "temperature", "says"),
    [
        (refusals.SealTooHot, 91, "The seal NBR at both ends is for use up to 90 °C; the fluid is at 91 °C."),
        (
            refusals.SealTooCold,
            -31,
            "The seal NBR at both ends is for use down to -30 °C; the fluid is at -31 °C.",
        ),
    ],
)
def test_a_seal_is_not_used_beyond_its_temperatures(
    world: World, sealed: Seal, kind: type[Refusal], temperature: int, says: str
) -> None:
    refusal = refused(world, kind, temperature_c=temperature)
    assert refusal.what == says
    assert refusal.what_to_do == "Choose an end whose seal is for that temperature."


def test_metal_to_metal_asks_nothing_of_a_seal(world: World) -> None:
    assert resolve_line(world.line(), today()).can_be_confirmed


def test_a_seal_that_lost_its_approval_stops_the_assembly(world: World, sealed: Seal) -> None:
    assembly = bench.plan(world)
    sealed.fluids.clear()
    with pytest.raises(NoLongerRight) as stopped:
        bench.cut(world, assembly)
    assert "is not approved for" in stopped.value.what
