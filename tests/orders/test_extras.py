"""What is ordered beside hose and ends: kept on the line, frozen with it, and told of when it changes."""

import pytest

from shop.orders import refusals
from shop.orders.differences import differences
from shop.orders.freezing import freeze
from shop.orders.models import OrderLine
from shop.orders.resolution import resolve_line
from shop.orders.services import confirm_line
from shop.policy.services import today
from tests.world import World

ORDERED = {
    "sleeve": "textile, the whole hose",
    "guard": "steel spring, 300 mm at end A",
    "caps": True,
    "marking": "BOOM LIFT P1",
    "cleanliness": "18/16/13",
}
TOLD = (
    ("Sleeve", "textile, the whole hose"),
    ("Guard", "steel spring, 300 mm at end A"),
    ("Caps", "on both ends"),
    ("Customer's marking", "BOOM LIFT P1"),
    ("Cleanliness inside", "18/16/13 (ISO 4406)"),
)


def test_extras_are_frozen_when_the_line_is_confirmed(world: World) -> None:
    line = world.written_line(**ORDERED)
    assert line.extras == TOLD
    assert confirm_line(actor=world.counter, line=line).extras == TOLD


def test_a_line_without_extras_says_nothing_of_them(world: World) -> None:
    assert confirm_line(actor=world.counter, line=world.written_line()).extras == ()


@pytest.mark.parametrize("code", ["16/13", "13/16/18", "very clean", "18/16/99"])
def test_a_cleanliness_that_is_no_code_is_refused(world: World, code: str) -> None:
    with pytest.raises(refusals.CleanlinessNotUsable):
        world.written_line(cleanliness=code)
    assert not OrderLine.objects.exists()


def test_an_extra_that_is_another_now_is_a_difference(world: World) -> None:
    before = freeze(resolve_line(world.line(sleeve="textile"), today()))
    now = freeze(resolve_line(world.line(sleeve="textile", caps=True, cleanliness="18/16/13"), today()))
    assert [(d.what, d.before, d.now) for d in differences(before, now)] == [
        ("both ends are capped", "no", "yes"),
        ("cleanliness inside", "none", "18/16/13"),
    ]
