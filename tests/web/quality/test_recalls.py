"""From a suspicion to a recall on the pages, its letters, and what a scanned tag then says."""

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from shop.assemblies.models import Assembly, FindingKind, Recall
from shop.assemblies.recalls import record_finding
from tests.assemblies import bench
from tests.assemblies.test_recalls import recall
from tests.documents.reading import text_of
from tests.world import World

SUSPECT = "/quality/suspect/"


def words(answer: object) -> str:
    return " ".join(answer.content.decode().split())  # type: ignore[attr-defined]  # an HttpResponse


@pytest.fixture
def browser(client: Client, world: World) -> Client:
    client.force_login(world.inspector)
    return client


def test_what_they_have_in_common_is_said_bit_by_bit(browser: Client, world: World) -> None:
    bench.shipped(world)
    other = bench.plan(world)
    said = browser.get(SUSPECT, {"link": "die_set", "which": world.die_set.number}, follow=True)
    assert f"Crimped with die set {world.die_set}." in words(said)
    assert '<span class="number">1</span>' in words(said)
    assert str(world.customer) in words(said)
    address = f"{SUSPECT}?{said.request['QUERY_STRING']}"
    more = browser.get(f"{address}&link=hose_lot&which={world.reel.lot.batch}", follow=True)
    assert f"Hose from {world.reel.lot}." in words(more)
    assert reverse("web:assembly", args=[other.code]) not in words(more)


def test_a_thing_is_scanned_or_called_by_its_number_and_an_unknown_one_is_refused(
    browser: Client, world: World
) -> None:
    scanned = browser.get(SUSPECT, {"link": "die_set", "which": world.die_set.code}, follow=True)
    assert f"Crimped with die set {world.die_set}." in words(scanned)
    wrong = words(browser.get(SUSPECT, {"link": "die_set", "which": "dies of tomorrow"}))
    assert "No die set is called dies of tomorrow." in wrong
    assert 'value="dies of tomorrow"' in wrong


def test_a_person_is_called_so(browser: Client, world: World) -> None:
    assert "crimped by … (person)" in words(browser.get(SUSPECT))
    unknown = words(browser.get(SUSPECT, {"link": "crimped_by", "which": "nobody"}))
    assert "No person is called nobody." in unknown


def test_it_is_narrowed_by_time_and_by_how_near_to_a_limit(browser: Client, world: World) -> None:
    near, _ = bench.crimped(world, ("24.38", "24.38", "24.38", "24.38"))
    bench.crimped(world)
    asked = {"die_set": world.die_set.pk, "below_upper": "0.02", "crimped_since": "2020-01-01T08:00"}
    page = browser.get("/quality/suspect/narrow/", asked, follow=True)
    assert "within 0.02 mm of its upper limit" in words(page)
    assert "Crimped since 2020-01-01 08:00." in words(page)
    assert [row.record for row in page.context["table"].rows] == [near]
    wrong = browser.get("/quality/suspect/narrow/", asked | {"crimped_since": "yesterday"})
    assert "Enter a valid date/time." in words(wrong)


def test_what_is_suspected_is_recalled_with_a_reason(browser: Client, world: World, client: Client) -> None:
    assembly = bench.shipped(world)
    sent = {"die_set": world.die_set.pk, "reason": ""}
    refused = browser.post("/quality/suspect/recall/", sent)
    assert "This field is required" in words(refused)
    assert not Recall.objects.exists()
    opened = browser.post(
        "/quality/suspect/recall/", sent | {"reason": "One blew off at the quay."}, follow=True
    )
    assert "Recall 1 is open: the tags of its 1 members say DO NOT USE" in words(opened)
    client.logout()
    tag = words(client.get(f"/T/{assembly.code}/", follow=True))
    assert tag.index("DO NOT USE") < tag.index("Rating")
    assert "It is recalled: it may have a weakness that can hurt you." in tag


def test_whoever_may_not_recall_sees_whom_it_concerns_but_no_button(world: World, client: Client) -> None:
    bench.shipped(world)
    client.force_login(world.auditor)
    page = words(client.get(SUSPECT, {"die_set": world.die_set.pk}))
    assert str(world.customer) in page
    assert "Recall 1 assembly" not in page
    assert client.post("/quality/suspect/recall/", {"reason": "x"}).status_code == 403


def test_findings_are_recorded_of_those_that_are_ticked(browser: Client, world: World) -> None:
    one, other = bench.shipped(world), bench.shipped(world)
    recall(world, one, other)
    done = browser.post(
        "/quality/recalls/1/found/",
        {"member": [one.pk], "kind": "isolated", "words": "in our cage"},
        follow=True,
    )
    assert "1 taken out of use." in words(done)
    assert '50</span> <span class="unit">%</span>' in words(done)
    nobody = browser.post("/quality/recalls/1/found/", {"kind": "found", "words": "on a lorry"})
    assert "doesn&#x27;t have anything that was chosen" in words(nobody)
    assert 'value="on a lorry"' in words(nobody)
    record = words(browser.get(reverse("web:assembly", args=[one.code])))
    assert "in our cage" in record


def test_an_answer_is_kept_and_shown(browser: Client, world: World, client: Client) -> None:
    recall(world, bench.shipped(world))
    client.force_login(world.counter)
    address = f"/quality/recalls/1/customers/{world.customer.pk}/answer/"
    kept = client.post(address, {"answer": "Both are in the skip, says Jo."}, follow=True)
    assert "Both are in the skip, says Jo." in words(kept)


def test_what_is_found_since_is_shown_and_taken_in(browser: Client, world: World) -> None:
    bench.crimped(world)
    browser.post("/quality/suspect/recall/", {"die_set": world.die_set.pk, "reason": "worn"})
    later, _ = bench.crimped(world)
    assert "1 more found since" in words(browser.get("/quality/recalls/1/"))
    browser.post("/quality/recalls/1/more/")
    assert later.recalls.exists()
    assert "found since" not in words(browser.get("/quality/recalls/1/"))
    again = browser.post("/quality/recalls/1/more/")
    assert "All of these are in recall 1 already." in words(again)


def test_an_owner_closes_it(world: World, client: Client) -> None:
    recall(world, bench.shipped(world))
    client.force_login(world.owner)
    closed = client.post("/quality/recalls/1/close/", {"reason": "all are back"}, follow=True)
    assert "0 of 1 made safe" in words(closed)
    assert "closed" in words(client.get("/quality/recalls/"))


def test_the_letter_says_which_tags_to_look_for_and_leaves_out_what_is_here_or_was_found_right(
    browser: Client, world: World
) -> None:
    wanted, right, here = bench.shipped(world), bench.shipped(world), bench.released(world)
    made = recall(world, wanted, right, here)
    record_finding(
        actor=world.inspector, recall=made, assemblies=[right], kind=FindingKind.RIGHT, words="measured"
    )
    answer = browser.get(f"/quality/recalls/1/customers/{world.customer.pk}/letter/")
    letter = " ".join(text_of(answer.content).split())
    assert letter.index("Do not use these hose assemblies") < letter.index("Look for these tags")
    assert wanted.printed_code in letter
    assert right.printed_code not in letter
    assert here.printed_code not in letter
    assert made.reason in letter
    assert world.customer.name in letter
    for caution in ("let the pressure off", "go to a doctor at once", "licensed practice govern"):
        assert caution in letter


def test_the_pages_take_as_many_queries_for_many_as_for_few(browser: Client, world: World) -> None:
    pieces = [bench.crimped(world)[0] for _ in range(6)]
    recall(world, *pieces[:2])
    recall(world, *pieces)
    counts = []
    for address in ("/quality/recalls/1/", "/quality/recalls/2/"):
        with CaptureQueriesContext(connection) as asked:
            browser.get(address)
        counts.append(len(asked))
    assert counts[0] == counts[1]


def test_the_list_of_what_is_open_counts_recalls(browser: Client, world: World) -> None:
    recall(world, bench.plan(world))
    assert "Open recalls" in words(browser.get("/quality/"))
    assert Assembly.objects.count() == 1
