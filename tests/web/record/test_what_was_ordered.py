"""The record says what was asked for, as it was typed, and what that was confirmed as."""

from decimal import Decimal

from django.test import Client

from shop.orders.models import Order
from shop.orders.services import save_order
from tests.assemblies import bench
from tests.orders.records import correct_the_cut
from tests.world import World


def record(client: Client, world: World, **changes: object) -> str:
    """The page of the record of an assembly that is planned for such a line."""
    client.force_login(world.auditor)
    page = client.get(f"/assembly/{bench.plan(world, **changes).code}/")
    return " ".join(page.content.decode().split())


def test_surges_suction_and_tips_stand_there_as_typed(client: Client, world: World) -> None:
    world.hose.vacuum_printed, world.hose.vacuum_unit = "0.8", "bar"
    world.hose.save()
    world.fitting.beyond_datum = Decimal(20)
    world.fitting.save()
    page = record(
        client, world, surge_typed="20", vacuum_typed="0.5", vacuum_unit="bar", measured="tips",
        overall_typed="1000 mm",
    )  # fmt: skip
    assert "270 bar (250 bar and surges of 20 bar)" in page
    assert 'vacuum <span class="number">0.5 bar</span>' in page
    assert "960 mm" in page
    assert "typed 1000 mm from tip to tip, which is this between the datums" in page


def test_burst_stands_there_with_its_warning_and_how_it_came_about(client: Client, world: World) -> None:
    page = record(client, world)
    assert 'burst at least <span class="number">1100 bar</span>, never a working pressure' in page
    assert "No burst pressure is printed: 4 × 275 bar is 1100 bar, from memory." in page


def test_a_correction_of_the_cut_and_the_length_rules_stand_there(client: Client, world: World) -> None:
    correct_the_cut(world, "-0.8")
    page = record(client, world)
    assert "880.8 mm" in page
    assert '7 finished pieces were off by <span class="number">−0.8 mm</span>' in page
    assert "finished length held to EN 853 / DIN 20066" in page


def test_the_angle_stands_there_as_the_bench_and_as_the_customer_count_it(
    client: Client, world: World
) -> None:
    order = save_order(
        actor=world.counter, order=Order(customer=world.customer, angle_convention="near_six_cw")
    )
    page = record(client, world, order=order, fitting_a=world.elbow, fitting_b=world.elbow, angle_deg=90)
    assert "270° between the ends (typed 90°: near end at six o&#x27;clock, clockwise to the far end)" in page
