"""Evidence packages: what leaves the workshop with them, and what stands in the book about it."""

import hashlib
import json
from pathlib import Path

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from shop.assemblies.models import FindingKind, ProofTest
from shop.assemblies.recalls import answer_recall, close_recall
from shop.assemblies.wear import record_tool_check
from shop.core.kept import sha256_of
from shop.documents.evidence import choosing, telling
from shop.documents.evidence.telling import SHELVES
from shop.documents.keeping import PAPERS
from shop.documents.refusals import EvidenceDamaged, EvidenceFileDamaged
from shop.documents.services import print_tag
from shop.ledger.checking import check_ledger
from shop.ledger.models import Entry, LedgerSeal
from shop.ledger.services import seal_ledger
from shop.ledger.triggers import record_models
from shop.people.refusals import NotAllowed
from shop.tooling.models import ToolCheck
from shop.trace.failures import WhatFailed, report_failure
from shop.trace.models import Hurt
from tests.assemblies import bench, proving
from tests.assemblies.test_recalls import find, recall
from tests.documents.evidence.stranger import ask, enter, files_in, lines_in, packed
from tests.documents.reading import text_of
from tests.ledger.drawer import behind_the_back
from tests.tooling.photos import a_photo
from tests.world import World


def test_a_stranger_reads_a_plain_yes(world: World, tmp_path: Path) -> None:
    answer = ask(tmp_path, packed(world.auditor, bench.shipped(world)))
    assert answer.code == 0
    assert answer.words.startswith("Yes: nothing was changed.")
    newest = LedgerSeal.objects.latest("pk")
    assert newest.plain.sealed_at in answer.words
    assert newest.key.fingerprint in answer.words


def test_taking_one_seals_what_was_not_sealed_and_is_in_the_book(world: World) -> None:
    assembly = bench.shipped(world)
    package = packed(world.auditor, assembly)
    sealed, taken = list(Entry.objects.order_by("-pk")[:2])[::-1]
    assert (sealed.verb, sealed.actor_number) == ("ledger.sealed", world.auditor.number)
    assert (taken.verb, taken.actor_number) == ("documents.evidence_taken", world.auditor.number)
    assert taken.subject == f"assemblies.assembly:{assembly.pk}"
    manifest = files_in(package)["manifest.json"]
    told = {"manifest": sha256_of(manifest), "people": False, "customers": False}
    assert taken.told == told | {"entries": len(lines_in(package))}
    assert check_ledger().faults == ()


def test_what_is_sealed_already_is_not_sealed_again(world: World) -> None:
    assembly = bench.shipped(world)
    seal_ledger(actor=world.owner)
    packed(world.auditor, assembly)
    assert LedgerSeal.objects.count() == 1


def test_only_who_may_export_the_ledger_takes_one(world: World) -> None:
    assembly = bench.shipped(world)
    for person in (world.bench, world.counter, world.inspector):
        with pytest.raises(NotAllowed):
            packed(person, assembly)


def test_everything_that_it_was_made_from_with_and_by_is_in_it(world: World) -> None:
    assembly = bench.shipped(world)
    verbs = {json.loads(line["hashed"])["verb"] for line in lines_in(packed(world.auditor, assembly))}
    assert verbs >= {
        "stock.lot_received",
        "tooling.gauge_calibrated",
        "catalogue.chart_issued",
        "policy.set",
        "orders.line_confirmed",
        "assemblies.planned",
        "assemblies.cut",
        "assemblies.set_up",
        "assemblies.crimped",
        "assemblies.measured",
        "assemblies.inspected",
        "assemblies.tagged",
        "assemblies.released",
        "assemblies.shipped",
    }


def test_nobody_is_named_who_was_not_asked_for(world: World) -> None:
    enter(world)
    assembly = bench.shipped(world)
    package = packed(world.auditor, assembly)
    named = [world.bench.name, world.inspector.name, world.counter.name, world.customer.name]
    summary = text_of(files_in(package)["record.pdf"])
    for name in named:
        assert name.encode() not in package
        assert name not in summary
    assert f"staff number {world.bench.number}" in summary


def test_people_go_in_if_they_are_asked_for_and_customers_do_not(world: World, tmp_path: Path) -> None:
    enter(world)
    package = packed(world.auditor, bench.shipped(world), people=True)
    texts = [line["private"] for line in lines_in(package)]
    values = {one["value"] for told in texts for one in told.values() if one != "withheld"}
    assert world.bench.name in values
    assert world.customer.name.encode() not in package
    assert world.bench.name in text_of(files_in(package)["record.pdf"])
    assert ask(tmp_path, package).code == 0


def test_customers_go_in_if_they_are_asked_for_and_people_do_not(world: World, tmp_path: Path) -> None:
    enter(world)
    package = packed(world.auditor, bench.shipped(world), customers=True)
    assert world.customer.name.encode() in package
    assert world.bench.name.encode() not in package
    assert ask(tmp_path, package).code == 0


def test_what_somebody_wrote_goes_in_only_with_both(world: World) -> None:
    assembly = bench.shipped(world)
    recall(world, assembly)
    why = b"Two blew off"
    assert why not in packed(world.auditor, assembly, people=True)
    assert why not in packed(world.auditor, assembly, customers=True)
    assert why in packed(world.auditor, assembly, people=True, customers=True)


def test_the_tag_as_printed_the_curve_and_photos_of_the_tools_are_in_it(world: World, tmp_path: Path) -> None:
    record_tool_check(actor=world.bench, tool=world.die_set, passed=True, condition="clean", photo=a_photo())
    assembly = proving.ready_to_test(world)
    proving.prove(world, assembly, curve=proving.CURVE)
    print_tag(actor=world.inspector, assembly=assembly, prints_seen=0)
    package = packed(world.auditor, assembly)
    kept = {name: content for name, content in files_in(package).items() if name.startswith("kept/")}
    assert sorted(name.rpartition(".")[2] for name in kept) == ["csv", "jpg", "pdf"]
    test = ProofTest.objects.get(assembly=assembly)
    assert hashlib.sha256(kept[f"kept/{test.curve_sha256}.csv"]).hexdigest() == test.curve_sha256
    assert ask(tmp_path, package).code == 0


def test_photos_of_a_failure_go_in_with_the_words_of_who_reported_it(world: World, tmp_path: Path) -> None:
    assembly = bench.shipped(world)
    told = WhatFailed(hurt=Hurt.NO, seen="It sprayed.", contact="Ada", photos=[a_photo()])
    report = report_failure(actor=None, assembly=assembly, told=told)
    [photo] = report.photo_hashes
    without = packed(world.auditor, assembly, people=True)
    assert f"kept/{photo}.jpg" not in files_in(without)
    package = packed(world.auditor, assembly, people=True, customers=True)
    assert f"kept/{photo}.jpg" in files_in(package)
    assert "It sprayed." in text_of(files_in(package)["record.pdf"])
    assert ask(tmp_path, package).code == 0


def test_the_shelf_of_each_file_that_a_record_names_is_known() -> None:
    naming = {
        record
        for record in record_models()
        if record.__module__.startswith("shop.")
        and any(field.name.endswith("sha256") for field in record._meta.concrete_fields)
    }
    assert naming == set(SHELVES)


def test_a_recall_goes_out_with_its_answers_its_end_and_every_member(world: World, tmp_path: Path) -> None:
    shipped, waiting = bench.shipped(world), bench.made(world)
    made = recall(world, shipped, waiting)
    find(world, made, waiting, FindingKind.ISOLATED)
    answer_recall(actor=world.counter, recall=made, customer=world.customer, answer="Found it.")
    close_recall(actor=world.owner, recall=made, reason="All seen.")
    package = packed(world.auditor, made, people=True, customers=True)
    told = [json.loads(line["hashed"]) for line in lines_in(package)]
    verbs = [entry["verb"] for entry in told]
    for part in ("recalled", "recall_followed", "recall_answered", "recall_closed"):
        assert f"assemblies.{part}" in verbs
    planned = {entry["subject"] for entry in told if entry["verb"] == "assemblies.planned"}
    assert planned >= {f"assemblies.assembly:{one.pk}" for one in (shipped, waiting)}
    summary = text_of(files_in(package)["record.pdf"])
    assert "What is known of recall 1" in summary
    assert "Found it." in summary
    assert ask(tmp_path, package).code == 0


def test_a_recall_is_read_in_as_many_queries_whatever_the_number_of_its_members(world: World) -> None:
    asked = choosing.Asked(people=True, customers=True)
    counts = []
    for number in (1, 4):
        made = recall(world, *(bench.shipped(world) for _ in range(number)))
        with CaptureQueriesContext(connection) as queries:
            choosing.entries_about(made, asked)
        counts.append(len(queries))
    assert counts[0] == counts[1]


def test_the_entries_of_a_recall_are_those_of_its_members_each_by_itself(world: World) -> None:
    asked = choosing.Asked()
    members = [bench.made(world)]
    record_tool_check(actor=world.bench, tool=world.die_set, passed=True, condition="clean")
    members += [bench.shipped(world), bench.plan_and_cut(world)]
    record_tool_check(actor=world.bench, tool=world.die_set, passed=True, condition="worn a little")
    made = recall(world, *members)
    each = set().union(*(choosing.entries_about(member, asked) for member in members))
    looks = set(ToolCheck.objects.values_list("pk", flat=True))
    assert looks <= each
    assert choosing.entries_about(made, asked) == each | {made.pk}


def test_the_same_book_packs_the_same_entries(world: World) -> None:
    assembly = bench.shipped(world)
    seal_ledger(actor=world.owner)
    first = files_in(packed(world.auditor, assembly))
    # Taking it is an entry about the assembly itself, so the next is under a newer seal.
    told = [json.loads(line)["hashed"] for line in first["entries.jsonl"].splitlines()]
    second = files_in(packed(world.auditor, assembly))
    again = [json.loads(line)["hashed"] for line in second["entries.jsonl"].splitlines()]
    assert again[: len(told)] == told
    assert json.loads(again[-1])["verb"] == "documents.evidence_taken"


def test_a_kept_file_that_was_changed_is_not_handed_out(world: World) -> None:
    assembly = bench.made(world)
    bench.look_over(world, assembly)
    paper = print_tag(actor=world.inspector, assembly=assembly, prints_seen=0)
    PAPERS.path(paper.sha256).write_bytes(b"another tag")
    with pytest.raises(EvidenceFileDamaged):
        packed(world.auditor, assembly)
    assert not Entry.objects.filter(verb="documents.evidence_taken").exists()


def test_a_record_that_was_changed_is_not_handed_out(world: World) -> None:
    assembly = bench.shipped(world)
    behind_the_back("UPDATE assemblies_cut SET length = length + 1 WHERE entry_id = %s", assembly.cut.pk)
    with pytest.raises(EvidenceDamaged):
        packed(world.auditor, assembly)


def test_a_package_that_is_read_a_few_entries_at_a_time_is_the_same(
    world: World, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = recall(world, *(bench.shipped(world) for _ in range(2)))
    whole = lines_in(packed(world.auditor, made))
    monkeypatch.setattr(telling, "PROVEN_AT_ONCE", 7)
    monkeypatch.setattr(choosing.in_batches, "__defaults__", (3,))
    package = packed(world.auditor, made)
    # The first package is an entry about the recall, so the second has one more.
    assert [line["hash"] for line in lines_in(package)][:-1] == [line["hash"] for line in whole]
    assert ask(tmp_path, package).code == 0
