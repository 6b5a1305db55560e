"""Each print of a tag is a record with its own number, its reason and its very bytes."""

import hashlib
import subprocess
import sys
from pathlib import Path

import pytest
from django.conf import settings

from shop.assemblies.models import Assembly
from shop.assemblies.recalls import open_recall
from shop.assemblies.refusals import IsRecalled
from shop.assemblies.refusals import NoTagYet as NotInspected
from shop.assemblies.release import make_tag
from shop.documents import services
from shop.documents.consistency import papers_that_are_not_as_issued
from shop.documents.keeping import kept_bytes
from shop.documents.models import Paper
from shop.documents.refusals import NoTagYet, PaperDamaged, ReprintNeedsReason, TagReplacedMeanwhile
from shop.documents.services import issue_tag_paper, newest_tag_paper, print_tag
from shop.ledger.checking import check_ledger
from shop.ledger.services import history
from shop.people.refusals import NotAllowed
from shop.trace.failures import WhatFailed, judge_report, report_failure
from shop.trace.models import FailureMode, Hurt, Verdict
from shop.trace.refusals import FailedInService
from tests.assemblies import bench
from tests.documents.reading import text_of
from tests.world import World


def inspected(world: World) -> "services.Assembly":
    assembly = bench.made(world)
    bench.look_over(world, assembly)
    assembly.refresh_from_db()
    return assembly


def file_of(paper: Paper) -> Path:
    return Path(settings.MEDIA_ROOT) / "papers" / f"{paper.sha256}.pdf"


def test_the_first_print_makes_the_tag_and_keeps_its_bytes(world: World) -> None:
    assembly = inspected(world)
    paper = print_tag(actor=world.inspector, assembly=assembly, prints_seen=0)
    assert paper.tag == assembly.tags.get()
    assert paper.tag.number == 1
    content = kept_bytes(paper)
    assert content == file_of(paper).read_bytes()
    assert hashlib.sha256(content).hexdigest() == paper.sha256
    assert len(content) == paper.size
    assert paper.actor_number == world.inspector.number
    assert "275 bar" in text_of(content)


def test_a_tag_made_at_the_bench_gets_its_paper_and_no_second_number(world: World) -> None:
    assembly = bench.tagged(world)
    paper = print_tag(actor=world.inspector, assembly=assembly, prints_seen=0)
    assert paper.tag == assembly.tags.get()


def test_a_reprint_is_a_record_with_the_next_number_and_its_reason(world: World) -> None:
    assembly = inspected(world)
    first = print_tag(actor=world.inspector, assembly=assembly, prints_seen=0)
    second = print_tag(actor=world.inspector, assembly=assembly, prints_seen=1, reason=" torn off on site ")
    assert second.tag is not None
    assert second.tag.number == 2
    assert second != first
    assert second.private("reason") == "torn off on site"
    assert "torn off" not in second.entry.facts
    assert newest_tag_paper(assembly) == second
    assert [entry.verb for entry in history(assembly)][-2:] == ["assemblies.tagged", "documents.issued"]


@pytest.mark.parametrize("reason", ["", "  "])
def test_a_reprint_without_a_reason_is_refused_and_records_nothing(world: World, reason: str) -> None:
    assembly = inspected(world)
    print_tag(actor=world.inspector, assembly=assembly, prints_seen=0)
    with pytest.raises(ReprintNeedsReason):
        print_tag(actor=world.inspector, assembly=assembly, prints_seen=1, reason=reason)
    assert assembly.tags.count() == 1


def test_asking_twice_for_the_same_reprint_prints_once(world: World) -> None:
    assembly = inspected(world)
    print_tag(actor=world.inspector, assembly=assembly, prints_seen=0)
    print_tag(actor=world.inspector, assembly=assembly, prints_seen=1, reason="lost")
    with pytest.raises(TagReplacedMeanwhile):
        print_tag(actor=world.inspector, assembly=assembly, prints_seen=1, reason="lost")
    assert assembly.tags.count() == 2


def test_issuing_the_same_tag_again_gives_the_paper_that_there_is(world: World) -> None:
    tag = bench.tagged(world).tags.get()
    paper = issue_tag_paper(actor=world.inspector, tag=tag)
    assert issue_tag_paper(actor=world.inspector, tag=tag) == paper


def test_a_tag_that_was_replaced_while_it_was_set_is_not_issued(world: World) -> None:
    assembly = bench.tagged(world)
    first = assembly.tags.get()
    make_tag(actor=world.inspector, assembly=assembly)
    with pytest.raises(TagReplacedMeanwhile):
        issue_tag_paper(actor=world.inspector, tag=first)


def test_nobody_prints_a_tag_before_the_inspection_has_passed(world: World) -> None:
    with pytest.raises(NotInspected):
        print_tag(actor=world.inspector, assembly=bench.made(world), prints_seen=0)


def test_what_failed_in_service_gets_no_tag_any_more(world: World) -> None:
    assembly = bench.shipped(world)
    print_tag(actor=world.inspector, assembly=assembly, prints_seen=0)
    report = report_failure(actor=world.counter, assembly=assembly, told=WhatFailed(hurt=Hurt.NO))
    judge_report(
        actor=world.inspector, report=report, verdict=Verdict.FAILED, mode=FailureMode.KINK, words="bent"
    )
    with pytest.raises(FailedInService):
        print_tag(actor=world.inspector, assembly=assembly, prints_seen=1, reason="torn off on site")
    assert assembly.tags.count() == 1
    made_meanwhile = make_tag(actor=world.inspector, assembly=assembly)
    with pytest.raises(FailedInService):
        issue_tag_paper(actor=world.inspector, tag=made_meanwhile, reason="torn off on site")
    assert Paper.objects.count() == 1
    judge_report(actor=world.inspector, report=report, verdict=Verdict.NO_FAILURE, words="another hose")
    again = print_tag(actor=world.inspector, assembly=assembly, prints_seen=1, reason="torn off on site")
    assert again.tag == made_meanwhile


def test_a_tag_that_was_made_before_a_recall_gets_no_paper_after_it(world: World) -> None:
    assembly = bench.tagged(world)
    open_recall(
        actor=world.inspector,
        suspicion={"things": {"die_set": [world.die_set.pk]}, "windows": {}},
        says=[f"Crimped with die set {world.die_set}."],
        assemblies=Assembly.objects.filter(pk=assembly.pk),
        reason="a jaw is cracked",
    )
    with pytest.raises(IsRecalled):
        print_tag(actor=world.inspector, assembly=assembly, prints_seen=0)
    with pytest.raises(IsRecalled):
        issue_tag_paper(actor=world.inspector, tag=assembly.tags.get())
    assert not Paper.objects.exists()


def test_the_bench_alone_does_not_print_tags(world: World) -> None:
    assembly = inspected(world)
    with pytest.raises(NotAllowed):
        print_tag(actor=world.bench, assembly=assembly, prints_seen=0)


def test_there_is_no_paper_before_one_was_printed(world: World) -> None:
    with pytest.raises(NoTagYet):
        newest_tag_paper(bench.tagged(world))


def test_the_ledgers_check_names_a_kept_paper_that_was_changed(world: World) -> None:
    paper = print_tag(actor=world.inspector, assembly=inspected(world), prints_seen=0)
    assert list(papers_that_are_not_as_issued()) == []
    assert check_ledger().is_right
    file_of(paper).write_bytes(kept_bytes(paper).replace(b"%PDF", b"%PDG"))
    [fault] = check_ledger().faults
    assert f"The kept copy of {paper}" in fault.what
    assert "not what was kept" in fault.what
    with pytest.raises(PaperDamaged):
        kept_bytes(paper)


def test_the_ledgers_check_names_a_kept_paper_that_is_gone(world: World) -> None:
    paper = print_tag(actor=world.inspector, assembly=inspected(world), prints_seen=0)
    file_of(paper).unlink()
    [sentence] = papers_that_are_not_as_issued()
    assert "is missing" in sentence


WITHOUT_PANGO = """
import cffi
def dlopen(self, name, flags=0):
    raise OSError(f"cannot load library '{name}'")
cffi.FFI.dlopen = dlopen
import django
django.setup()
from shop.documents.labels import Label, label_sheet
from shop.documents.refusals import PdfNotInstalled
from shop.engineering.codes import new_code
try:
    label_sheet([Label(new_code("D"), "Die set", "dies 1")])
except PdfNotInstalled as refusal:
    print(refusal.what, refusal.what_to_do)
"""


def test_without_pango_it_says_what_to_install() -> None:
    done = subprocess.run([sys.executable, "-c", WITHOUT_PANGO], capture_output=True, text=True, check=True)
    assert "This machine can't make PDFs: cannot load library" in done.stdout
    assert "apt-get install libpango-1.0-0 libpangoft2-1.0-0" in done.stdout
