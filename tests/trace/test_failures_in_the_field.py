"""Somebody says that a hose has failed; what the workshop finds out about it counts."""

import datetime
from pathlib import Path
from typing import Any

import pytest
from django.core.exceptions import ValidationError
from PIL import Image

from shop.assemblies.models import Assembly
from shop.engineering.lengths import LengthUnit
from shop.ledger.checking import check_ledger
from shop.ledger.models import Entry
from shop.ledger.services import erase_private
from shop.people.refusals import NotAllowed
from shop.policy.services import today
from shop.tooling.photos import PHOTOS
from shop.tooling.refusals import NotAPhoto
from shop.trace.common_factors import in_common
from shop.trace.dossier import record_of
from shop.trace.failures import WhatFailed, failed_assemblies, failures, judge_report, report_failure
from shop.trace.failures.photos import photos_that_are_not_as_kept
from shop.trace.models import FailureFinding, FailureMode, FailureReport, Hurt, Origin, Verdict
from shop.trace.public import public_record_of
from shop.trace.refusals import (
    FailedBeforeMade,
    FailedInTheFuture,
    ModeOfNoFailure,
    NotInService,
    TextTooLong,
    TooManyPhotos,
    WhyMissing,
)
from tests.assemblies import bench
from tests.tooling.photos import a_photo
from tests.world import World


def told(**changes: Any) -> WhatFailed:
    return WhatFailed(**{"hurt": Hurt.NO, "mode": FailureMode.BURST_AT_FERRULE, **changes})


def from_the_tag(assembly: Assembly, **changes: Any) -> FailureReport:
    return report_failure(actor=None, assembly=assembly, told=told(**changes))


def found(world: World, report: FailureReport, **changes: Any) -> FailureFinding:
    values: dict[str, Any] = {"verdict": Verdict.FAILED, "mode": FailureMode.BLOW_OFF, "words": "braid bare"}
    return judge_report(actor=world.inspector, report=report, **(values | changes))


def headline(assembly: Assembly) -> str:
    record = public_record_of(assembly.code, today=today(), unit=LengthUnit.MM)
    assert record is not None
    return record.state.headline


@pytest.fixture
def shelf(settings: Any, tmp_path: Path) -> Path:
    settings.MEDIA_ROOT = tmp_path
    return tmp_path / "photos"


def test_a_report_of_a_stranger_is_written_down_by_the_program(world: World) -> None:
    report = from_the_tag(bench.shipped(world), hours_in_service=900, seen="oil all over", contact="555 01")
    assert report.origin == Origin.TAG
    assert report.code[0] == "F"
    entry = Entry.objects.latest("pk")
    assert entry.actor_number == 0
    assert "oil all over" not in entry.facts
    assert "555 01" not in entry.facts  # whole: hashes stand there too, but no blanks
    assert (entry.private("seen"), entry.private("contact")) == ("oil all over", "555 01")


def test_a_report_alone_changes_nothing_for_whoever_scans_the_tag(world: World) -> None:
    assembly = bench.shipped(world)
    from_the_tag(assembly)
    assert headline(assembly) == "RELEASED"
    assert not failures()


def test_what_the_workshop_finds_to_have_failed_is_not_to_be_used(world: World) -> None:
    assembly = bench.shipped(world)
    report = from_the_tag(assembly)
    found(world, report)
    assert headline(assembly) == "DO NOT USE"
    found(world, report, verdict=Verdict.NO_FAILURE, mode="", words="the tag was on another hose")
    assert headline(assembly) == "RELEASED"


def test_the_newest_finding_counts_with_its_mode_and_the_day(world: World) -> None:
    first, second = bench.shipped(world), bench.shipped(world)
    day = today()
    report = from_the_tag(first, failed_on=day)
    from_the_tag(second)
    found(world, report, mode=FailureMode.PINHOLE)
    found(world, report, mode=FailureMode.ABRASION)
    [failure] = failures()
    assert (failure.assembly, failure.mode, failure.day) == (first.pk, FailureMode.ABRASION, day)
    assert list(failed_assemblies()) == [first]


def test_an_assembly_that_was_reported_twice_failed_once_in_the_mode_of_the_earlier_report(
    world: World,
) -> None:
    assembly = bench.shipped(world)
    modes = (FailureMode.PINHOLE, FailureMode.TWIST)
    first, _ = [found(world, from_the_tag(assembly), mode=mode) for mode in modes]
    for mode, other in (modes, modes[::-1]):
        assert [(failure.assembly, failure.mode) for failure in failures()] == [(assembly.pk, mode)]
        assert list(failed_assemblies()) == [assembly]
        assert list(in_common(mode).failed) == [assembly]
        assert not in_common(other).failed
        found(world, first.report, verdict=Verdict.NO_FAILURE, mode="", words="another hose's tag")


def test_a_report_that_is_sent_twice_is_one_report(world: World) -> None:
    assembly = bench.shipped(world)
    first = from_the_tag(assembly)
    again = report_failure(actor=None, assembly=assembly, told=told(), code=first.code)
    assert again == first
    assert FailureReport.objects.count() == 1


def test_photos_leave_behind_where_they_were_taken(world: World, shelf: Path) -> None:
    report = from_the_tag(bench.shipped(world), photos=[a_photo()])
    [sha256] = report.photo_hashes
    with Image.open(PHOTOS.path(sha256)) as kept:
        assert not kept.getexif()
    assert sha256 not in Entry.objects.latest("pk").facts


def test_the_check_finds_a_photo_that_was_changed_or_is_gone_and_leaves_out_erased_ones(
    world: World, shelf: Path
) -> None:
    report = from_the_tag(bench.shipped(world), photos=[a_photo(), a_photo(30)])
    assert not list(photos_that_are_not_as_kept())
    first, second = report.photo_hashes
    PHOTOS.path(first).write_bytes(b"another")
    PHOTOS.path(second).unlink()
    assert [sentence.split(") is ")[1] for sentence in photos_that_are_not_as_kept()] == [
        "not what was kept.",
        "missing.",
    ]
    erase_private(actor=world.owner, subject=report)
    assert not list(photos_that_are_not_as_kept())
    assert FailureReport.objects.get().photo_hashes == ()
    assert check_ledger().is_right


@pytest.mark.parametrize(
    ("refusal", "changes"),
    [
        (FailedBeforeMade, {"failed_on": datetime.date(2001, 5, 1)}),
        (TooManyPhotos, {"photos": [b"1", b"2", b"3", b"4"]}),
        (TextTooLong, {"seen": "x" * 2001}),
        (TextTooLong, {"contact": "x" * 2001}),
        (NotAPhoto, {"photos": [b"no photo"]}),
        (ValidationError, {"hours_in_service": 300_000}),
    ],
)
def test_what_can_not_be_is_not_taken_down(
    world: World, refusal: type[Exception], changes: dict[str, Any]
) -> None:
    assembly = bench.shipped(world)
    with pytest.raises(refusal):
        from_the_tag(assembly, **changes)
    assert not FailureReport.objects.exists()


def test_what_is_said_to_fail_tomorrow_is_not_taken_down(world: World) -> None:
    assembly = bench.shipped(world)
    with pytest.raises(FailedInTheFuture):
        from_the_tag(assembly, failed_on=today() + datetime.timedelta(days=1))
    assert not FailureReport.objects.exists()


def test_only_what_was_shipped_can_be_found_to_have_failed_in_service(world: World) -> None:
    report = from_the_tag(bench.released(world))
    with pytest.raises(NotInService):
        found(world, report)
    found(world, report, verdict=Verdict.NO_FAILURE, mode="", words="it lies here")


@pytest.mark.parametrize(
    ("refusal", "changes"),
    [
        (ModeOfNoFailure, {"mode": ""}),
        (ModeOfNoFailure, {"verdict": Verdict.NO_FAILURE}),
        (WhyMissing, {"words": " "}),
    ],
)
def test_a_finding_says_how_it_failed_and_how_that_is_known(
    world: World, refusal: type[Exception], changes: dict[str, Any]
) -> None:
    report = from_the_tag(bench.shipped(world))
    with pytest.raises(refusal):
        found(world, report, **changes)
    assert not FailureFinding.objects.exists()


def test_who_does_not_inspect_does_not_say_why_it_failed(world: World) -> None:
    report = from_the_tag(bench.shipped(world))
    for person in (world.counter, world.bench, world.auditor):
        with pytest.raises(NotAllowed):
            judge_report(actor=person, report=report, verdict=Verdict.NO_FAILURE, words="it looks well")
    with pytest.raises(NotAllowed):
        report_failure(actor=world.auditor, assembly=report.assembly, told=told())


def test_the_record_of_the_assembly_tells_the_reports_and_what_was_found(world: World) -> None:
    assembly = bench.shipped(world)
    found(world, from_the_tag(assembly, seen="end A came off"))
    from_the_tag(assembly, seen="it drips")
    first, second = record_of(assembly).failures
    assert (first.seen, first.failed, second.failed) == ("end A came off", True, False)
    assert [finding.what for finding in first.findings] == ["failed in service: end blown off"]
    assert first.findings[0].reason == "braid bare"
    assert record_of(assembly).has_failed
