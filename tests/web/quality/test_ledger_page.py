"""The ledger on the page: both times, who, what, which; narrowed, and page by page."""

from django.test import Client

from shop.ledger.models import Chain, Entry
from shop.stock.services import count_piece
from shop.web.quality.ledger.views import ENTRIES_PER_PAGE
from tests.world import World


def text_of(client: Client, query: str = "") -> str:
    page = client.get(f"/quality/ledger/{query}")
    assert page.status_code == 200
    return page.content.decode()


def test_the_newest_entries_are_shown_with_who_and_what(client: Client, world: World) -> None:
    client.force_login(world.auditor)
    text = text_of(client)
    newest = Entry.objects.order_by("-pk")[0]
    assert f"home {newest.number}" in text
    assert f"{world.counter.name} ({world.counter.number})" in text
    assert newest.says in text
    assert newest.hash in text
    assert Chain.objects.get().head in text


def test_the_ledger_is_narrowed_to_what_was_done_or_to_which(client: Client, world: World) -> None:
    client.force_login(world.auditor)
    subject = f"stock.piece:{world.reel.pk}"
    text = text_of(client, "?verb=stock.piece_moved")
    assert subject in text
    assert "catalogue.crimpchart:" not in text
    assert subject in text_of(client, f"?subject={subject}")
    assert "No entry matches." in text_of(client, "?subject=stock.piece:0")


def test_older_entries_are_a_page_further_and_none_is_left_out(client: Client, world: World) -> None:
    for n in range(2 * ENTRIES_PER_PAGE):
        count_piece(actor=world.bench, piece=world.reel, measured_mm=world.reel.length_left + n)
    client.force_login(world.auditor)
    seen: list[int] = []
    query = ""
    while True:
        page = client.get(f"/quality/ledger/{query}")
        seen += [told.entry.pk for told in page.context["told"]]
        if not page.context["older"]:
            break
        query = f"?{page.context['older']}"
    assert seen == list(Entry.objects.order_by("-pk").values_list("pk", flat=True))


def test_a_wrong_verb_finds_nothing_and_says_so(client: Client, world: World) -> None:
    client.force_login(world.auditor)
    text = text_of(client, "?verb=stock.eaten")
    assert "Select a valid choice" in text
    assert "No entry matches." in text
