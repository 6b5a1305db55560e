"""What the services put into the ledger, and what they refuse."""

import json
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from shop.ledger.canonical import GENESIS, private_hash
from shop.ledger.misuse import NotRecordable, OutsideTransaction, UnknownVerb, VerbTaken, WrongWriter
from shop.ledger.models import Chain, Entry, PrivateText
from shop.ledger.refusals import HappenedInTheFuture, NothingToErase
from shop.ledger.registry import Verb, register_verb
from shop.ledger.services import erase_private, history, note, save_noted, write_record
from shop.people.models import User
from tests.ledger.testapp import verbs
from tests.ledger.testapp.models import Loss, Shelf, Tool, Wear

pytestmark = pytest.mark.django_db


@pytest.fixture
def tool(bench: User) -> Tool:
    return save_noted(actor=bench, verb=verbs.KEPT, instance=Tool(mark="T1", bore=Decimal("24.5")))


def test_each_entry_continues_the_one_before(bench: User, tool: Tool) -> None:
    note(actor=bench, verb=verbs.TURNED, subject=tool)
    first, second = Entry.objects.order_by("number")
    assert (first.number, first.previous) == (1, GENESIS)
    assert (second.number, second.previous) == (2, first.hash)
    head = Chain.objects.get()
    assert (head.site, head.length, head.head) == ("home", 2, second.hash)


def test_the_hash_of_an_entry_is_that_of_its_canonical_form(bench: User, tool: Tool) -> None:
    entry = note(actor=bench, verb=verbs.TURNED, subject=tool, facts={"b": 1, "a": "×"})
    assert entry.facts == '{"a":"×","b":1}'
    assert Entry.objects.get(pk=entry.pk).compute_hash("home") == entry.hash
    entry.actor_number = 9
    assert entry.compute_hash("home") != entry.hash


def test_a_record_and_its_entry_tell_the_same(bench: User, tool: Tool) -> None:
    wear = write_record(
        actor=bench,
        verb=verbs.WORN,
        record=Wear(
            tool=tool,
            attempt=1,
            bore=Decimal("24.513"),
            pressure=Decimal("350.5"),
            weight=Decimal("1.5"),
            checked_on=date(2026, 11, 5),
            seen_at=datetime(2026, 11, 5, 14, 3, 22, 123, tzinfo=UTC),
            parts=["jaw", {"n": 2}],
        ),
        subject=tool,
    )
    assert wear.entry.told == {
        "tool": tool.pk,
        "attempt": 1,
        "bore": 24_513_000,
        "pressure": 35_050_000,
        "weight": "1.500",
        "checked_on": "2026-11-05",
        "seen_at": "2026-11-05T14:03:22.000123Z",
        "parts": ["jaw", {"n": 2}],
        "last": False,
        "finish": None,
    }
    assert (wear.entry.version, wear.entry.subject) == (2, f"drawer.tool:{tool.pk}")
    assert wear.actor_number == bench.number


def test_a_record_without_a_subject_is_its_own(bench: User, tool: Tool) -> None:
    loss = write_record(actor=bench, verb=verbs.LOST, record=Loss(tool=tool))
    assert loss.entry.subject == f"drawer.loss:home-{loss.entry.number}"
    later = note(actor=bench, verb=verbs.TURNED, subject=loss)
    assert list(history(loss)) == [loss.entry, later]


def test_the_history_of_a_record_begins_with_its_own_entry(bench: User, tool: Tool) -> None:
    wear = write_record(
        actor=bench, verb=verbs.WORN, record=Wear(tool=tool, attempt=1, bore=Decimal(1)), subject=tool
    )
    assert list(history(wear)) == [wear.entry]
    assert [entry.verb for entry in history(tool)] == ["drawer.kept", "drawer.worn"]


def test_it_refuses_a_record_that_breaks_a_rule_of_its_model(bench: User, tool: Tool) -> None:
    write_record(actor=bench, verb=verbs.WORN, record=Wear(tool=tool, attempt=1, bore=Decimal(1)))
    with pytest.raises(ValidationError):
        write_record(actor=bench, verb=verbs.WORN, record=Wear(tool=tool, attempt=1, bore=Decimal(2)))
    assert Chain.objects.get().length == Entry.objects.count() == 2


def test_both_times_are_kept(bench: User, tool: Tool) -> None:
    yesterday = timezone.now() - timedelta(days=1)
    entry = note(actor=bench, verb=verbs.TURNED, subject=tool, happened_at=yesterday)
    assert entry.happened_at == yesterday
    assert entry.recorded_at - yesterday >= timedelta(days=1)


def test_it_refuses_what_has_not_happened_yet(bench: User, tool: Tool) -> None:
    tomorrow = timezone.now() + timedelta(days=1)
    with pytest.raises(HappenedInTheFuture):
        note(actor=bench, verb=verbs.TURNED, subject=tool, happened_at=tomorrow)


def test_texts_that_may_have_to_be_erased_stand_beside_the_chain(bench: User, tool: Tool) -> None:
    entry = note(actor=bench, verb=verbs.TURNED, subject=tool, private={"remark": "Lent to Ada", "more": ""})
    text = PrivateText.objects.get()
    assert "Ada" not in entry.facts
    assert entry.told == {"private": {"remark": private_hash(str(text.salt), "Lent to Ada")}}
    assert (entry.private("remark"), entry.private("more")) == ("Lent to Ada", None)


def test_a_record_reads_its_private_texts(bench: User, tool: Tool) -> None:
    loss = write_record(
        actor=bench, verb=verbs.LOST, record=Loss(tool=tool), private={"remark": "Under the bench?"}
    )
    assert Loss.objects.get(pk=loss.pk).private("remark") == "Under the bench?"


def test_erasing_is_an_entry_that_says_what_was_erased(owner: User, tool: Tool) -> None:
    entry = note(actor=owner, verb=verbs.TURNED, subject=tool, private={"remark": "Lent", "place": "Hook"})
    erasure = erase_private(actor=owner, subject=tool, names=["remark"])
    assert erasure.told == {"erased": [["home", entry.number, "remark"]]}
    text = PrivateText.objects.get(name="remark")
    assert (text.salt, text.value, text.erased_by) == (None, None, erasure)
    assert PrivateText.objects.get(name="place").value == "Hook"


def test_it_refuses_to_erase_twice(owner: User, tool: Tool) -> None:
    note(actor=owner, verb=verbs.TURNED, subject=tool, private={"remark": "Lent"})
    erase_private(actor=owner, subject=tool)
    with pytest.raises(NothingToErase):
        erase_private(actor=owner, subject=tool)


@pytest.mark.parametrize("verb", ["drawer.unknown", Verb("drawer.unknown", "did what")])
def test_it_refuses_a_verb_that_is_not_registered(bench: User, tool: Tool, verb: Verb | str) -> None:
    with pytest.raises(UnknownVerb):
        note(actor=bench, verb=verb, subject=tool)


def test_it_refuses_to_register_a_verb_twice() -> None:
    with pytest.raises(VerbTaken):
        register_verb("drawer.turned", "turned again")


def test_it_refuses_a_note_where_a_record_belongs(bench: User, tool: Tool) -> None:
    with pytest.raises(WrongWriter):
        note(actor=bench, verb=verbs.WORN, subject=tool)
    with pytest.raises(WrongWriter):
        save_noted(actor=bench, verb=verbs.WORN, instance=tool)


def test_it_refuses_a_record_of_another_kind(bench: User, tool: Tool) -> None:
    with pytest.raises(WrongWriter):
        write_record(actor=bench, verb=verbs.WORN, record=Loss(tool=tool))


def test_it_refuses_facts_without_a_canonical_form(bench: User, tool: Tool) -> None:
    with pytest.raises(NotRecordable):
        note(actor=bench, verb=verbs.TURNED, subject=tool, facts={"share": float("nan")})
    with pytest.raises(NotRecordable):
        note(actor=bench, verb=verbs.TURNED, subject=tool, facts={"private": {}})


@pytest.mark.django_db(transaction=True)
def test_it_refuses_to_write_outside_a_transaction(bench: User) -> None:
    tool = Tool.objects.create(mark="T2")
    with pytest.raises(OutsideTransaction):
        note(actor=bench, verb=verbs.TURNED, subject=tool)


@pytest.mark.django_db(transaction=True)
def test_what_is_rolled_back_leaves_no_gap(bench: User) -> None:
    tool = save_noted(actor=bench, verb=verbs.KEPT, instance=Tool(mark="T3"))
    with transaction.atomic():
        note(actor=bench, verb=verbs.TURNED, subject=tool)
        transaction.set_rollback(True)
    with transaction.atomic():
        assert note(actor=bench, verb=verbs.TURNED, subject=tool).number == 2


def test_a_new_row_is_noted_whole(bench: User) -> None:
    shelf = Shelf.objects.create(name="top")
    tool = save_noted(
        actor=bench,
        verb=verbs.KEPT,
        instance=Tool(mark="T4", bore=Decimal("6.35"), keeper="Ada", looked_at=3),
        many={"shelves": [shelf]},
    )
    entry = history(tool).get()
    told = entry.told
    assert told["before"] is None
    assert told["after"] == {"mark": "T4", "bore": 6_350_000, "shelves": [shelf.pk]}
    assert set(told["private"]) == {"keeper"}
    assert entry.private("keeper") == "Ada"
    assert list(tool.shelves.all()) == [shelf]


def test_a_changed_row_is_noted_with_what_changed(bench: User, tool: Tool) -> None:
    tool.bore = Decimal("24.6")
    save_noted(actor=bench, verb=verbs.KEPT, instance=tool)
    assert history(tool).last().told == {  # type: ignore[union-attr]  # there are two
        "before": {"bore": 24_500_000},
        "after": {"bore": 24_600_000},
    }


def test_the_rows_that_a_row_is_tied_to_are_noted(bench: User, tool: Tool) -> None:
    shelves = [Shelf.objects.create(name=name) for name in ("top", "low")]
    save_noted(actor=bench, verb=verbs.KEPT, instance=tool, many={"shelves": reversed(shelves)})
    keys = [shelf.pk for shelf in shelves]
    assert history(tool).last().told == {"before": {"shelves": []}, "after": {"shelves": keys}}  # type: ignore[union-attr]


def test_a_private_column_leaves_only_a_hash(bench: User, tool: Tool) -> None:
    for keeper in ("Ada", ""):
        tool.keeper = keeper
        save_noted(actor=bench, verb=verbs.KEPT, instance=tool)
    *_, given, emptied = history(tool)
    assert given.private("keeper") == "Ada"
    assert json.loads(emptied.facts) == {"before": {}, "after": {}, "private": {"keeper": None}}


def test_nothing_is_written_when_nothing_changed(bench: User, tool: Tool) -> None:
    tool.looked_at = 7
    save_noted(actor=bench, verb=verbs.KEPT, instance=Tool.objects.get())
    save_noted(actor=bench, verb=verbs.KEPT, instance=tool)
    assert Entry.objects.count() == 1
