"""What is looked at when a hose is released: its lasting mark, the customer's, and a tested one again."""

import pytest

from shop.assemblies import refusals
from shop.assemblies.models import Assembly, State
from shop.assemblies.release import make_tag, release
from tests.assemblies import bench, proving
from tests.world import World

pytestmark = pytest.mark.django_db


def let_go(world: World, assembly: Assembly, *seen: str) -> Assembly:
    release(actor=world.inspector, assembly=assembly, scanned=assembly.code, seen=seen)
    return assembly


def test_nothing_is_released_without_the_mark_that_the_policy_wants(world: World) -> None:
    bench.choose(world, lasting_mark="ferrule", mark_method="dot peening")
    assembly = bench.tagged(world)
    with pytest.raises(refusals.NotTicked) as refused:
        let_go(world, assembly)
    assert refused.value.what.endswith(
        "The lasting mark is on it, and was read there: on a ferrule, by dot peening."
    )
    assert let_go(world, assembly, "marked").state == State.RELEASED
    assert assembly.release.seen == ["marked"]
    assert assembly.release.policy.mark_method == "dot peening"


def test_the_mark_says_who_made_it_its_number_its_rating_and_when(world: World) -> None:
    tag = bench.tagged(world).tags.get()
    assert tag.mark == f"Pennant Hose Works {tag.assembly.serial} {tag.rating_words} {tag.made}"


def test_a_policy_that_wants_no_mark_asks_for_none(world: World) -> None:
    assembly = let_go(world, bench.tagged(world))
    assert (assembly.release.seen, assembly.release.policy.number) == ([], 1)


def test_the_customers_marking_is_seen_on_the_hose(world: World) -> None:
    assembly = bench.tagged(world, marking="BOOM LIFT P1")
    with pytest.raises(refusals.NotTicked, match=r"customer's marking is on it: BOOM LIFT P1\."):
        let_go(world, assembly)
    assert let_go(world, assembly, "marking").release.seen == ["marking"]


def test_what_was_tested_is_looked_at_again_by_who_releases_it(world: World) -> None:
    bench.choose(world, look_again=True)
    untested = let_go(world, bench.tagged(world))
    assert untested.release.seen == []
    tested = proving.ready_to_test(world)
    proving.prove(world, tested)
    make_tag(actor=world.inspector, assembly=tested)
    with pytest.raises(refusals.NotTicked, match="Looked at again since its proof test"):
        let_go(world, tested)
    assert let_go(world, tested, "looked_again").state == State.RELEASED
