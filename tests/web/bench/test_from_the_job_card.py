"""A run that was made on paper: its card printed, and written down afterwards on one page."""

import datetime
from typing import Any
from uuid import uuid4

import pytest
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from shop.assemblies.models import Assembly, Crimp, Cut, End, Inspection, Measurement, Run, State
from shop.assemblies.planning import start_line
from shop.assemblies.points import At, Job, asked_of
from shop.ledger.models import Entry
from shop.policy.services import policy_in_force, today
from tests.assemblies import bench
from tests.documents.reading import pages_of, text_of
from tests.world import World

GOOD = "24.19 24.20 24.21 24.20"


@pytest.fixture
def run(world: World) -> Run:
    """Three assemblies, planned; the first and the last crimp of each end are measured."""
    bench.choose(world, measured_every=4)
    return start_line(actor=world.counter, line=world.written_line(quantity=3))[0].run


@pytest.fixture
def serials(run: Run) -> list[int]:
    return list(run.assemblies.values_list("serial", flat=True))


@pytest.fixture
def desk(client: Client, world: World, run: Run) -> Client:
    client.force_login(world.inspector)
    return client


def now_at(world: World) -> datetime.datetime:
    return timezone.now().astimezone(world.workshop.zone_info)


def asked(at: At, end: End | None = None) -> list[str]:
    job = Job(Assembly.objects.all()[0], policy_in_force(), end)
    return [point.code for point in asked_of(at, job)]


def head(world: World, **changes: str) -> dict[str, Any]:
    moment = now_at(world)
    return {"nonce": str(uuid4()), "by": world.bench.pk, "day": f"{moment:%Y-%m-%d}", "count": "3"} | changes


def cut(world: World) -> dict[str, Any]:
    at = f"{now_at(world):%H:%M}"
    return {"cut-at": at, "cut-piece": world.reel.code, "cut-seen": asked(At.CUT)}


def end(world: World, name: str, serials: list[int], **read: str) -> dict[str, Any]:
    values: dict[str, Any] = {
        "at": f"{now_at(world):%H:%M}",
        "crimper": world.crimper.code,
        "die_set": world.die_set.code,
        "stop_part": world.stop_part.code,
        "parts_ticked": "on",
        "gauge": world.caliper.code,
        "fitting_lot": world.fitting_lot.code,
        "ferrule_lot": world.ferrule_lot.code,
        "seen": asked(At.CRIMP, End(name)),
        f"read_{serials[0]}": GOOD,
        f"read_{serials[-1]}": GOOD,
    }
    return {f"end_{name}-{field}": value for field, value in (values | read).items()}


def look(world: World, serials: list[int]) -> dict[str, Any]:
    lengths = {f"inspect-length_{serial}": "932" for serial in serials}
    at = f"{now_at(world):%H:%M}"
    return lengths | {
        "inspect-at": at,
        "inspect-by": world.inspector.pk,
        "inspect-gauge": world.tape.code,
        "inspect-seen": asked(At.INSPECT),
    }


def send(desk: Client, run: Run, *parts: dict[str, Any], **more: Any) -> HttpResponse:
    sent: dict[str, Any] = {}
    for part in parts:
        sent |= part
    return desk.post(f"/bench/runs/{run.pk}/job-card/", sent | more, follow=True)


def test_a_whole_card_is_written_down_at_once(
    desk: Client, world: World, run: Run, serials: list[int]
) -> None:
    said = send(
        desk,
        run,
        head(world),
        cut(world),
        end(world, "A", serials),
        end(world, "B", serials),
        look(world, serials),
    )
    assert "Written down from the card: the cut, end A, end B, the inspection of 3." in said.content.decode()
    assert set(Assembly.objects.values_list("state", flat=True)) == {State.INSPECTED}
    assert (Cut.objects.count(), Crimp.objects.count(), Measurement.objects.count()) == (3, 6, 4)
    by_whom = {(cut.actor_number, cut.entry.actor_number) for cut in Cut.objects.select_related("entry")}
    assert by_whom == {(world.bench.number, world.inspector.number)}
    looked = Inspection.objects.select_related("entry")[0]
    assert (looked.actor_number, looked.independently_checked) == (world.inspector.number, True)


def test_the_record_says_who_wrote_it_down(desk: Client, world: World, run: Run, serials: list[int]) -> None:
    send(desk, run, head(world), cut(world))
    page = desk.get(reverse("web:assembly", args=[run.assemblies.all()[0].code])).content.decode()
    assert f"by {world.inspector.name} ({world.inspector.number})" in page
    ledger = desk.get("/quality/ledger/").content.decode()
    assert f"for what {world.bench.name} ({world.bench.number}) did" in ledger


def test_a_part_that_is_left_empty_is_not_written_down(
    desk: Client, world: World, run: Run, serials: list[int]
) -> None:
    send(desk, run, head(world), cut(world), end(world, "A", serials))
    assert set(Assembly.objects.values_list("state", flat=True)) == {State.CRIMPED_A}
    page = desk.get(f"/bench/runs/{run.pk}/job-card/").content.decode()
    assert "End B" in page
    assert "End A</legend>" not in page


def test_an_empty_card_is_sent_back(desk: Client, world: World, run: Run) -> None:
    answer = send(desk, run, head(world))
    assert answer.status_code == 422
    assert "Fill in one of the parts." in answer.content.decode()


def test_a_wrong_bin_is_refused_and_nothing_is_written_and_nothing_lost(
    desk: Client, world: World, run: Run, serials: list[int]
) -> None:
    before = Entry.objects.count()
    wrong = {"end_A-fitting_lot": world.elbow_lot.code}
    answer = send(desk, run, head(world), cut(world), end(world, "A", serials), wrong)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "End A takes" in page or "end A" in page
    assert f'value="{GOOD}"' in page
    assert Entry.objects.count() == before


def test_a_piece_that_had_to_be_measured_and_was_not_is_said(
    desk: Client, world: World, run: Run, serials: list[int]
) -> None:
    unread = {f"end_A-read_{serials[0]}": ""}
    answer = send(desk, run, head(world), cut(world), end(world, "A", serials), unread)
    assert answer.status_code == 422
    assert "the first piece" in answer.content.decode()
    assert not Crimp.objects.exists()


def test_the_number_of_readings_is_the_charts(
    desk: Client, world: World, run: Run, serials: list[int]
) -> None:
    short = {f"end_A-read_{serials[0]}": "24.19 24.20"}
    answer = send(desk, run, head(world), cut(world), end(world, "A", serials), short)
    assert "The chart asks for 4 readings" in answer.content.decode()


def test_a_slipped_digit_is_asked_about(desk: Client, world: World, run: Run, serials: list[int]) -> None:
    slipped = {f"end_A-read_{serials[0]}": "24.19 24.20 42.21 24.20"}
    card = (head(world), cut(world), end(world, "A", serials), slipped)
    answer = send(desk, run, *card)
    assert 'value="implausible_reading"' in answer.content.decode()
    assert not Measurement.objects.exists()


def test_what_has_not_come_yet_is_refused(desk: Client, world: World, run: Run) -> None:
    tomorrow = f"{now_at(world) + datetime.timedelta(days=1):%Y-%m-%d}"
    answer = send(desk, run, head(world, day=tomorrow), cut(world))
    assert "has not come yet" in answer.content.decode()


def test_of_the_hour_that_comes_twice_the_later_is_meant_once_it_has_come(
    desk: Client, world: World, monkeypatch: pytest.MonkeyPatch
) -> None:
    """In Lisbon clocks go back to one o'clock at 01:00 UTC of October's last Sunday."""
    october = datetime.date(today().year + 1, 10, 31)
    sunday = october - datetime.timedelta(days=october.isoweekday() % 7)
    for hour in (0, 1):
        moment = datetime.datetime.combine(sunday, datetime.time(hour, 20), datetime.UTC)
        monkeypatch.setattr(timezone, "now", lambda moment=moment: moment)
        assert f"{now_at(world):%H:%M}" == "01:20"
        run = start_line(actor=world.counter, line=world.written_line())[0].run
        send(desk, run, head(world, count="1"), cut(world))
        assert Cut.objects.get(assembly__run=run).happened_at == moment


def test_a_card_that_is_sent_twice_is_written_down_once(
    desk: Client, world: World, run: Run, serials: list[int]
) -> None:
    card = (head(world), cut(world), end(world, "A", serials))
    send(desk, run, *card)
    before = Entry.objects.count()
    assert "That was recorded already." in send(desk, run, *card).content.decode()
    assert Entry.objects.count() == before


def test_who_may_not_inspect_is_not_asked_for_the_inspection(client: Client, world: World, run: Run) -> None:
    client.force_login(world.bench)
    page = client.get(f"/bench/runs/{run.pk}/job-card/").content.decode()
    assert "End B" in page
    assert "Inspected</legend>" not in page


def test_the_printed_card_says_what_to_do_and_leaves_room(
    desk: Client, world: World, run: Run, serials: list[int]
) -> None:
    answer = desk.get(f"/bench/runs/{run.pk}/job-card/pdf/")
    assert answer["Content-Type"] == "application/pdf"
    said = text_of(answer.content)
    for words in ("Job card: 3", "Cut to", "880 mm", "24.20 mm", "End B", "Initials", "stop and ask"):
        assert words in said
    rows = said.splitlines()  # the readings of each piece stand in a row that only says which it is
    assert all(str(serial) in rows for serial in serials)


def test_a_run_that_is_made_has_no_card(desk: Client, world: World, run: Run, serials: list[int]) -> None:
    send(
        desk,
        run,
        head(world),
        cut(world),
        end(world, "A", serials),
        end(world, "B", serials),
        look(world, serials),
    )
    page = desk.get(f"/bench/runs/{run.pk}/job-card/", follow=True).content.decode()
    assert "Nothing of this run can be written down from a card now." in page


def test_a_card_of_as_many_pieces_as_one_takes_stays_on_two_sheets(desk: Client, world: World) -> None:
    [first, *_] = start_line(actor=world.counter, line=world.written_line(quantity=30))
    content = desk.get(f"/bench/runs/{first.run_id}/job-card/pdf/").content
    assert "Job card: 25" in text_of(content)
    assert len(pages_of(content)) <= 2


def test_a_pin_has_its_place_on_the_card_where_the_policy_asks_for_it(
    desk: Client, world: World, run: Run
) -> None:
    assert "Pin, mm" not in text_of(desk.get(f"/bench/runs/{run.pk}/job-card/pdf/").content)
    bench.choose(world, bore_pin=True)
    assert "Pin, mm" in text_of(desk.get(f"/bench/runs/{run.pk}/job-card/pdf/").content)


def test_what_may_be_left_empty_is_not_marked_as_needed(desk: Client, run: Run) -> None:
    form = desk.get(f"/bench/runs/{run.pk}/job-card/").content.decode().partition("<main")[2]
    assert form.partition("</main>")[0].count("(needed)") == len(("who", "day", "count"))
