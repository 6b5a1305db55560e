"""Orders are opened, looked at, and seen to by the day they are due."""

import datetime

from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from shop.assemblies.making import decide
from shop.assemblies.models import Assembly, DecisionKind
from shop.assemblies.planning import start_line
from shop.orders.models import Customer, Order
from shop.orders.services import save_order
from shop.policy.services import today
from tests.orders.records import correct_the_cut
from tests.world import World


def link_to(order: Order) -> str:
    return f'<a href="/counter/orders/{order.code}/">{order.number}</a>'


def test_an_order_is_opened_for_a_customer_on_the_list(desk: Client, world: World) -> None:
    page = desk.post(
        "/counter/orders/new/", {"customer": "tidewater", "reference": "crane 4", "due_on": "2027-01-15"}
    )
    order = Order.objects.order_by("number").last()
    assert order is not None
    assert (order.customer, order.reference, order.due_on) == (
        world.customer,
        "crane 4",
        datetime.date(2027, 1, 15),
    )
    assert page.headers["Location"] == f"/counter/orders/{order.code}/lines/new/"


def test_a_new_customer_is_written_with_the_order(desk: Client, world: World) -> None:
    desk.post("/counter/orders/new/", {"new_name": "Ebb Dredging", "new_number": "", "new_contact": "Lio"})
    customer = Customer.objects.get(name="Ebb Dredging")
    assert customer.number == "1"
    assert customer.orders.count() == 1


def test_an_order_without_a_customer_is_not_opened(desk: Client, world: World) -> None:
    page = desk.post("/counter/orders/new/", {"reference": "crane 5"}).content.decode()
    assert "Say who orders" in page
    assert 'value="crane 5"' in page
    assert Order.objects.count() == 1


def test_a_number_that_another_customer_has_opens_no_order(desk: Client, world: World) -> None:
    taken = {"new_name": "Ebb Dredging", "new_number": world.customer.number}
    page = desk.post("/counter/orders/new/", taken).content.decode()
    assert "Another customer has this number." in page
    assert Order.objects.count() == 1


def test_the_head_of_an_order_is_changed(desk: Client, world: World) -> None:
    desk.post(
        f"/counter/orders/{world.order.code}/change/",
        {"customer": str(world.customer), "reference": "boom 4", "due_on": ""},
    )
    world.order.refresh_from_db()
    assert world.order.reference == "boom 4"


def test_the_order_shows_its_lines_and_its_assemblies(desk: Client, world: World) -> None:
    line = world.written_line(quantity=2)
    world.written_line(fitting_a=world.elbow, fitting_b=world.elbow)
    start_line(actor=world.counter, line=line)
    page = desk.get(f"/counter/orders/{world.order.code}/").content.decode()
    for assembly in Assembly.objects.all():
        assert f"/assembly/{assembly.code}/" in page
    assert "1 quotation to confirm · 2 to be made" in page
    assert "so the angle between them decides whether it fits" in page  # what is open on line 2


def test_the_first_due_is_on_top_and_a_late_one_says_so(desk: Client, world: World) -> None:
    later, late = (
        save_order(
            actor=world.counter,
            order=Order(customer=world.customer, due_on=today() + datetime.timedelta(days=days)),
        )
        for days in (9, -1)
    )
    page = desk.get("/counter/").content.decode()
    assert page.index(link_to(late)) < page.index(link_to(later)) < page.index(link_to(world.order))
    assert page.count("(late)") == 1


def test_the_counter_asks_as_often_for_many_orders_as_for_few(desk: Client, world: World) -> None:
    def asked() -> int:
        with CaptureQueriesContext(connection) as queries:
            desk.get("/counter/")
        return len(queries)

    world.written_line()
    few = asked()
    for _ in range(12):
        order = save_order(actor=world.counter, order=Order(customer=world.customer))
        world.written_line(order=order)
    assert asked() == few


def test_a_finished_order_is_not_open_any_more(desk: Client, world: World) -> None:
    line = world.written_line()
    start_line(actor=world.counter, line=line)
    assert link_to(world.order) in desk.get("/counter/").content.decode()
    Assembly.objects.update(state="shipped")
    assert link_to(world.order) not in desk.get("/counter/").content.decode()


def test_an_order_owes_a_scrapped_assembly_until_the_customer_does_without_it(
    desk: Client, world: World
) -> None:
    [assembly] = start_line(actor=world.counter, line=world.written_line())
    decide(actor=world.bench, assembly=assembly, kind=DecisionKind.SCRAP, reason="Cut crooked.")
    page = desk.get("/counter/").content.decode()
    assert "1 to be replaced" in page
    assert link_to(world.order) in page
    page = desk.get(f"/assembly/{assembly.code}/").content.decode()
    assert "Why is it not replaced?" in page
    settled = desk.post(f"/assembly/{assembly.code}/leave/", {"reason": "One less will do."}, follow=True)
    page = settled.content.decode()
    assert "The order owes nothing for it." in page
    assert "Not to be replaced" in page
    assert "One less will do." in page
    assert "Why is it not replaced?" not in page
    assert link_to(world.order) not in desk.get("/counter/").content.decode()


def test_the_way_of_counting_angles_is_asked_with_the_order(desk: Client, world: World) -> None:
    desk.post(
        "/counter/orders/new/",
        {"customer": "tidewater", "angle_convention": "far_twelve_cw", "reference": "x"},
    )
    order = Order.objects.order_by("number").last()
    assert order is not None
    assert order.angle_convention == "far_twelve_cw"
    page = desk.get(f"/counter/orders/{order.code}/").content.decode()
    assert "far end at twelve o&#x27;clock, clockwise to the near end" in page


def test_another_way_of_counting_is_refused_on_the_head_of_an_order_with_angles(
    desk: Client, world: World
) -> None:
    world.written_line(fitting_a=world.elbow, fitting_b=world.elbow, angle_deg=90)
    head = {"customer": str(world.customer), "reference": "boom 4", "angle_convention": "near_six_cw"}
    page = desk.post(f"/counter/orders/{world.order.code}/change/", head).content.decode()
    assert "are measured like this" in page
    world.order.refresh_from_db()
    assert (world.order.angle_convention, world.order.reference) == ("near_six_ccw", "boom 3")
    desk.post(f"/counter/orders/{world.order.code}/change/", head | {"angle_convention": "near_six_ccw"})
    world.order.refresh_from_db()
    assert world.order.reference == "boom 4"


def test_the_order_draws_a_confirmed_line_as_it_was_confirmed(desk: Client, world: World) -> None:
    start_line(actor=world.counter, line=world.written_line())
    correct_the_cut(world, "0.8")
    world.written_line()
    page = desk.get(f"/counter/orders/{world.order.code}/").content.decode()
    assert "hose cut to 880 mm" in page
    assert "hose cut to 879.2 mm" in page
