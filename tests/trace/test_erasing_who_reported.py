"""What a report says of who reported it can be erased for good; that there was a report stays."""

from pathlib import Path
from typing import Any

import pytest

from shop.assemblies.models import Assembly
from shop.assemblies.wear import record_tool_check
from shop.ledger.checking import check_ledger
from shop.ledger.models import Entry, PrivateText
from shop.ledger.refusals import NothingToErase
from shop.people.refusals import NotAllowed
from shop.tooling.photos import PHOTOS
from shop.trace.dossier import record_of
from shop.trace.erasing import erase_from_report, erasures_of
from shop.trace.failures import WhatFailed, investigate, judge_report, report_failure
from shop.trace.failures.photos import also_named_by, photos_that_are_not_as_kept
from shop.trace.models import FailureMode, FailureReport, Hurt, OfReporter, Verdict
from shop.trace.refusals import NothingChosen, WhyErased
from tests.assemblies import bench
from tests.documents.evidence.stranger import ask, files_in, lines_in, packed
from tests.documents.reading import text_of
from tests.tooling.photos import a_photo
from tests.world import World

EVERYTHING = tuple(OfReporter)


def reported(assembly: Assembly, **changes: Any) -> FailureReport:
    told = {
        "hurt": Hurt.YES,
        "mode": FailureMode.PINHOLE,
        "seen": "Ulla saw it spray",
        "contact": "Ulla, 555 01",
        "photos": [a_photo(), a_photo(30)],
    }
    return report_failure(actor=None, assembly=assembly, told=WhatFailed(**{**told, **changes}))


def erase(world: World, report: FailureReport, *what: OfReporter, **changes: Any) -> Entry:
    asked: dict[str, Any] = {"actor": world.owner, "reason": "who reported asked for it", **changes}
    return erase_from_report(report=report, what=what or EVERYTHING, **asked)


def again(report: FailureReport) -> FailureReport:
    return FailureReport.objects.get(pk=report.pk)


@pytest.fixture
def report(world: World) -> FailureReport:
    return reported(bench.shipped(world))


def test_contact_words_and_photos_are_gone_and_the_report_stays(world: World, report: FailureReport) -> None:
    photos = [PHOTOS.path(sha256) for sha256 in report.photo_hashes]
    assert all(path.exists() for path in photos)
    judge_report(
        actor=world.inspector, report=report, verdict=Verdict.FAILED, mode=FailureMode.PINHOLE, words="a hole"
    )
    erase(world, report)
    assert not any(path.exists() for path in photos)
    assert not PrivateText.objects.filter(value__contains="Ulla").exists()
    left = again(report)
    assert (left.mode, left.hurt, left.photos) == (FailureMode.PINHOLE, Hurt.YES, 2)
    assert (left.photo_hashes, left.of_reporter) == ((), ())
    assert [finding.private("words") for finding in left.findings.all()] == ["a hole"]
    assert check_ledger().faults == ()


def test_what_is_not_ticked_stays(world: World, report: FailureReport) -> None:
    erase(world, report, OfReporter.CONTACT)
    assert again(report).of_reporter == (OfReporter.SEEN, OfReporter.PHOTOS)
    assert all(PHOTOS.path(sha256).exists() for sha256 in report.photo_hashes)
    assert check_ledger().faults == ()


def test_the_act_says_by_whom_what_and_why(world: World, report: FailureReport) -> None:
    erase(world, report, OfReporter.CONTACT, reason="asked for on the telephone")
    erase(world, again(report), OfReporter.PHOTOS, reason="not needed any more")
    first, second = erasures_of(report)
    assert (first.what, first.reason) == ((OfReporter.CONTACT,), "asked for on the telephone")
    assert (second.what, second.reason) == ((OfReporter.PHOTOS,), "not needed any more")
    assert first.told.by.number == world.owner.number
    assert "telephone" not in first.told.entry.facts


def test_a_photo_that_another_report_came_with_stays_until_that_is_erased_too(
    world: World, report: FailureReport
) -> None:
    other = reported(report.assembly, photos=[a_photo()])
    [shared] = other.photo_hashes
    alone = next(sha256 for sha256 in report.photo_hashes if sha256 != shared)
    assert also_named_by(shared, report) == [other]
    erase(world, report)
    assert PHOTOS.path(shared).exists()
    assert not PHOTOS.path(alone).exists()
    assert not list(photos_that_are_not_as_kept())
    erase(world, other)
    assert not PHOTOS.path(shared).exists()


def test_a_photo_that_a_look_at_a_tool_was_recorded_with_stays(world: World, report: FailureReport) -> None:
    check = record_tool_check(
        actor=world.bench, tool=world.die_set, passed=True, condition="clean", photo=a_photo()
    )
    erase(world, report)
    assert PHOTOS.path(check.photo_sha256).exists()


def test_a_photo_that_is_missing_without_an_act_is_still_named(world: World, report: FailureReport) -> None:
    other = reported(report.assembly, photos=[a_photo(50)])
    erase(world, report)
    PHOTOS.path(other.photo_hashes[0]).unlink()
    [fault] = check_ledger().faults
    assert f"of a report (entry {other.pk}) is missing" in fault.what
    erase(world, other)
    assert check_ledger().faults == ()


@pytest.mark.parametrize(
    ("refusal", "changes"),
    [(NothingChosen, {"what": ()}), (WhyErased, {"reason": " "})],
)
def test_what_and_why_are_asked(
    world: World, report: FailureReport, refusal: type[Exception], changes: dict[str, Any]
) -> None:
    asked = {"actor": world.owner, "report": report, "what": EVERYTHING, "reason": "asked for", **changes}
    with pytest.raises(refusal):
        erase_from_report(**asked)
    assert again(report).of_reporter == EVERYTHING


def test_what_was_erased_is_not_erased_again(world: World, report: FailureReport) -> None:
    erase(world, report)
    with pytest.raises(NothingToErase):
        erase(world, report)


@pytest.mark.parametrize("who", ["counter", "bench", "inspector", "auditor"])
def test_only_an_owner_erases(world: World, report: FailureReport, who: str) -> None:
    with pytest.raises(NotAllowed):
        erase(world, report, actor=getattr(world, who))
    assert all(PHOTOS.path(sha256).exists() for sha256 in report.photo_hashes)


def test_the_record_and_the_dossier_say_erased(world: World, report: FailureReport) -> None:
    erase(world, report)
    [told] = record_of(report.assembly).failures
    assert (told.seen, told.contact, told.photos) == ("erased", "erased", "2, erased")
    found = investigate(again(report))
    assert "How it looks: the photos of the report were erased." in found.unknown
    questions = " ".join(found.questions)
    assert "Whom the report named was erased" in questions
    assert "Ask whom the reporter named" not in questions


def test_a_package_taken_afterwards_holds_no_photo_says_erased_and_verifies(
    world: World, report: FailureReport, tmp_path: Path
) -> None:
    before = packed(world.auditor, report.assembly, people=True, customers=True)
    assert len([name for name in files_in(before) if name.startswith("kept/")]) == 2
    act = erase(world, report)
    after = packed(world.auditor, report.assembly, people=True, customers=True)
    assert not [name for name in files_in(after) if name.startswith("kept/")]
    assert b"Ulla" not in after
    [texts] = [line["private"] for line in lines_in(after) if "contact" in line["private"]]
    assert texts == {name: {"erased_by": str(act)} for name in OfReporter}
    words = " ".join(text_of(files_in(after)["record.pdf"]).split())
    assert "photos: 2, erased" in words
    assert ask(tmp_path, after).code == 0
    assert ask(tmp_path, before).code == 0
