"""What was reported is read, looked into and told to whoever scans the tag."""

from pathlib import Path
from typing import Any

import pytest
from django.db import connection
from django.http import HttpResponse
from django.test import Client
from django.test.utils import CaptureQueriesContext

from shop.assemblies.models import Assembly
from shop.trace.failures import WhatFailed, judge_report, report_failure
from shop.trace.models import FailureMode, FailureReport, Hurt, Verdict
from tests.assemblies import bench
from tests.tooling.photos import a_photo
from tests.world import World

LIST = "/quality/failures/"


@pytest.fixture
def browser(client: Client, world: World, settings: Any, tmp_path: Path) -> Client:
    settings.MEDIA_ROOT = tmp_path
    client.force_login(world.inspector)
    return client


def words(answer: HttpResponse) -> str:
    return " ".join(answer.content.decode().split())


def reported(assembly: Assembly, **changes: Any) -> FailureReport:
    told = WhatFailed(**{"hurt": Hurt.NO, "mode": FailureMode.PINHOLE, **changes})
    return report_failure(actor=None, assembly=assembly, told=told)


def test_a_report_is_seen_at_once(browser: Client, world: World) -> None:
    report = reported(bench.shipped(world), hurt=Hurt.YES)
    assert "Failures that nobody has looked at" in words(browser.get("/quality/"))
    page = words(browser.get(LIST))
    assert report.printed_code in page
    assert "nobody has looked yet" in page
    assert "YES" in page


def test_the_list_is_narrowed_by_how_it_stands_and_how_it_failed(browser: Client, world: World) -> None:
    first, second = (reported(bench.shipped(world)) for _ in range(2))
    judge_report(
        actor=world.inspector, report=second, verdict=Verdict.FAILED, mode=FailureMode.KINK, words="bent"
    )

    def listed(**asked: str) -> set[str]:
        page = words(browser.get(LIST, asked))
        return {report.code for report in (first, second) if report.printed_code in page}

    assert listed() == {first.code, second.code}
    assert listed(stands="open") == {first.code}
    assert listed(stands="failed") == {second.code}
    assert listed(stands="no_failure") == set()
    assert listed(mode="pinhole") == {first.code}
    assert listed(mode="kink") == {second.code}
    assert listed(hurt="yes") == set()
    assert listed(q=first.code) == {first.code}


def test_the_list_asks_the_same_for_few_and_for_many(browser: Client, world: World) -> None:
    counts = []
    for _ in range(2):
        for _ in range(2):
            report = reported(bench.shipped(world))
            judge_report(actor=world.inspector, report=report, verdict=Verdict.NO_FAILURE, words="none")
        with CaptureQueriesContext(connection) as captured:
            browser.get(LIST)
        counts.append(len(captured))
    assert counts[0] == counts[1]


def test_who_looked_at_it_says_what_it_was(browser: Client, world: World) -> None:
    assembly = bench.shipped(world)
    report = reported(assembly, seen="oil under the <boom>", contact="the yard", photos=[a_photo()])
    page = words(browser.get(f"{LIST}{report.code}/"))
    assert "oil under the &lt;boom&gt;" in page
    assert "the yard" in page
    photo = browser.get(f"{LIST}{report.code}/photos/1/")
    assert photo.headers["Content-Type"] == "image/jpeg"
    assert browser.get(f"{LIST}{report.code}/photos/2/").status_code == 404
    sent = {"verdict": "failed", "mode": "abrasion", "words": "rubbed on the bracket"}
    done = browser.post(f"{LIST}{report.code}/found/", sent, follow=True)
    assert "Failed in service: worn through by rubbing" in words(done)
    assert "rubbed on the bracket" in words(browser.get(f"/assembly/{assembly.code}/"))
    assert "DO NOT USE" in words(browser.get(f"/T/{assembly.code}"))


def test_a_finding_that_is_refused_keeps_what_was_typed(browser: Client, world: World) -> None:
    report = reported(bench.shipped(world))
    sent = {"verdict": "no_failure", "mode": "kink", "words": "bent by hand"}
    answer = browser.post(f"{LIST}{report.code}/found/", sent)
    assert answer.status_code == 422
    assert "Either it failed, and then somehow, or it did not." in words(answer)
    assert "bent by hand" in words(answer)


def test_what_is_told_to_the_workshop_is_taken_down_on_the_record(browser: Client, world: World) -> None:
    assembly = bench.shipped(world)
    assert f"/assembly/{assembly.code}/failed/" in words(browser.get(f"/assembly/{assembly.code}/"))
    page = words(browser.get(f"/assembly/{assembly.code}/failed/"))
    assert page.index("go to a hospital at once") < page.index("Is somebody hurt?")
    sent = {"hurt": "unknown", "mode": "twist", "seen": "told by the driver"}
    done = browser.post(f"/assembly/{assembly.code}/failed/", sent, follow=True)
    report = FailureReport.objects.get()
    assert report.printed_code in words(done)
    assert report.actor_number == world.inspector.number


def test_a_reference_that_is_read_out_leads_to_the_report(browser: Client, world: World) -> None:
    report = reported(bench.shipped(world))
    answer = browser.get("/scan/", {"code": report.printed_code.lower()})
    assert answer.headers["Location"] == f"{LIST}{report.code}/"


def test_who_does_not_inspect_is_not_asked_what_it_was(client: Client, world: World) -> None:
    report = reported(bench.shipped(world))
    client.force_login(world.counter)
    assert "What was it?" not in words(client.get(f"{LIST}{report.code}/"))
    assert client.post(f"{LIST}{report.code}/found/", {}).status_code == 403
