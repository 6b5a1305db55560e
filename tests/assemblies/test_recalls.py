"""Recalling assemblies, finding out about each, and closing: what was recalled is not used meanwhile."""

from typing import Any

import pytest

from shop.assemblies.consistency import members_that_disagree
from shop.assemblies.making import decide
from shop.assemblies.models import Assembly, DecisionKind, FindingKind, Recall, RecallMember, State
from shop.assemblies.recalls import (
    Progress,
    add_to_recall,
    answer_recall,
    close_recall,
    open_recall,
    open_recalls_of,
    progress_of,
    record_finding,
)
from shop.assemblies.refusals import (
    AnswerMissing,
    IsRecalled,
    NobodyToRecall,
    NoLongerFit,
    NotInThatRecall,
    ReasonMissing,
    RecalledAlready,
    RecallIsClosed,
)
from shop.assemblies.release import make_tag, release, retire, ship
from shop.people.refusals import NotAllowed
from tests import factories
from tests.assemblies import bench
from tests.world import World

WHY = "Two blew off at the same customer."


def recall(world: World, *assemblies: Assembly, **changes: Any) -> Recall:
    values: dict[str, Any] = {
        "actor": world.inspector,
        "suspicion": {"things": {"die_set": [world.die_set.pk]}, "windows": {}},
        "says": [f"Crimped with die set {world.die_set}."],
        "assemblies": Assembly.objects.filter(pk__in=[assembly.pk for assembly in assemblies]),
        "reason": WHY,
    }
    return open_recall(**(values | changes))


def find(world: World, made: Recall, assembly: Assembly, kind: FindingKind, words: str = "seen") -> None:
    record_finding(actor=world.inspector, recall=made, assemblies=[assembly], kind=kind, words=words)


def test_it_keeps_who_was_recalled_by_what_and_why(world: World) -> None:
    shipped, waiting = bench.shipped(world), bench.plan_and_cut(world)
    made = recall(world, shipped, waiting)
    assert made.members == sorted([shipped.pk, waiting.pk])
    assert made.says == [f"Crimped with die set {world.die_set}."]
    assert made.private("reason") == WHY
    assert made.number == 1
    assert recall(world, shipped).number == 2


def test_some_may_be_left_out_and_stand_in_the_record(world: World) -> None:
    one, other = bench.plan(world), bench.plan(world)
    made = recall(world, one, other, spared=Assembly.objects.filter(pk=other.pk))
    assert (made.members, made.spared) == ([one.pk], [other.pk])
    with pytest.raises(NobodyToRecall):
        recall(world, one, spared=Assembly.objects.filter(pk=one.pk))


def test_it_needs_a_reason_and_an_inspector_or_an_owner(world: World) -> None:
    assembly = bench.plan(world)
    with pytest.raises(ReasonMissing):
        recall(world, assembly, reason=" ")
    with pytest.raises(NotAllowed):
        recall(world, assembly, actor=world.bench)
    assert not Recall.objects.exists()


def test_what_is_recalled_is_neither_tagged_nor_released_nor_handed_over(world: World) -> None:
    inspected, released = bench.made(world), bench.released(world)
    bench.look_over(world, inspected)
    tagged = bench.tagged(world)
    recall(world, inspected, tagged, released)
    with pytest.raises(IsRecalled):
        make_tag(actor=world.inspector, assembly=inspected)
    with pytest.raises(IsRecalled):
        release(actor=world.inspector, assembly=tagged, scanned=tagged.code)
    with pytest.raises(NoLongerFit, match="recall 1"):
        ship(actor=world.counter, assembly=released)
    released.refresh_from_db()
    assert released.state == State.RELEASED


def test_only_what_was_found_right_may_be_used_again(world: World) -> None:
    released = bench.released(world)
    made = recall(world, released)
    for kind in FindingKind:
        find(world, made, released, kind)
        assert bool(open_recalls_of(released)) is (kind is not FindingKind.RIGHT)
    find(world, made, released, FindingKind.RIGHT)
    ship(actor=world.counter, assembly=released)


def test_of_two_recalls_each_has_to_find_it_right(world: World) -> None:
    assembly = bench.released(world)
    first, second = recall(world, assembly), recall(world, assembly)
    find(world, first, assembly, FindingKind.RIGHT)
    assert [member.recall for member in open_recalls_of(assembly)] == [second]


def test_that_one_is_right_is_for_an_inspector_to_say_with_a_reason(world: World) -> None:
    assembly = bench.shipped(world)
    made = recall(world, assembly)
    record_finding(
        actor=world.counter, recall=made, assemblies=[assembly], kind=FindingKind.ISOLATED, words=""
    )
    with pytest.raises(NotAllowed):
        record_finding(
            actor=world.counter, recall=made, assemblies=[assembly], kind=FindingKind.RIGHT, words="fine"
        )
    with pytest.raises(ReasonMissing):
        find(world, made, assembly, FindingKind.RIGHT, words=" ")
    assert RecallMember.objects.get().newest == FindingKind.ISOLATED


def test_nothing_is_found_out_about_what_is_not_a_member(world: World) -> None:
    member, stranger = bench.plan(world), bench.plan(world)
    made = recall(world, member)
    with pytest.raises(NotInThatRecall, match=str(stranger)):
        record_finding(
            actor=world.inspector, recall=made, assemblies=[member, stranger], kind=FindingKind.FOUND
        )
    assert RecallMember.objects.get().newest == ""


def test_how_far_it_has_come(world: World) -> None:
    pieces = [bench.plan(world) for _ in range(7)]
    made = recall(world, *pieces)
    for piece, kind in zip(pieces, FindingKind, strict=False):
        find(world, made, piece, kind)
    progress = progress_of(made)
    assert (progress.members, progress.made_safe, progress.unheard_of) == (7, 4, 1)
    assert progress.effectiveness == 57  # 4 of 7 are 57.14 %


def test_what_was_scrapped_or_taken_out_of_service_can_hurt_nobody(world: World) -> None:
    shipped, waiting, out = bench.shipped(world), bench.plan_and_cut(world), bench.shipped(world)
    made = recall(world, shipped, waiting, out)
    decide(actor=world.inspector, assembly=waiting, kind=DecisionKind.SCRAP, reason=WHY)
    retire(actor=world.counter, assembly=shipped, reason="It came back.")
    assert progress_of(made) == Progress(members=3, made_safe=2, unheard_of=1)


def test_what_is_found_later_is_taken_in_too(world: World) -> None:
    first, later = bench.plan(world), bench.plan(world)
    made = recall(world, first)
    both = Assembly.objects.all()
    assert add_to_recall(actor=world.inspector, recall=made, assemblies=both).members == [later.pk]
    assert open_recalls_of(later)
    with pytest.raises(RecalledAlready):
        add_to_recall(actor=world.inspector, recall=made, assemblies=both)


def test_a_customers_answer_is_kept(world: World) -> None:
    made = recall(world, bench.plan(world))
    answer = answer_recall(
        actor=world.counter, recall=made, customer=world.customer, answer="All six are in our store."
    )
    assert answer.private("answer") == "All six are in our store."
    with pytest.raises(AnswerMissing):
        answer_recall(actor=world.counter, recall=made, customer=world.customer, answer="")
    with pytest.raises(NotInThatRecall):
        answer_recall(
            actor=world.counter, recall=made, customer=factories.CustomerFactory(), answer="Not ours."
        )


def test_an_owner_closes_it_with_a_reason_and_it_tells_how_far_it_came(world: World) -> None:
    reached, never = bench.shipped(world), bench.shipped(world)
    made = recall(world, reached, never)
    find(world, made, reached, FindingKind.REPLACED)
    with pytest.raises(NotAllowed):
        close_recall(actor=world.inspector, recall=made, reason="Done.")
    with pytest.raises(ReasonMissing):
        close_recall(actor=world.owner, recall=made, reason="")
    closing = close_recall(actor=world.owner, recall=made, reason="The customer has scrapped the machine.")
    assert (closing.members, closing.made_safe) == (2, 1)
    assert Recall.objects.get().is_closed
    with pytest.raises(RecallIsClosed):
        close_recall(actor=world.owner, recall=made, reason="Again.")
    with pytest.raises(RecallIsClosed):
        add_to_recall(actor=world.owner, recall=made, assemblies=Assembly.objects.all())


def test_closing_frees_nothing_and_what_turns_up_late_is_still_recorded(world: World) -> None:
    assembly = bench.shipped(world)
    made = recall(world, assembly)
    close_recall(actor=world.owner, recall=made, reason="Nobody answers.")
    assert open_recalls_of(assembly)
    find(world, made, assembly, FindingKind.RIGHT, words="Measured again by hand.")
    assert not open_recalls_of(assembly)


def test_a_member_taken_off_the_list_or_called_right_by_hand_is_found_out(world: World) -> None:
    one, other = bench.plan(world), bench.plan(world)
    made = recall(world, one)
    assert list(members_that_disagree()) == []
    RecallMember.objects.update(newest=FindingKind.RIGHT)
    [sentence] = members_that_disagree()
    assert sentence.endswith(f"of assemblies with the keys {one.pk}.")
    RecallMember.objects.all().delete()
    RecallMember.objects.create(recall=made, assembly=other)
    [sentence] = members_that_disagree()
    assert sentence.endswith(f"of assemblies with the keys {one.pk}, {other.pk}.")
