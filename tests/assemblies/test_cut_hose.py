"""Cutting: the very hose that was confirmed, young enough, and once."""

import datetime
from decimal import Decimal

import pytest

from shop.assemblies import refusals
from shop.assemblies.models import Cut, State
from shop.policy.services import today
from shop.standards.services import confirm_hose_rating
from shop.stock.models import Lot, Piece
from shop.stock.refusals import NotEnoughLeft
from shop.stock.services import receive_hose
from tests import factories
from tests.assemblies import bench
from tests.world import World

pytestmark = pytest.mark.django_db


def piece_of(world: World, made_printed: str, **changes: object) -> Piece:
    lot = Lot(**{"hose": world.hose, "batch": "T-9", "made_printed": made_printed} | changes)
    [piece] = receive_hose(
        actor=world.bench, lot=lot, lengths_mm=[Decimal(5000)], sure=frozenset({"undated_hose"})
    )
    return piece


def quarter_of(day: datetime.date) -> str:
    return f"{(day.month - 1) // 3 + 1}Q{day.year}"


def test_the_cut_length_is_taken_from_the_piece(world: World) -> None:
    assembly = bench.plan(world)
    cut = bench.cut(world, assembly)
    world.reel.refresh_from_db()
    assert (cut.length, cut.movement.change) == (Decimal(880), Decimal(-880))
    assert world.reel.length_left == Decimal(49_120)
    assert (assembly.state, cut.seen) == (State.CUT, ["square", "clean", "length"])


def test_it_refuses_to_cut_an_assembly_twice(world: World) -> None:
    assembly = bench.plan(world)
    bench.cut(world, assembly)
    with pytest.raises(refusals.NotTheNextStep) as refused:
        bench.cut(world, assembly)
    assert refused.value.what_to_do == "Its next step: Set the crimper up for end A."
    world.reel.refresh_from_db()
    assert world.reel.length_left == Decimal(49_120)


def test_it_refuses_the_hose_of_another_maker_to_the_same_standard(world: World) -> None:
    standard = factories.HoseRatingFactory()
    type(world.hose).objects.filter(pk=world.hose.pk).update(standard=standard)
    world.hose.refresh_from_db()
    other = factories.HoseFactory(maker="Brackwater", standard=standard)
    confirm_hose_rating(
        actor=world.inspector, rating=standard, document="EN 853:2015, Table 1", figure=standard.rating
    )
    assembly = bench.plan(world)
    piece = piece_of(world, f"1Q{today().year}", hose=other)
    with pytest.raises(refusals.HoseOfAnotherMaker) as refused:
        bench.cut(world, assembly, piece=piece)
    assert refused.value.what == (
        f"{piece} is {other}, built to EN 853 2SN 2015 -8 like {world.hose}, but it is another hose."
    )
    assert not Cut.objects.exists()


def test_it_refuses_another_hose(world: World) -> None:
    assembly = bench.plan(world)
    piece = piece_of(world, f"1Q{today().year}", hose=factories.HoseFactory())
    with pytest.raises(refusals.WrongHose):
        bench.cut(world, assembly, piece=piece)


def test_hose_is_cut_up_to_the_age_that_policy_allows(world: World) -> None:
    # US Navy 14104 p. 9-37: 48 months, the quarter of manufacture not counted. The same quarter four
    # years ago is therefore still young enough on every day of this one, and the one before it is not.
    four_years_ago = today().replace(year=today().year - 4, day=1)
    old = piece_of(world, quarter_of(four_years_ago - datetime.timedelta(days=92)))
    young = piece_of(world, quarter_of(four_years_ago))
    assembly = bench.plan(world)
    with pytest.raises(refusals.HoseTooOld) as refused:
        bench.cut(world, assembly, piece=old)
    assert refused.value.what.endswith("(48 months by policy).")
    assert bench.cut(world, assembly, piece=young).movement.piece == young


def test_it_refuses_undated_hose_unless_policy_allows_it(world: World) -> None:
    piece, assembly = piece_of(world, ""), bench.plan(world)
    with pytest.raises(refusals.HoseWithoutDate):
        bench.cut(world, assembly, piece=piece)
    bench.choose(world, undated_hose_allowed=True)
    assert bench.cut(world, assembly, piece=piece).movement.piece == piece


def test_it_refuses_a_piece_that_is_too_short_and_leaves_it_alone(world: World) -> None:
    assembly = bench.plan(world, overall_length=Decimal(6000), overall_typed="6000")
    piece = piece_of(world, f"1Q{today().year}")
    with pytest.raises(NotEnoughLeft):
        bench.cut(world, assembly, piece=piece)
    piece.refresh_from_db()
    assembly.refresh_from_db()
    assert (piece.length_left, assembly.state) == (Decimal(5000), State.PLANNED)


def test_it_refuses_to_cut_for_a_chart_that_has_moved_on(world: World) -> None:
    assembly = bench.plan(world)
    bench.reissue(world, "2", upper=Decimal("24.5"))
    with pytest.raises(refusals.ChartMovedOn):
        bench.cut(world, assembly)
