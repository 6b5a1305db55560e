"""What is ticked at each step: what safety needs always, the rest as it is ordered or chosen."""

from collections import Counter
from dataclasses import replace

import pytest

from shop.assemblies import refusals
from shop.assemblies.models import Assembly, End, State
from shop.assemblies.points import POINTS, At, Job, asked_of, told_of
from shop.catalogue.models import Skive
from shop.policy.services import policy_in_force
from tests.assemblies import bench, proving
from tests.world import World

pytestmark = pytest.mark.django_db


def asked(at: At, assembly: Assembly, end: End | None = None) -> set[str]:
    """The codes of what is asked there by the policy of today."""
    return {point.code for point in asked_of(at, Job(assembly, policy_in_force(), end))}


def all_but(at: At, *codes: str) -> list[str]:
    return [code for code in bench.TICKED[at] if code not in codes]


def test_each_point_has_a_source_and_a_code_of_its_own() -> None:
    assert all(point.source and point.words.endswith(".") for point in POINTS)
    assert Counter((point.at, point.code) for point in POINTS).most_common(1)[0][1] == 1


def test_a_cut_that_is_not_looked_at_takes_nothing_from_the_reel(world: World) -> None:
    before = world.reel.length_left
    with pytest.raises(refusals.NotTicked) as refused:
        bench.cut(world, bench.plan(world), seen=["square", "length"])
    assert refused.value.what == "Not ticked yet: The bore is blown clean with filtered air."
    world.reel.refresh_from_db()
    assert world.reel.length_left == before


def test_a_tick_that_nobody_asks_for_is_refused(world: World) -> None:
    with pytest.raises(refusals.NotAPoint):
        bench.cut(world, bench.plan(world), seen=[*bench.TICKED[At.CUT], "shiny"])


@pytest.mark.parametrize(("extra", "code"), [("sleeve", "sleeve_on"), ("guard", "guard_on")])
def test_what_goes_over_the_hose_is_on_it_before_end_b_is_crimped(
    world: World, extra: str, code: str
) -> None:
    assembly = bench.ready_to_crimp(world, **{extra: "textile, the whole hose"})
    without = all_but(At.CRIMP, code)
    bench.measure(world, bench.crimp(world, assembly, seen=without))
    bench.tool_up(world, assembly, End.B)
    with pytest.raises(refusals.NotTicked) as refused:
        bench.crimp(world, assembly, End.B, seen=without)
    assert refused.value.what.endswith(f"The {extra} is on the hose: textile, the whole hose.")
    assembly.refresh_from_db()
    assert assembly.state == State.CRIMPED_A
    assert code in bench.crimp(world, assembly, End.B).seen


def test_a_band_for_the_mark_is_on_the_hose_before_end_b(world: World) -> None:
    assembly = bench.plan(world)
    assert "band_on" not in asked(At.CRIMP, assembly, End.B)
    bench.choose(world, lasting_mark="band")
    assert "band_on" in asked(At.CRIMP, assembly, End.B)
    assert "band_on" not in asked(At.CRIMP, assembly, End.A)
    assert "parts_fitted" in asked(At.INSPECT, assembly)


def test_a_plain_hose_is_asked_for_little(world: World) -> None:
    assembly = bench.plan(world)
    assert asked(At.CUT, assembly) == {"square", "clean", "length"}
    assert asked(At.CRIMP, assembly, End.A) == {"mark", "inside"}
    assert asked(At.CRIMP, assembly, End.B) == {"ferrule_on", "mark", "inside"}
    assert asked(At.RELEASE, assembly) == set()


def test_the_policy_asks_for_tape_and_for_what_eases_it_in(world: World) -> None:
    bench.choose(world, taped=True, eased=True)
    assembly = bench.plan(world)
    with pytest.raises(refusals.NotTicked, match="taped where it was cut"):
        bench.cut(world, assembly, seen=["square", "clean", "length"])
    bench.cut(world, assembly)
    bench.tool_up(world, assembly)
    with pytest.raises(refusals.NotTicked, match="Eased in"):
        bench.crimp(world, assembly, seen=["mark", "inside"])
    assert bench.crimp(world, assembly).seen == ["eased", "mark", "inside"]


def test_what_the_chart_wants_skived_is_asked_with_its_length(world: World) -> None:
    bench.reissue(world, "2", skive=Skive.OUTSIDE, skive_length="12.5")
    assembly = bench.ready_to_crimp(world)
    with pytest.raises(refusals.NotTicked, match=r"Skived as the chart says: .* over 12\.5 mm\."):
        bench.crimp(world, assembly, seen=["mark", "inside"])


def test_the_far_end_stands_at_its_angle(world: World) -> None:
    assembly = bench.plan(world, fitting_a=world.elbow, fitting_b=world.elbow, angle_deg=90)
    job = Job(assembly, policy_in_force(), End.B)
    assert "The far end stands at its angle, layline straight: 90°." in told_of(At.CRIMP, job, ["angle"])
    assert "angle" not in asked(At.CRIMP, assembly, End.A)


@pytest.mark.parametrize(
    ("ordered", "only_ordered", "capped"),
    [(False, False, True), (True, False, True), (False, True, False), (True, True, True)],
)
def test_ends_are_capped_by_policy_or_because_it_is_ordered(
    world: World, ordered: bool, only_ordered: bool, capped: bool
) -> None:
    bench.choose(world, caps_only_ordered=only_ordered)
    untested, tested = (
        bench.plan(world, caps=ordered),
        bench.plan(world, caps=ordered, proof_test_wanted=True),
    )
    assert ("capped" in asked(At.INSPECT, untested)) is capped
    assert ("capped" in asked(At.AFTER_TEST, tested)) is capped
    # Caps would come off again for the test: they are asked for once, after it.
    assert "capped" not in asked(At.INSPECT, tested)


def test_a_cleanliness_is_asked_for_once_with_its_code(world: World) -> None:
    untested = bench.plan(world, cleanliness="18/16/13")
    tested = bench.plan(world, cleanliness="18/16/13", proof_test_wanted=True)
    [told] = told_of(At.INSPECT, Job(untested, policy_in_force()), ["cleaned_to"])
    assert told == "Flushed and dried for the cleanliness that is ordered: 18/16/13."
    assert "cleaned_to" in asked(At.INSPECT, untested)
    assert "cleaned_to" not in asked(At.INSPECT, tested)
    assert "cleaned_to" in asked(At.AFTER_TEST, tested)


def test_what_was_not_cleaned_for_its_code_is_put_right_and_shown_to_the_same_person(world: World) -> None:
    assembly = bench.made(world, cleanliness="18/16/13")
    dirty = bench.look_over(world, assembly, seen=bench.EVERYTHING - {"cleaned_to"})
    assert dirty.found_wrong == (
        "Not seen: Flushed and dried for the cleanliness that is ordered: 18/16/13.",
    )
    assert bench.look_over(world, assembly).passed


def test_after_a_test_nobody_is_asked_for_caps_that_nobody_ordered(world: World) -> None:
    bench.choose(world, caps_only_ordered=True)
    assembly = proving.ready_to_test(world)
    test = proving.prove(world, assembly, seen=all_but(At.AFTER_TEST, "capped", "cleaned_to"))
    assert test.seen == ["dry", "line_unmoved", "undamaged", "clean"]


def test_after_a_test_the_cleanliness_that_is_ordered_is_asked(world: World) -> None:
    assembly = proving.ready_to_test(world, cleanliness="18/16/13")
    with pytest.raises(refusals.NotLookedAtAfterTest, match="18/16/13"):
        proving.prove(world, assembly, seen=all_but(At.AFTER_TEST, "cleaned_to"))


def test_what_older_records_say_is_still_read(world: World) -> None:
    job = Job(bench.plan(world), policy_in_force(), End.B)
    assert told_of(At.CRIMP, job, ["threaded", "mark", "pushed home"]) == [
        "Sleeves, guards and ferrules that belong on the hose are on it.",
        "The insertion mark is seen at the ferrule.",
        "pushed home",
    ]


def test_a_crimp_to_a_chart_that_skives_says_so_after_the_chart_has_moved_on(world: World) -> None:
    bench.reissue(world, "2", skive=Skive.OUTSIDE, skive_length="12.5")
    _, crimp = bench.crimped(world)
    bench.reissue(world, "3", skive=Skive.NONE, skive_length=None)
    after = Job(bench.plan(world), policy_in_force(), End.A)
    [told] = told_of(At.CRIMP, replace(after, made_to=crimp.specification), ["skived"])
    assert "over 12.5 mm" in told
