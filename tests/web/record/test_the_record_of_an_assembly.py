"""The staff's page of one assembly, and what happens to it after the bench."""

import datetime
from collections.abc import Callable
from pathlib import Path

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from shop.assemblies.making import decide
from shop.assemblies.models import Assembly, DecisionKind, State
from shop.documents import services
from shop.documents.keeping import kept_bytes
from shop.documents.models import Paper
from shop.documents.refusals import PdfNotInstalled
from shop.documents.services import print_tag
from shop.ledger.models import Entry
from shop.ledger.services import erase_private
from shop.policy.services import today
from shop.trace.failures import WhatFailed, judge_report, report_failure
from shop.trace.models import FailureMode, Hurt, Verdict
from shop.web.record import page as record_page
from tests.assemblies import bench
from tests.assemblies.test_recalls import recall
from tests.world import World

TOO_SMALL = ("23.9", "23.9", "23.9", "23.9")


def inspected(world: World) -> Assembly:
    assembly = bench.made(world)
    bench.look_over(world, assembly)
    return assembly


def scrapped(world: World) -> Assembly:
    assembly, _ = bench.crimped(world, TOO_SMALL)
    decide(actor=world.bench, assembly=assembly, kind=DecisionKind.SCRAP, reason="too small")
    return assembly


def page(client: Client, assembly: Assembly) -> str:
    answer = client.get(f"/assembly/{assembly.code}/")
    assert answer.status_code == 200
    return answer.content.decode()


def post(client: Client, assembly: Assembly, act: str, **data: object) -> tuple[int, str]:
    answer = client.post(f"/assembly/{assembly.code}/{act}/", data, follow=True)
    return answer.status_code, answer.content.decode()


@pytest.mark.parametrize(
    "make", [bench.plan, bench.ready_to_crimp, bench.made, inspected, bench.tagged, bench.shipped, scrapped]
)
def test_it_opens_at_every_stage(client: Client, world: World, make: Callable[[World], Assembly]) -> None:
    client.force_login(world.auditor)
    html = page(client, make(world))
    assert "fb-assembly" in html
    assert world.customer.name in html


def test_it_tells_the_whole_record_of_a_shipped_assembly(client: Client, world: World) -> None:
    client.force_login(world.auditor)
    html = page(client, bench.shipped(world))
    for words in (
        "275 bar (3988 psi)",
        "930 mm",
        "880 mm",  # cut length: 930 - 25 - 25
        world.reel.printed_code,
        "T-771",
        world.fitting_lot.printed_code,
        world.ferrule_lot.printed_code,
        str(world.die_set),
        str(world.stop_part),
        str(world.crimper),
        "1. pusher, plain, chamfer to the ram",
        "caliper 1",
        "(C-1)",
        "24.19 mm",
        f"{world.bench.name} ({world.bench.number})",
        f"{world.inspector.name} ({world.inspector.number})",
        f"{world.counter.name} ({world.counter.number})",
        str(world.chart_issue),
        "policy 1",
        "shipped an assembly",
        "The layline runs straight",
        "fb-judgement",
    ):
        assert words in html, words
    for entry in Entry.objects.filter(verb__startswith="assemblies."):
        assert entry.hash[:12] in html


def test_it_takes_as_many_queries_for_much_as_for_little(client: Client, world: World) -> None:
    client.force_login(world.auditor)
    counts = []
    for assembly in (bench.shipped(world), bench.shipped(world)):
        with CaptureQueriesContext(connection) as captured:
            page(client, assembly)
        counts.append(len(captured))
    # Four of them ask what was not independently checked (rule 8): chart, crimp, correction, inspection; one
    # what has failed in service, and one the keys of set-ups, without which PostgreSQL would read them all.
    assert counts[0] == counts[1] <= 43


def test_what_was_not_independently_checked_says_so(client: Client, world: World) -> None:
    bench.choose(world, needs_second_person=False)
    assembly = bench.made(world)
    bench.look_over(world, assembly, actor=world.owner)
    client.force_login(world.auditor)
    assert "Not independently checked" not in page(client, assembly)
    other = bench.plan(world)
    bench.cut(world, other)
    for end in ("A", "B"):
        bench.tool_up(world, other, bench.End(end), actor=world.inspector)
        crimp = bench.crimp(world, other, bench.End(end), actor=world.inspector)
        bench.measure(world, crimp, actor=world.inspector)
    bench.look_over(world, other)
    assert "Not independently checked" in page(client, other)


def test_the_next_thing_to_do_leads_to_the_bench(client: Client, world: World) -> None:
    client.force_login(world.bench)
    assembly = bench.plan(world)
    html = page(client, assembly)
    assert f'class="button next" href="/bench/{assembly.code}/"' in html
    assert html.count('class="next"') + html.count('class="button next"') == 1


def test_an_inspector_makes_the_tag_and_gets_the_kept_bytes(client: Client, world: World) -> None:
    assembly = inspected(world)
    client.force_login(world.inspector)
    assert "Make the tag" in page(client, assembly)
    status, html = post(client, assembly, "tag", prints_seen=0)
    assert status == 200
    assert "is ready to print" in html
    answer = client.get(f"/assembly/{assembly.code}/tag.pdf")
    assert answer.headers["Content-Type"] == "application/pdf"
    assert answer.content == kept_bytes(Paper.objects.get())


def test_a_second_tap_does_not_print_a_second_tag(client: Client, world: World) -> None:
    assembly = inspected(world)
    client.force_login(world.inspector)
    post(client, assembly, "tag", prints_seen=0)
    status, html = post(client, assembly, "tag", prints_seen=0)
    assert status == 422
    assert "Somebody else has printed a tag" in html
    assert assembly.tags.count() == 1


def test_a_reprint_asks_why_and_keeps_what_was_typed(client: Client, world: World) -> None:
    assembly = inspected(world)
    client.force_login(world.inspector)
    post(client, assembly, "tag", prints_seen=0)
    assert "Why is another tag needed?" in page(client, assembly)
    status, html = post(client, assembly, "tag", prints_seen=1, reason="")
    assert status == 422
    assert "Say why it is needed" in html
    status, html = post(client, assembly, "tag", prints_seen=1, reason="torn off")
    assert status == 200
    assert "Tag 2" in html
    assert Paper.objects.count() == 2


def test_without_what_pdf_needs_the_page_says_what_to_install(
    client: Client, world: World, monkeypatch: pytest.MonkeyPatch
) -> None:
    def missing() -> None:
        raise PdfNotInstalled(missing="cannot load library 'libpango-1.0-0'")

    assembly = inspected(world)
    monkeypatch.setattr(services, "require_pdf", missing)
    client.force_login(world.inspector)
    status, html = post(client, assembly, "tag", prints_seen=0)
    assert status == 503
    assert "apt-get install libpango-1.0-0" in html
    assert not assembly.tags.exists()


def test_there_is_no_pdf_before_the_tag_was_printed(client: Client, world: World) -> None:
    client.force_login(world.inspector)
    answer = client.get(f"/assembly/{bench.made(world).code}/tag.pdf")
    assert answer.status_code == 404
    assert "There is no tag for" in answer.content.decode()


def test_a_kept_paper_that_was_changed_is_not_shown(client: Client, world: World, data_folder: Path) -> None:
    assembly = inspected(world)
    client.force_login(world.inspector)
    post(client, assembly, "tag", prints_seen=0)
    [file] = (data_folder / "files" / "papers").glob("*.pdf")
    file.write_bytes(b"%PDF-1.7 another one")
    answer = client.get(f"/assembly/{assembly.code}/tag.pdf")
    assert answer.status_code == 500
    assert "is not what was kept" in answer.content.decode()


def test_the_counter_ships_and_takes_out_of_service(client: Client, world: World) -> None:
    assembly = bench.released(world)
    client.force_login(world.counter)
    assert "Ship it" in page(client, assembly)
    status, html = post(client, assembly, "ship")
    assert (status, "is shipped" in html) == (200, True)
    status, html = post(client, assembly, "retire", reason="")
    assert status == 422
    status, html = post(client, assembly, "retire", reason="cover worn through")
    assert "is out of service" in html
    assert "cover worn through" in html
    assembly.refresh_from_db()
    assert assembly.state == State.RETIRED


def test_shipping_what_is_not_released_is_refused_with_a_sentence(client: Client, world: World) -> None:
    assembly = bench.tagged(world)
    client.force_login(world.counter)
    status, html = post(client, assembly, "ship")
    assert status == 422
    assert "can&#x27;t be shipped now" in html


def test_what_was_scrapped_is_replaced_once(client: Client, world: World) -> None:
    assembly = scrapped(world)
    client.force_login(world.bench)
    assert "Plan its replacement" in page(client, assembly)
    status, html = post(client, assembly, "replace")
    replacement = Assembly.objects.get(replaces=assembly)
    assert f"Assembly {replacement.serial} is planned" in html
    assert "Made in place of" in html
    status, html = post(client, assembly, "replace")
    assert status == 422
    assert "Plan its replacement" not in page(client, assembly)


def test_another_tag_is_offered_of_nothing_that_is_recalled_or_has_failed(
    client: Client, world: World
) -> None:
    sound, recalled, failed = (bench.shipped(world) for _ in range(3))
    for assembly in (sound, recalled, failed):
        print_tag(actor=world.inspector, assembly=assembly, prints_seen=0)
    recall(world, recalled)
    report = report_failure(actor=None, assembly=failed, told=WhatFailed(hurt=Hurt.NO))
    judge_report(
        actor=world.inspector, report=report, verdict=Verdict.FAILED, mode=FailureMode.KINK, words="bent"
    )
    client.force_login(world.inspector)
    assert ["Print it again" in page(client, assembly) for assembly in (sound, recalled, failed)] == [
        True,
        False,
        False,
    ]
    status, html = post(client, failed, "tag", reason="torn off on site", prints_seen=1)
    assert status == 422
    assert "was found to have failed in service" in html
    assert failed.tags.count() == 1


@pytest.mark.parametrize("act", ["tag", "ship", "retire", "replace"])
def test_who_may_only_read_changes_nothing(client: Client, world: World, act: str) -> None:
    assembly = bench.released(world)
    client.force_login(world.auditor)
    before = Entry.objects.count()
    status, _ = post(client, assembly, act, reason="because", prints_seen=0)
    assert status == 403
    assert Entry.objects.count() == before
    html = page(client, assembly)
    for label in ("Make the tag", "Ship it", "Take out of service", "Print it again"):
        assert label not in html


def test_strangers_are_asked_to_sign_in(client: Client, world: World) -> None:
    assembly = bench.plan(world)
    for path in ("", "tag.pdf"):
        answer = client.get(f"/assembly/{assembly.code}/{path}")
        assert answer.headers["Location"].startswith("/sign-in/")


def test_what_a_person_typed_is_shown_as_text(client: Client, world: World) -> None:
    assembly, _ = bench.crimped(world, TOO_SMALL)
    decide(actor=world.bench, assembly=assembly, kind=DecisionKind.SCRAP, reason="<b>dies</b> mixed")
    client.force_login(world.auditor)
    html = page(client, assembly)
    assert "&lt;b&gt;dies&lt;/b&gt; mixed" in html


def test_it_says_by_when_it_is_to_be_replaced_and_warns_after_that_day(
    client: Client, world: World, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench.choose(world, service_months=72)
    assembly = bench.shipped(world)
    client.force_login(world.auditor)
    html = page(client, assembly)
    assert "To be replaced by</dt>" in html
    assert "72 months from the month it was made (the workshop&#x27;s policy 2)" in html
    assert "Past its day" not in html
    monkeypatch.setattr(record_page, "today", lambda: today() + datetime.timedelta(days=7 * 366))
    assert "Past its day to be replaced" in page(client, assembly)


def test_what_the_inspector_found_wrong_is_told_until_it_is_erased(client: Client, world: World) -> None:
    assembly = bench.made(world)
    bench.look_over(world, assembly, faults=["Nick in the cover"])
    client.force_login(world.auditor)
    assert "<li>Nick in the cover</li>" in page(client, assembly)
    erase_private(actor=world.owner, subject=assembly)
    html = page(client, assembly)
    assert "Nick in the cover" not in html
    assert "<li>A fault was noted.</li><li>erased</li>" in html
