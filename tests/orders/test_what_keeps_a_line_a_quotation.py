"""Each open point: the line is kept as a quotation, and confirming it is refused with the sentence."""

from decimal import Decimal

import pytest

from shop.core.refusals import Refusal
from shop.orders import refusals
from shop.orders.duties import Duty
from shop.orders.models import Resolution
from shop.orders.services import confirm_line, save_line
from tests import factories
from tests.world import World


def open_point(world: World, kind: type[Refusal], **changes: object) -> Refusal:
    """The only open point of the line, which is written but can't be confirmed."""
    line = world.line(**changes)
    proposal = save_line(actor=world.counter, line=line)
    [point] = proposal.open_points
    assert type(point) is kind
    with pytest.raises(kind) as raised:
        confirm_line(actor=world.counter, line=line)
    assert not Resolution.objects.exists()
    assert raised.value.what == point.what
    return point


@pytest.mark.parametrize("duty", [duty for duty in Duty if duty.needs_engineer])
def test_a_grave_duty_needs_an_engineer(world: World, duty: Duty) -> None:
    point = open_point(world, refusals.EngineerMissing, duty=duty)
    assert point.what == f"Used for {duty.label}, the line needs the approval of a named engineer."
    approved = world.written_line(duty=duty, engineer="T. Sato, report 14")
    assert confirm_line(actor=world.counter, line=approved).duty == duty


def test_two_bends_that_stay_as_crimped_need_their_angle(world: World) -> None:
    both = {"fitting_a": world.elbow, "fitting_b": world.elbow}
    point = open_point(world, refusals.AngleMissing, **both)
    assert "counter-clockwise to the far end" in point.what_to_do
    assert confirm_line(actor=world.counter, line=world.written_line(**both, angle_deg=0)).angle_deg == 0


def test_a_bend_that_turns_after_crimping_needs_no_angle(world: World) -> None:
    swivel = factories.FittingFactory(
        series=world.series, angle_deg=90, rotates=True, connection=world.fitting.connection
    )
    world.confirm(swivel)
    line = world.written_line(fitting_a=world.elbow, fitting_b=swivel)
    assert confirm_line(actor=world.counter, line=line).angle_deg is None


BOLTS = "the middle of the upper two bolt holes"


@pytest.mark.parametrize(
    ("straight", "is_asked"),
    [({"direction": BOLTS}, True), ({"direction": BOLTS, "rotates": True}, False), ({}, False)],
    ids=["a flange with fixed holes", "one that turns", "a plain straight one"],
)
def test_a_bend_against_a_straight_end_needs_an_angle_if_that_faces_one_way(
    world: World, straight: dict[str, object], is_asked: bool
) -> None:
    flange = factories.FittingFactory(series=world.series, connection=world.fitting.connection, **straight)
    world.confirm(flange)
    ends = {"fitting_a": world.elbow, "fitting_b": flange}
    if is_asked:
        point = open_point(world, refusals.AngleMissing, **ends)
        assert point.what.endswith(f"end A by the bend's centreline, end B by {BOLTS}.")
        ends["angle_deg"] = 180
    resolution = confirm_line(actor=world.counter, line=world.written_line(**ends))
    assert resolution.angle_deg == (180 if is_asked else None)


def test_a_hose_of_another_maker_to_the_same_standard_is_another_hose(world: World) -> None:
    standard = factories.HoseRatingFactory()
    world.hose.standard = standard
    world.hose.save()
    other = factories.HoseFactory(maker="Vantry", designation="Bravo", standard=standard)
    line = world.line(hose=other)
    points = save_line(actor=world.counter, line=line).open_points
    assert [type(point) for point in points[:2]] == [refusals.NoSpecification] * 2
    assert points[0].what == (
        f"No crimp chart in force says how to crimp {world.fitting} (steel) on Vantry Bravo -8 at end A. "
        f"For this series it names {world.hose}: another hose."
    )
    with pytest.raises(refusals.NoSpecification):
        confirm_line(actor=world.counter, line=line)


def test_a_fitting_of_a_series_that_no_chart_names(world: World) -> None:
    stranger = factories.FittingFactory(connection=world.fitting.connection)
    world.confirm(stranger)
    point = open_point(world, refusals.NoSpecification, fitting_b=stranger)
    assert point.what.endswith(f"{stranger} (steel) on {world.hose} at end B.")


def test_a_one_piece_fitting_is_not_crimped_by_a_chart_with_loose_ferrules(world: World) -> None:
    one_piece = factories.FittingFactory(
        series=world.series, is_one_piece=True, connection=world.fitting.connection
    )
    world.confirm(one_piece)
    open_point(world, refusals.NoSpecification, fitting_a=one_piece)


def test_an_end_without_a_rating_is_not_unlimited(world: World) -> None:
    unrated = factories.ConnectionFactory(printed_value="", printed_unit="")
    end = factories.FittingFactory(series=world.series, connection=unrated)
    world.confirm(end)
    point = open_point(world, refusals.PartNotRated, fitting_b=end)
    assert point.what == (
        f"The connection at end B ({unrated}) has no rating, and no rating is not 'unlimited'."
    )


def test_a_rating_that_nobody_confirmed_is_quoted_and_no_more(world: World) -> None:
    new = factories.FittingFactory(series=world.series, connection=world.fitting.connection)
    point = open_point(world, refusals.RatingNotConfirmed, fitting_a=new, fitting_b=new)
    assert point.what == (
        f"Nobody has confirmed the rating 350 bar (5076 psi) of the fitting at both ends ({new}) "
        "against its document."
    )
    world.confirm(new)
    line = world.line(fitting_a=new, fitting_b=new)
    assert save_line(actor=world.counter, line=line).can_be_confirmed


def test_a_rating_corrected_after_it_was_confirmed_is_unconfirmed_again(world: World) -> None:
    world.fitting.printed_value = "345"
    world.fitting.save()
    open_point(world, refusals.RatingNotConfirmed)


def test_a_length_that_the_rules_have_no_row_for(world: World) -> None:
    # EN 853 / DIN 20066, from memory, has no row for a size between -16 and -20.
    odd = {"hose_dash": 18, "connection": world.fitting.connection}
    hose = factories.HoseFactory(dash=18, bore=Decimal("28.6"), outside_diameter=Decimal(40))
    fitting = factories.FittingFactory(series=world.series, **odd)
    proposal = save_line(
        actor=world.counter, line=world.line(hose=hose, fitting_a=fitting, fitting_b=fitting)
    )
    [point] = [p for p in proposal.open_points if isinstance(p, refusals.NoLengthTolerance)]
    assert point.what.startswith("EN 853 / DIN 20066 has no tolerance for 930 mm in size -18")


def test_tooling_that_is_not_owned_keeps_the_line_from_nothing(world: World) -> None:
    world.die_set.blocked_because = "a chipped die"
    world.die_set.save()
    line = world.line()
    proposal = save_line(actor=world.counter, line=line)
    assert [note.what for note in proposal.notes] == [
        f"For end {end} the workshop lacks a die set (die {world.die_type}, {world.stop_type})."
        for end in "AB"
    ]
    assert confirm_line(actor=world.counter, line=line).line == line
