"""Lengths from tip to tip, angles as the customer counts them, and what each becomes at the bench."""

from decimal import Decimal

import pytest

from shop.engineering.orientation import AngleConvention
from shop.orders import refusals
from shop.orders.models import Measured, Order, OrderLine
from shop.orders.resolution import resolve_line
from shop.orders.services import cancel_line, confirm_line, save_line, save_order
from shop.policy.services import today
from tests import factories
from tests.world import World

OVER_ALL = {"measured": Measured.TIPS, "overall_typed": "1000 mm", "overall_length": Decimal(1000)}


@pytest.fixture
def known_tips(world: World) -> World:
    """20 mm of metal beyond the seat of the straight fitting, 18 mm beyond the elbow's centreline."""
    for fitting, beyond in ((world.fitting, 20), (world.elbow, 18)):
        fitting.beyond_datum = Decimal(beyond)
        fitting.save()
    return world


def test_a_length_over_all_metal_becomes_one_between_the_datums(known_tips: World) -> None:
    world = known_tips
    line = world.written_line(fitting_b=world.elbow, **OVER_ALL)
    line.refresh_from_db()
    assert line.overall_length == Decimal(962)
    assert line.typed_words == "typed 1000 mm from tip to tip, which is this between the datums"
    resolution = confirm_line(actor=world.counter, line=line)
    assert (resolution.overall_length, resolution.overall_typed) == (Decimal(962), "1000 mm")
    assert resolution.cut_length == 962 - 25 - 45
    assert resolution.typed_words == line.typed_words


def test_writing_it_twice_takes_the_metal_off_once(known_tips: World) -> None:
    line = known_tips.written_line(**OVER_ALL)
    save_line(actor=known_tips.counter, line=line)
    assert line.overall_length == Decimal(960)


def test_a_fitting_corrected_since_changes_what_the_line_comes_to(known_tips: World) -> None:
    line = known_tips.written_line(**OVER_ALL)
    known_tips.fitting.beyond_datum = Decimal(21)
    known_tips.fitting.save()
    again = OrderLine.objects.get(pk=line.pk)
    assert resolve_line(again, today()).overall_length == Decimal(958)
    assert confirm_line(actor=known_tips.counter, line=again).overall_length == Decimal(958)


def test_tips_of_which_nothing_is_known_are_no_measure(known_tips: World) -> None:
    world = known_tips
    unknown = factories.FittingFactory(series=world.series, connection=world.fitting.connection)
    with pytest.raises(refusals.TipsNotKnown) as refused:
        save_line(actor=world.counter, line=world.line(fitting_b=unknown, **OVER_ALL))
    assert refused.value.what == (
        f"How much metal {unknown} at end B has beyond the sealing seat is not known, so a length from tip "
        "to tip can't be reckoned with."
    )
    assert not OrderLine.objects.exists()
    proposal = resolve_line(world.line(fitting_a=unknown, fitting_b=unknown, **OVER_ALL), today())
    [point] = proposal.refusals
    assert "at both ends" in point.what
    assert proposal.cut_length is None


def test_too_short_from_tip_to_tip_is_said_from_tip_to_tip(known_tips: World) -> None:
    # 156 mm between the datums (twice 25 cut-off, twice 30 insertion, 46 free) and 40 mm of metal beyond.
    short = {"measured": Measured.TIPS, "overall_typed": "195.9 mm", "overall_length": Decimal("195.9")}
    with pytest.raises(refusals.AssemblyTooShort) as refused:
        save_line(actor=known_tips.counter, line=known_tips.line(**short))
    assert refused.value.what.startswith("An overall length of 195.9 mm leaves less than 46 mm")
    assert refused.value.what_to_do == "With these ends the overall length is at least 196 mm."
    enough = short | {"overall_typed": "196 mm"}
    assert save_line(actor=known_tips.counter, line=known_tips.line(**enough)).cut_length == Decimal(106)


def test_metal_that_is_longer_than_the_length_leaves_nothing(known_tips: World) -> None:
    none_left = {"measured": Measured.TIPS, "overall_typed": "40 mm", "overall_length": Decimal(40)}
    with pytest.raises(refusals.AssemblyTooShort):
        save_line(actor=known_tips.counter, line=known_tips.line(**none_left))


def bent_line(world: World, convention: AngleConvention, angle: int | None) -> OrderLine:
    order = save_order(actor=world.counter, order=Order(customer=world.customer, angle_convention=convention))
    ends = {"fitting_a": world.elbow, "fitting_b": world.elbow}
    return world.line(order=order, angle_deg=angle, **ends)


@pytest.mark.parametrize(
    ("convention", "at_the_bench"),
    [
        (AngleConvention.NEAR_SIX_CCW, 90),
        (AngleConvention.NEAR_SIX_CW, 270),
        (AngleConvention.FAR_TWELVE_CCW, 270),
        (AngleConvention.FAR_TWELVE_CW, 90),
    ],
)
def test_the_bench_counts_one_way_whatever_the_customer_does(
    world: World, convention: AngleConvention, at_the_bench: int
) -> None:
    line = bent_line(world, convention, 90)
    save_line(actor=world.counter, line=line)
    resolution = confirm_line(actor=world.counter, line=line)
    assert (resolution.angle_deg, resolution.angle_typed) == (at_the_bench, 90)
    assert resolution.angle_convention == convention
    line.refresh_from_db()
    assert line.angle_deg == 90


def test_the_missing_angle_is_asked_for_as_the_order_counts(world: World) -> None:
    line = bent_line(world, AngleConvention.FAR_TWELVE_CW, None)
    [point] = save_line(actor=world.counter, line=line).open_points
    assert isinstance(point, refusals.AngleMissing)
    assert "far end at twelve o'clock, clockwise to the near end" in point.what_to_do


@pytest.mark.parametrize("cancelled", [False, True])
def test_another_way_of_counting_is_refused_once_a_line_has_an_angle(world: World, cancelled: bool) -> None:
    line = bent_line(world, AngleConvention.NEAR_SIX_CCW, 90)
    save_line(actor=world.counter, line=line)
    if cancelled:
        cancel_line(actor=world.counter, line=line)
    line.order.angle_convention = AngleConvention.NEAR_SIX_CW
    with pytest.raises(refusals.AngleConventionFixed) as refused:
        save_order(actor=world.counter, order=line.order)
    assert "near end at six o'clock, counter-clockwise to the far end" in refused.value.what
    assert Order.objects.get(pk=line.order_id).angle_convention == AngleConvention.NEAR_SIX_CCW


def test_without_an_angle_the_way_of_counting_may_still_change(world: World) -> None:
    line = bent_line(world, AngleConvention.NEAR_SIX_CCW, None)
    save_line(actor=world.counter, line=line)
    line.order.angle_convention = AngleConvention.NEAR_SIX_CW
    save_order(actor=world.counter, order=line.order)
    line.order.reference = "boom 9"
    assert save_order(actor=world.counter, order=line.order).reference == "boom 9"


def test_the_line_is_written_as_its_order_counts_now(world: World) -> None:
    line = bent_line(world, AngleConvention.NEAR_SIX_CCW, 90)
    meanwhile = Order.objects.get(pk=line.order_id)
    meanwhile.angle_convention = AngleConvention.NEAR_SIX_CW
    save_order(actor=world.counter, order=meanwhile)
    save_line(actor=world.counter, line=line)
    assert line.bench_angle_deg == 270


def test_a_short_hose_is_told_to_take_up_no_error(world: World) -> None:
    ends = {"fitting_a": world.elbow, "fitting_b": world.elbow, "angle_deg": 90}
    # 930 - 90 - 60 mm are free: long enough. 379 mm leave 229, one less than ten diameters of 23 mm.
    assert resolve_line(world.line(**ends), today()).notes == ()
    short = world.line(**ends, overall_length=Decimal(379), overall_typed="379")
    [note] = resolve_line(short, today()).notes
    assert note.what.startswith("Only 229 mm of hose is free between the ferrules, less than 10 outside")
    assert note.what_to_do == "Set the angle with care. It may be 3° off and no more."
    straight = world.line(overall_length=Decimal(300), overall_typed="300")
    assert resolve_line(straight, today()).notes == ()
