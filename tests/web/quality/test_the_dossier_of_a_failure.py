"""The dossier as a page, a PDF and a folder."""

import csv
import io
import zipfile
from pathlib import Path
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from shop.trace.erasing import erase_from_report
from shop.trace.failures import WhatFailed, judge_report, report_failure
from shop.trace.models import FailureMode, FailureReport, Hurt, OfReporter, Verdict
from tests.assemblies import bench
from tests.documents.reading import text_of
from tests.tooling.photos import a_photo
from tests.world import World


@pytest.fixture
def report(client: Client, world: World, settings: Any, tmp_path: Path) -> FailureReport:
    settings.MEDIA_ROOT = tmp_path
    client.force_login(world.inspector)
    told = WhatFailed(
        hurt=Hurt.YES,
        mode=FailureMode.BLOW_OFF,
        seen="Ulla saw end A fly off",
        contact="Ulla, 555 01",
        photos=[a_photo()],
    )
    return report_failure(actor=None, assembly=bench.shipped(world), told=told)


def words(client: Client, report: FailureReport) -> str:
    answer = client.get(f"/quality/failures/{report.code}/dossier/")
    assert answer.status_code == 200
    return " ".join(answer.content.decode().split())


def paper(client: Client, report: FailureReport, **asked: str) -> str:
    answer = client.get(f"/quality/failures/{report.code}/dossier.pdf", asked)
    assert answer.headers["Content-Type"] == "application/pdf"
    return " ".join(text_of(answer.content).split())


def folder(client: Client, report: FailureReport, **asked: str) -> zipfile.ZipFile:
    answer = client.get(f"/quality/failures/{report.code}/dossier.zip", asked)
    assert answer.headers["Content-Type"] == "application/zip"
    return zipfile.ZipFile(io.BytesIO(b"".join(answer)))


def test_the_page_shows_what_is_open_known_and_shared(
    client: Client, world: World, report: FailureReport
) -> None:
    page = words(client, report)
    assert "Open questions" in page
    assert "It was not proof tested." in page
    assert page.count('class="fb-readings"') == 2
    assert "/quality/suspect/?hose_lot=" in page
    assert str(world.die_set) in page


def test_the_pdf_names_nobody_unless_it_is_asked_to(
    client: Client, world: World, report: FailureReport
) -> None:
    judge_report(
        actor=world.inspector,
        report=report,
        verdict=Verdict.FAILED,
        mode=FailureMode.KINK,
        words="Ulla bent it",
    )
    plain = paper(client, report)
    assert "Reported failure: end blown off" in plain
    assert "failed in service: kinked" in plain
    assert "Take the hose out of use" in plain
    for told in ("Ulla", world.bench.name, world.customer.name):
        assert told not in plain
    named = paper(client, report, names="yes")
    for told in ("Ulla saw end A fly off", "Ulla bent it", world.bench.name, world.customer.name):
        assert told in named


def test_the_folder_holds_the_pdf_and_a_list_for_each_thing_that_is_shared(
    client: Client, world: World, report: FailureReport
) -> None:
    other = bench.shipped(world)
    held = folder(client, report)
    assert "dossier.pdf" in held.namelist()
    assert not [name for name in held.namelist() if name.startswith("photos/")]
    summary = list(csv.DictReader(io.StringIO(held.read("siblings.csv").decode())))
    lists = [name for name in held.namelist() if name.startswith("siblings/")]
    assert len(lists) == len(summary)
    [row] = csv.DictReader(io.StringIO(held.read("siblings/01-hose-lot.csv").decode()))
    assert row == {"serial": str(other.serial), "code": other.code, "outcome": "in service"}
    assert [row["of"] for row in summary if row["shared"] == "crimped by"] == [
        f"staff number {world.bench.number}"
    ]
    readings = list(csv.DictReader(io.StringIO(held.read("readings.csv").decode())))
    assert [row["this one"] for row in readings].count("yes") == 2


def test_photos_go_with_the_names(client: Client, report: FailureReport) -> None:
    held = folder(client, report, names="yes")
    assert held.read("photos/1.jpg").startswith(b"\xff\xd8")


def test_a_photo_that_is_gone_is_said_and_the_page_stays(
    client: Client, report: FailureReport, tmp_path: Path
) -> None:
    for kept in (tmp_path / "photos").iterdir():
        kept.unlink()
    answer = client.get(f"/quality/failures/{report.code}/dossier.zip", {"names": "yes"})
    assert answer.status_code == 503
    assert "is gone or was changed" in answer.content.decode()


def test_it_asks_the_same_however_many_share_its_making(
    client: Client, world: World, report: FailureReport
) -> None:
    counts = []
    for _ in range(2):
        bench.shipped(world)
        with CaptureQueriesContext(connection) as captured:
            words(client, report)
        counts.append(len(captured))
    assert counts[0] == counts[1]


def test_what_was_erased_is_said_in_its_place(client: Client, world: World, report: FailureReport) -> None:
    erase_from_report(actor=world.owner, report=report, what=list(OfReporter), reason="asked for")
    named = paper(client, report, names="yes")
    assert "1, erased" in named
    assert "Ulla" not in named
    held = folder(client, report, names="yes")
    assert [name for name in held.namelist() if name.startswith("photos/")] == ["photos/erased.txt"]
    assert held.read("photos/erased.txt") == b"Photos: 1, erased.\n"
    assert "1, erased" in paper(client, report)
    assert not [name for name in folder(client, report).namelist() if name.startswith("photos/")]
    assert "the photos of the report were erased" in words(client, report)
