"""A line is written by saying what people say, and the sheet below says what it comes to."""

from decimal import Decimal

import pytest
from django.test import Client

from shop.ledger.models import Entry
from shop.orders.models import OrderLine
from tests import factories
from tests.orders.records import correct_the_cut
from tests.world import World

Typed = dict[str, str]


def address(world: World, page: str) -> str:
    return f"/counter/orders/{world.order.code}/lines/{page}/"


def test_a_line_is_written_and_leads_to_what_it_comes_to(desk: Client, world: World, typed: Typed) -> None:
    page = desk.post(address(world, "new"), typed | {"overall_typed": "36 1/2 in"}, follow=True)
    line = OrderLine.objects.get()
    assert line.overall_length == Decimal("927.1")
    assert line.overall_typed == "36 1/2 in"
    assert page.redirect_chain[-1][0] == address(world, "1")
    assert "This can be confirmed." in page.content.decode()
    assert "877.1 mm" in page.content.decode()  # cut length: two cut-offs of 25 mm less


def test_pressure_and_its_unit_are_kept_as_typed(desk: Client, world: World, typed: Typed) -> None:
    desk.post(address(world, "new"), typed | {"pressure_typed": "24,5 MPa"})
    line = OrderLine.objects.get()
    assert (line.pressure_typed, line.pressure_unit) == ("24.5", "MPa")


def test_a_line_asks_for_a_proof_test_and_says_so(desk: Client, world: World, typed: Typed) -> None:
    page = desk.post(address(world, "new"), typed, follow=True)
    assert "not tested" in page.content.decode()
    page = desk.post(address(world, "new"), typed | {"proof_test_wanted": "on"}, follow=True)
    assert "each is tested at it" in page.content.decode()
    assert OrderLine.objects.filter(proof_test_wanted=True).count() == 1


def test_extras_are_typed_and_stand_on_the_line(desk: Client, world: World, typed: Typed) -> None:
    assert '<details class="wide more">' in desk.get(address(world, "new")).content.decode()
    extras = {"sleeve": "textile, the whole hose", "caps": "on", "cleanliness": " 18/16/13 "}
    page = desk.post(address(world, "new"), typed | extras, follow=True).content.decode()
    assert "textile, the whole hose" in page
    line = OrderLine.objects.get()
    assert (line.caps, line.guard, line.cleanliness) == (True, "", "18/16/13")
    again = desk.get(address(world, "1/change")).content.decode()
    assert 'value="textile, the whole hose"' in again
    assert 'value="18/16/13"' in again


def test_two_numbers_are_no_cleanliness_and_the_line_stays(desk: Client, world: World, typed: Typed) -> None:
    page = desk.post(address(world, "new"), typed | {"cleanliness": "16/13", "guard": "coil"})
    assert "editions differ in the sizes that they mean" in page.content.decode()
    assert 'value="coil"' in page.content.decode()
    assert not OrderLine.objects.exists()


def test_part_of_a_name_will_do_if_only_one_has_it(desk: Client, world: World, typed: Typed) -> None:
    words = world.hose.designation.lower()
    desk.post(address(world, "new"), typed | {"hose": f"{words} -8"})
    assert OrderLine.objects.get().hose == world.hose


def test_a_name_that_fits_several_is_answered_with_their_names(
    desk: Client, world: World, typed: Typed
) -> None:
    other = factories.HoseFactory(designation=f"{world.hose.designation} plus")
    page = desk.post(address(world, "new"), typed | {"hose": world.hose.designation}).content.decode()
    assert not OrderLine.objects.exists()
    assert "fits more than one hose" in page
    assert str(other) in page


def test_a_name_that_nobody_has_is_answered_with_what_is_near(
    desk: Client, world: World, typed: Typed
) -> None:
    page = desk.post(address(world, "new"), typed | {"hose": f"{world.hose.maker} Squall"}).content.decode()
    assert "No hose is called" in page
    assert f"Near it: {world.hose}" in page


def test_a_refused_line_keeps_what_was_typed_and_says_what_to_do(
    desk: Client, world: World, typed: Typed
) -> None:
    page = desk.post(address(world, "new"), typed | {"pressure_typed": "300 bar"}).content.decode()
    assert not OrderLine.objects.exists()
    assert "300 bar with surges is above the rating of 275 bar (3988 psi)" in page
    assert "Choose a stronger hose, or ask the customer to limit the pressure." in page
    assert 'value="300 bar"' in page
    assert f'value="{world.hose}"' in page


def test_a_doubted_length_is_taken_once_it_is_ticked(desk: Client, world: World, typed: Typed) -> None:
    long = typed | {"overall_typed": "60 m"}
    page = desk.post(address(world, "new"), long).content.decode()
    assert "60000 mm is 60 m of hose. Yes, that is meant." in page
    assert not OrderLine.objects.exists()
    desk.post(address(world, "new"), long | {"sure": "very_long_assembly"})
    assert OrderLine.objects.get().overall_length == 60_000


def test_the_preview_draws_and_judges_and_writes_nothing(desk: Client, world: World, typed: Typed) -> None:
    before = Entry.objects.count()
    page = desk.post(address(world, "preview"), typed).content.decode()
    assert "<svg" in page
    assert "880 mm" in page
    assert "RW-8 issue 1" in page
    assert str(world.die_set) in page
    assert not OrderLine.objects.exists()
    assert Entry.objects.count() == before


def test_the_preview_of_half_a_line_says_what_is_still_to_be_said(
    desk: Client, world: World, typed: Typed
) -> None:
    half = typed | {"pressure_typed": "", "fluid": ""}
    page = desk.post(address(world, "preview"), half).content.decode()
    assert "<svg" in page  # hose, ends and length are enough to draw it
    assert "Still to say: Highest pressure, Fluid." in " ".join(page.split())


def test_the_preview_says_what_cannot_be_read(desk: Client, world: World, typed: Typed) -> None:
    page = desk.post(address(world, "preview"), typed | {"overall_typed": "long"}).content.decode()
    assert "is not a length that can be read" in page


def test_a_whole_turn_is_no_angle(desk: Client, world: World, typed: Typed) -> None:
    desk.post(address(world, "new"), typed | {"angle_deg": "360"})
    assert OrderLine.objects.get().angle_deg == 0


def test_a_line_like_another_begins_with_its_words(desk: Client, world: World) -> None:
    world.written_line(overall_typed="93 cm")
    page = desk.get(address(world, "new"), {"like": "1"}).content.decode()
    assert 'value="93 cm"' in page
    assert f'value="{world.hose}"' in page


def test_a_changed_line_is_the_same_line(desk: Client, world: World, typed: Typed) -> None:
    line = world.written_line()
    desk.post(address(world, "1/change"), typed | {"overall_typed": "1,2 m"})
    line.refresh_from_db()
    assert line.overall_length == 1200


def test_ends_are_suggested_that_a_chart_names_for_the_hose(desk: Client, world: World) -> None:
    stranger = factories.FittingFactory()
    asked = {"kind": "fitting", "field": "fitting_a", "fitting_a": "", "hose": str(world.hose)}
    page = desk.get("/counter/parts/", asked).content.decode()
    assert str(world.fitting) in page
    assert str(stranger) not in page
    assert str(stranger) in desk.get("/counter/parts/", asked | {"hose": ""}).content.decode()


@pytest.mark.parametrize("who", ["bench", "auditor"])
def test_who_does_not_write_orders_reads_them(client: Client, world: World, typed: Typed, who: str) -> None:
    world.written_line()
    client.force_login(getattr(world, who))
    assert client.get(address(world, "1")).status_code == 200
    assert client.get(address(world, "new")).status_code == 403
    assert client.post(address(world, "1/confirm")).status_code == 403


def test_surges_without_a_unit_are_in_that_of_the_highest_pressure(
    desk: Client, world: World, typed: Typed
) -> None:
    desk.post(address(world, "new"), typed | {"pressure_typed": "3000 psi", "surge_typed": "500"})
    line = OrderLine.objects.get()
    assert (line.pressure_typed, line.surge_typed, line.pressure_unit) == ("3000", "500", "psi")
    page = desk.get(address(world, "1")).content.decode()
    assert "3000 psi and surges of 500 psi" in page
    assert 'value="500 psi"' in desk.get(address(world, "1/change")).content.decode()


@pytest.mark.parametrize(
    ("surge", "says"),
    [
        ("20 bar", "Type the surges in psi, as the highest pressure is."),
        ("much", "is not a pressure that can"),
    ],
)
def test_surges_in_another_unit_or_in_none_are_asked_anew(
    desk: Client, world: World, typed: Typed, surge: str, says: str
) -> None:
    page = desk.post(address(world, "new"), typed | {"pressure_typed": "3000 psi", "surge_typed": surge})
    assert says in page.content.decode()
    assert '<details class="wide more" open>' in page.content.decode()
    assert not OrderLine.objects.exists()


def test_a_suction_line_needs_a_hose_for_it(desk: Client, world: World, typed: Typed) -> None:
    suction = typed | {"vacuum_typed": "0.3 bar"}
    page = desk.post(address(world, "new"), suction).content.decode()
    assert "has no vacuum printed, so it is not for suction" in page
    world.hose.vacuum_printed, world.hose.vacuum_unit = "0.8", "bar"
    world.hose.save()
    desk.post(address(world, "new"), suction)
    line = OrderLine.objects.get()
    assert (line.vacuum_typed, line.vacuum_unit) == ("0.3", "bar")
    assert "the hose stands 0.8 bar" in desk.get(address(world, "1")).content.decode()


@pytest.mark.parametrize(
    ("text", "kept", "between"),
    [
        ("1000", "1000 mm", 960),
        ("1 m", "1 m", 960),
        ("39 3/8 in", "39 3/8 in", Decimal("960.125")),
        ("3 ft 4", "3 ft 4", 976),
    ],
)
def test_a_length_from_tip_to_tip_keeps_its_unit_and_becomes_one_between_datums(
    desk: Client, world: World, typed: Typed, text: str, kept: str, between: Decimal
) -> None:
    world.fitting.beyond_datum = Decimal(20)
    world.fitting.save()
    desk.post(address(world, "new"), typed | {"overall_typed": text, "measured": "tips"})
    line = OrderLine.objects.get()
    assert (line.overall_typed, line.measured, line.overall_length) == (kept, "tips", between)
    page = desk.get(address(world, "1")).content.decode()
    assert f"typed {kept} from tip to tip" in page
    desk.post(address(world, "1/change"), typed | {"overall_typed": kept, "measured": "tips"})
    line.refresh_from_db()
    assert line.overall_length == between


def test_tips_of_which_nothing_is_known_are_said_at_the_question(
    desk: Client, world: World, typed: Typed
) -> None:
    page = desk.post(address(world, "preview"), typed | {"measured": "tips"}).content.decode()
    assert "can&#x27;t be reckoned with" in page
    page = desk.post(address(world, "new"), typed | {"measured": "tips"}).content.decode()
    assert "Type that figure on the fitting, or measure to the sealing seat." in page


def bends(world: World, typed: Typed, angle: str) -> Typed:
    elbow = str(world.elbow)
    return typed | {"fitting_a": elbow, "fitting_b": elbow, "angle_deg": angle}


def test_the_line_asks_for_its_angle_as_the_order_counts(desk: Client, world: World, typed: Typed) -> None:
    world.order.angle_convention = "near_six_cw"
    world.order.save()
    page = desk.get(address(world, "new")).content.decode()
    assert "Near end at six o'clock, clockwise to the far end." in page
    assert "fb-convention" in page
    preview = desk.post(address(world, "preview"), bends(world, typed, "90")).content.decode()
    assert "end B 270° counter-clockwise from end A, seen from A" in preview
    half = bends(world, typed, "90") | {"fluid": ""}
    assert "end B 270° counter-clockwise" in desk.post(address(world, "preview"), half).content.decode()
    desk.post(address(world, "new"), bends(world, typed, "90"))
    assert OrderLine.objects.get().angle_deg == 90
    page = desk.get(address(world, "1")).content.decode()
    assert "±5°" in page
    assert "Typed 90°: near end at six o&#x27;clock, clockwise to the far end" in page


def test_an_angle_that_was_counted_another_way_meanwhile_is_not_taken(
    desk: Client, world: World, typed: Typed
) -> None:
    seen = bends(world, typed, "90") | {"counted": "near_six_ccw"}
    world.order.angle_convention = "near_six_cw"
    world.order.save()
    page = desk.post(address(world, "new"), seen).content.decode()
    assert "Meanwhile the order counts angles another way" in page
    assert not OrderLine.objects.exists()
    desk.post(address(world, "new"), seen | {"angle_deg": ""})
    assert OrderLine.objects.get().angle_deg is None


def test_the_line_says_proof_burst_and_the_length_under_pressure(
    desk: Client, world: World, typed: Typed
) -> None:
    desk.post(address(world, "new"), typed)
    page = " ".join(desk.get(address(world, "1")).content.decode().split())
    assert "never a working pressure" in page
    assert "No burst pressure is printed: 4 × 275 bar is 1100 bar, from memory." in page
    assert "897.2 mm to 946.4 mm" in page
    assert "Hose that is fitted tight pulls on its ends when it shortens." in page
    assert "Burst pressure is never a working pressure." in page


def test_the_line_says_how_its_cut_was_corrected(desk: Client, world: World, typed: Typed) -> None:
    correct_the_cut(world, "-0.8")
    desk.post(address(world, "new"), typed)
    page = desk.get(address(world, "1")).content.decode()
    assert "880.8 mm" in page
    assert "corrected by 0.8 mm: 7 finished pieces came out 0.8 mm shorter" in page
