"""The customer's own length rules, the workshop's cut correction, and the length under pressure."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shop.assemblies.inspection import finished_length_limits
from shop.assemblies.refusals import ConfirmedToAnotherLength
from shop.engineering.lengths import LengthUnit, parse_length, show_length
from shop.orders import refusals
from shop.orders.drawing import drawing_of_confirmed_line, drawing_of_line, drawing_of_resolution
from shop.orders.resolution import resolve_line
from shop.orders.services import confirm_line, find_differences, save_line
from shop.policy.models import Policy
from shop.policy.services import set_policy, today
from tests import factories
from tests.assemblies import bench
from tests.orders.records import correct_the_cut
from tests.world import World


def test_a_customers_own_rules_go_before_the_policys(world: World) -> None:
    # EN 853 / DIN 20066 gives 926 to 942 mm; the customer's drawings name SAE J517 (both from memory).
    world.customer.length_rules = "SAE J517"
    world.customer.save()
    line = world.written_line()
    proposal = resolve_line(line, today())
    assert proposal.finished_length is not None
    assert proposal.finished_length.row.rule == "SAE J517"
    resolution = confirm_line(actor=world.counter, line=line)
    assert resolution.length_rules == "SAE J517"
    assert finished_length_limits(resolution, world.policy).row.rule == "SAE J517"


def test_an_inspection_goes_by_the_rules_of_the_confirmation(world: World) -> None:
    resolution = confirm_line(actor=world.counter, line=world.written_line())
    set_policy(actor=world.owner, policy=Policy(number=2, effective_from=today(), length_rules="SAE J517"))
    newer = Policy.objects.get(number=2)
    assert finished_length_limits(resolution, newer).row.rule == "EN 853 / DIN 20066"
    resolution.length_rules = None  # as on what was confirmed before it was kept
    assert finished_length_limits(resolution, newer).row.rule == "SAE J517"


def test_other_rules_of_the_customer_are_said_before_confirming_again(world: World) -> None:
    line = world.written_line()
    confirm_line(actor=world.counter, line=line)
    line.order.customer.length_rules = "SAE J517"
    told = [(d.what, d.before, d.now) for d in find_differences(line, resolve_line(line, today()))]
    assert told == [("finished length is held to", "EN 853 / DIN 20066", "SAE J517")]


def test_pieces_that_came_out_longer_are_cut_shorter(world: World) -> None:
    correction = correct_the_cut(world, "0.8")
    line = world.written_line()
    proposal = resolve_line(line, today())
    assert (proposal.cut_length, proposal.cut_correction) == (Decimal("879.2"), correction)
    resolution = confirm_line(actor=world.counter, line=line)
    assert (resolution.cut_length, resolution.cut_correction) == (Decimal("879.2"), correction)
    for drawing in (
        drawing_of_line(line, LengthUnit.MM),
        drawing_of_resolution(resolution, LengthUnit.MM),
        drawing_of_confirmed_line(line, resolution, LengthUnit.MM),
    ):
        assert drawing is not None
        assert drawing.cut_label == "879.2 mm"


def test_the_newest_correction_counts_and_one_that_ends_it_ends_it(world: World) -> None:
    correct_the_cut(world, "0.8")
    correct_the_cut(world, "-0.4")
    assert resolve_line(world.line(), today()).cut_length == Decimal("880.4")
    correct_the_cut(world, "-0.4", applies=False)
    ended = resolve_line(world.line(), today())
    assert (ended.cut_length, ended.cut_correction) == (Decimal(880), None)


def test_a_correction_is_for_its_hose_with_its_series_at_both_ends(world: World) -> None:
    correct_the_cut(world, "0.8", hose=factories.HoseFactory())
    correct_the_cut(world, "0.8", series=factories.FittingSeriesFactory())
    assert resolve_line(world.line(), today()).cut_length == Decimal(880)
    correct_the_cut(world, "0.8")
    other = factories.FittingFactory()
    assert resolve_line(world.line(fitting_b=other), today()).cut_length == Decimal(880)


@pytest.mark.parametrize(("mean", "shortest"), [("0.8", "156.8"), ("-0.8", "156")])
def test_a_correction_leaves_the_least_between_the_ferrules(world: World, mean: str, shortest: str) -> None:
    correct_the_cut(world, mean)
    too_short = str(Decimal(shortest) - Decimal("0.1"))
    with pytest.raises(refusals.AssemblyTooShort) as refused:
        save_line(
            actor=world.counter, line=world.line(overall_length=Decimal(too_short), overall_typed=too_short)
        )
    assert f"at least {shortest} mm" in refused.value.what_to_do
    enough = world.line(overall_length=Decimal(shortest), overall_typed=shortest)
    save_line(actor=world.counter, line=enough)


def test_a_correction_found_since_is_confirmed_before_the_cut(world: World) -> None:
    assembly = bench.plan(world)
    correct_the_cut(world, "0.8")
    with pytest.raises(ConfirmedToAnotherLength):
        bench.cut(world, assembly)
    line = assembly.run.line
    told = {d.what: d.now for d in find_differences(line, resolve_line(line, today()))}
    assert told["cut length"] == "879.2 mm"
    assert told["cut correction"].endswith("+0.8 mm")


@settings(max_examples=30)
@given(
    sixty_fourths=st.integers(min_value=64 * 20, max_value=64 * 200),
    cut_off_a=st.integers(min_value=0, max_value=64 * 2),
    cut_off_b=st.integers(min_value=0, max_value=64 * 2),
    mean=st.integers(min_value=-64, max_value=64),
)
def test_cut_allowances_and_correction_make_the_overall_length_in_the_unit_typed(
    world: World, sixty_fourths: int, cut_off_a: int, cut_off_b: int, mean: int
) -> None:
    inch_64 = Decimal("0.396875")
    typed = show_length(sixty_fourths * inch_64, LengthUnit.IN)
    correct_the_cut(world, str(mean * inch_64))
    line = world.line(overall_length=parse_length(typed).mm, overall_typed=typed, fitting_b=world.elbow)
    line.fitting_a.cut_off, line.fitting_b.cut_off = cut_off_a * inch_64, cut_off_b * inch_64
    cut = resolve_line(line, today()).cut_length
    assert cut is not None
    again = cut + line.fitting_a.cut_off + line.fitting_b.cut_off + mean * inch_64
    assert show_length(again, LengthUnit.IN) == typed


def test_under_pressure_only_the_free_hose_changes(world: World) -> None:
    # +2 % and -4 % (FAA AC 43.13-1B Figure 9-9) of 930 - 2 × (25 + 30) = 820 mm.
    pressed = resolve_line(world.line(), today()).under_pressure
    assert pressed is not None
    assert (pressed.shortest_mm, pressed.longest_mm) == (Decimal("897.2"), Decimal("946.4"))


def test_ferrules_that_would_meet_have_no_length_under_pressure(world: World) -> None:
    short = world.line(overall_length=Decimal(110), overall_typed="110")
    assert resolve_line(short, today()).under_pressure is None
