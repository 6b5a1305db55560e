"""Lines that were confirmed before surges, measuring and the rest were asked say what they meant then."""

import pytest

from shop.orders import refusals
from shop.orders.differences import differences, is_the_same
from shop.orders.freezing import freeze
from shop.orders.models import Order, Resolution
from shop.orders.resolution import resolve_line
from shop.orders.services import confirm_line, save_order
from shop.policy.services import today
from tests.world import World

ASKED_SINCE = set(Resolution.FIELDS[Resolution.newest_version()]) - set(Resolution.FIELDS[1])


@pytest.fixture
def old(world: World) -> Resolution:
    """What the world's line was confirmed as, with nothing in the columns that came later."""
    resolution = confirm_line(
        actor=world.counter,
        line=world.written_line(fitting_a=world.elbow, fitting_b=world.elbow, angle_deg=90),
    )
    for column in ASKED_SINCE:
        setattr(resolution, column, None)
    return resolution


def test_what_was_not_asked_then_has_not_changed(old: Resolution) -> None:
    now = freeze(resolve_line(old.line, today()))
    assert differences(old, now) == []
    assert is_the_same(old, now)


def test_what_was_meant_then_is_shown_beside_what_is_asked_now(world: World, old: Resolution) -> None:
    order = save_order(
        actor=world.counter, order=Order(customer=world.customer, angle_convention="near_six_cw")
    )
    line = world.line(
        order=order, fitting_a=world.elbow, fitting_b=world.elbow, angle_deg=270,
        pressure_typed="240", surge_typed="10", measured="datums",
    )  # fmt: skip
    told = {d.what: (d.before, d.now) for d in differences(old, freeze(resolve_line(line, today())))}
    assert told == {
        "the customer measures angles": (
            "near end at six o'clock, counter-clockwise to the far end",
            "near end at six o'clock, clockwise to the far end",
        ),
        "highest pressure": ("250 bar", "240 bar"),
        "surges on top of it": ("none", "10 bar"),
    }


def test_a_unit_that_changed_is_a_difference_by_itself(world: World) -> None:
    before = freeze(resolve_line(world.line(pressure_typed="25", pressure_unit="MPa"), today()))
    now = freeze(resolve_line(world.line(pressure_typed="25", pressure_unit="bar"), today()))
    assert [(d.what, d.before, d.now) for d in differences(before, now)] == [
        ("highest pressure", "25 MPa", "25 bar")
    ]


def test_confirming_anew_what_says_nothing_new_is_refused(world: World) -> None:
    line = world.written_line()
    confirm_line(actor=world.counter, line=line)
    with pytest.raises(refusals.NothingChanged):
        confirm_line(actor=world.counter, line=line)
