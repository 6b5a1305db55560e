"""Keeping a worksheet with an order line, its paper, and taking it off again."""

import pytest
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse

from shop.catalogue.services import save_hose
from shop.ledger.models import Entry
from shop.orders.models import AttachedWorksheet, OrderLine, WorksheetRemoval
from shop.orders.services import cancel_line
from shop.orders.worksheets import attach_worksheet, attached_to, take_worksheet_off
from shop.web.worksheets.catalogue import WORKSHEETS
from shop.web.worksheets.for_line import ANSWERED, LINE, number_of
from shop.web.worksheets.sheet import Worksheet
from tests import factories
from tests.assemblies import bench
from tests.world import World

LENGTH = {"known": "overall", "overall": "930", "size": "-8", "cut_off_a": "25", "cut_off_b": "25"}
SAYS = "Overall 930 mm, cut to 880 mm."

every_worksheet = pytest.mark.parametrize("worksheet", WORKSHEETS, ids=lambda worksheet: worksheet.slug)


@pytest.fixture
def desk(client: Client, world: World) -> Client:
    """A browser in which the counter is signed in."""
    client.force_login(world.counter)
    return client


@pytest.fixture
def line(world: World) -> OrderLine:
    return world.written_line()


def page_of(line: OrderLine) -> str:
    return reverse("web:line", args=[line.order.code, line.position])


def attach(desk: Client, line: str, slug: str = "length", **typed: str) -> HttpResponse:
    """The form below a worksheet's answer, sent."""
    return desk.post(f"/reference/worksheets/{slug}/attach/", {**(typed or LENGTH), "line": line})


def keep(world: World, line: OrderLine, says: str = SAYS, **typed: str) -> AttachedWorksheet:
    """The same without a browser, with the answer of an earlier day."""
    return attach_worksheet(
        actor=world.counter, line=line, worksheet="length", typed=(LENGTH | typed).items(), says=says
    )


def told(answer: HttpResponse) -> str:
    return answer.content.decode()


def test_the_lines_page_leads_to_the_worksheets_and_back(desk: Client, line: OrderLine) -> None:
    index = f"{reverse('web:worksheets')}?line={line.order.number}%2F1"
    assert index in told(desk.get(page_of(line)))
    listed = told(desk.get(index))
    assert page_of(line) in listed
    assert f"{reverse('web:worksheet_length')}?line={line.order.number}%2F1" in listed


@pytest.mark.parametrize("slug", ANSWERED)
def test_what_the_line_says_is_filled_in_and_questions_by_that_name_exist(
    desk: Client, line: OrderLine, slug: str
) -> None:
    [worksheet] = (known for known in WORKSHEETS if known.slug == slug)
    answer = desk.get(reverse(worksheet.page), {"line": number_of(line)})
    form = answer.context["form"]
    assert set(ANSWERED[slug]) <= form.fields.keys()
    assert not form.is_bound
    assert "errorlist" not in told(answer)
    assert all(value in told(answer) for value in (str(line), page_of(line)))
    assert str(line.hose) in told(answer)


def test_the_length_worksheet_of_a_line_comes_to_what_the_line_comes_to(
    desk: Client, line: OrderLine
) -> None:
    """What is filled in is a whole answer, once it is sent."""
    form = desk.get("/reference/worksheets/length/", {"line": number_of(line)}).context["form"]
    filled = {name: form[name].value() for name in form.fields if form[name].value()}
    assert filled["overall"] == "930 mm"
    answer = desk.get("/reference/worksheets/length/", {**filled, "line": number_of(line)})
    assert answer.context["sheet"].says == SAYS


@every_worksheet
def test_every_worksheet_can_be_kept_as_it_was_typed(
    desk: Client, line: OrderLine, worksheet: Worksheet
) -> None:
    answer = attach(desk, number_of(line), worksheet.slug.replace("_", "-"), **worksheet.example)
    assert answer.headers["Location"] == page_of(line)
    [kept] = attached_to(line)
    assert dict(kept.typed).items() <= worksheet.example.items()
    html = told(desk.get(page_of(line)))
    assert worksheet.title in html
    assert "Today" not in html
    paper = desk.get(reverse("web:attached_worksheet", args=[kept.pk]))
    assert paper.context["kept"].is_the_same
    assert desk.get(paper.context["kept"].address).context["sheet"].says == kept.says


@every_worksheet
def test_no_worksheet_asks_a_question_by_the_name_of_the_line(worksheet: Worksheet) -> None:
    assert LINE not in worksheet.form().fields


@pytest.mark.parametrize("typed", ["{0}/1", "{0}-1", " {0} / 1 ", "{0}"])
def test_the_line_is_chosen_by_the_orders_number(desk: Client, line: OrderLine, typed: str) -> None:
    sheet = told(desk.get("/reference/worksheets/length/", LENGTH))
    assert "Order and line" in sheet
    attach(desk, typed.format(line.order.number))
    [kept] = attached_to(line)
    assert kept.says == SAYS


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("", "This field is required."),
        ("boom", "is not an order and its line"),
        ("99/1", "There is no order 99 with a line."),
        ("{0}", "Say which line of order {0} it is: {0}/1, {0}/2."),
        ("{0}/7", "Say which line of order {0} it is: {0}/1, {0}/2."),
    ],
)
def test_a_line_that_is_not_there_is_said_and_what_was_typed_stays(
    desk: Client, world: World, line: OrderLine, typed: str, says: str
) -> None:
    world.written_line()
    answer = attach(desk, typed.format(line.order.number))
    assert answer.status_code == 422
    assert says.format(line.order.number) in told(answer)
    assert 'value="930"' in told(answer)
    assert not AttachedWorksheet.objects.exists()


def test_what_cannot_be_worked_out_is_not_kept(desk: Client, line: OrderLine) -> None:
    answer = attach(desk, number_of(line), **(LENGTH | {"overall": "20"}))
    assert answer.status_code == 422
    assert "comes to no answer" in told(answer)
    assert not AttachedWorksheet.objects.exists()


def test_a_cancelled_line_says_why_it_takes_none(desk: Client, world: World, line: OrderLine) -> None:
    cancel_line(actor=world.counter, line=line)
    answer = attach(desk, number_of(line))
    assert answer.status_code == 422
    assert "was cancelled" in told(answer)
    assert "Work something out" not in told(desk.get(page_of(line)))


def test_the_same_values_are_not_kept_twice(desk: Client, line: OrderLine) -> None:
    attach(desk, number_of(line))
    answer = attach(desk, number_of(line), **(LENGTH | {"overall": " 930 ", "cut": "", "between": ""}))
    assert answer.status_code == 422
    assert "has this worksheet with the same values already" in told(answer)


def test_what_is_not_asked_is_not_kept(desk: Client, line: OrderLine) -> None:
    attach(desk, number_of(line), **LENGTH, cut="5", nonsense="x")
    [kept] = attached_to(line)
    assert dict(kept.typed) == LENGTH


def test_another_answer_today_is_shown_beside_the_kept_one(
    desk: Client, world: World, line: OrderLine
) -> None:
    kept = keep(world, line, says="Overall 930 mm, cut to 879 mm.")
    for html in (
        told(desk.get(page_of(line))),
        told(desk.get(reverse("web:attached_worksheet", args=[kept.pk]))),
    ):
        assert "Overall 930 mm, cut to 879 mm." in html
        assert f"Today the same values come to:</strong> {SAYS}" in html
        assert "have changed since" in html


def test_a_part_by_another_name_leaves_the_answer_of_that_day(
    desk: Client, world: World, line: OrderLine
) -> None:
    hose = factories.HoseFactory()
    typed = {"layout": "bend", "angle": "90", "hose": str(hose)}
    attach(desk, number_of(line), "routing", **typed)
    [kept] = attached_to(line)
    hose.designation = "Renamed 14"
    save_hose(actor=world.counter, hose=hose)
    html = told(desk.get(page_of(line)))
    assert kept.says in html
    assert "Today they come to no answer" in html
    paper = told(desk.get(reverse("web:attached_worksheet", args=[kept.pk])))
    assert kept.says in paper
    assert typed["hose"] in paper


def test_a_worksheet_that_is_not_offered_any_more_is_still_told(
    desk: Client, world: World, line: OrderLine
) -> None:
    kept = attach_worksheet(
        actor=world.counter, line=line, worksheet="slide_rule", typed=[("a", "12.5")], says="It is 12.5."
    )
    for address in (page_of(line), reverse("web:attached_worksheet", args=[kept.pk])):
        html = told(desk.get(address))
        assert "It is 12.5." in html
        assert "not offered any more" in html


def test_the_paper_says_whose_it_is_and_who_attached_it_when(
    desk: Client, world: World, line: OrderLine
) -> None:
    kept = keep(world, line)
    html = told(desk.get(reverse("web:attached_worksheet", args=[kept.pk])))
    head = html.partition('class="on-paper kept"')[2].partition("</div>\n  <section")[0]
    when = f"{kept.happened_at.astimezone(world.workshop.zone_info):%Y-%m-%d %H:%M}"
    for words in (
        f"order {line.order.number}, line {line.position}",
        "their reference “boom 3”",
        f"{world.counter.name} ({world.counter.number})",
        when,
        SAYS,
        "Overall length",
    ):
        assert words in head, words
    assert "How it is worked out" in html


def test_taken_off_it_is_gone_from_the_line_and_told_on_its_paper(
    desk: Client, world: World, line: OrderLine
) -> None:
    kept = keep(world, line)
    off = reverse("web:attached_worksheet_off", args=[kept.pk])
    assert off in told(desk.get(page_of(line)))
    assert desk.post(off).headers["Location"] == page_of(line)
    assert WorksheetRemoval.objects.get().attached == kept
    assert SAYS not in told(desk.get(page_of(line))).partition("Worked out for it")[2]
    assert "taken off" in told(desk.get(reverse("web:attached_worksheet", args=[kept.pk])))
    again = desk.post(off)
    assert again.status_code == 422
    assert "was taken off" in told(again)


def test_who_writes_no_orders_reads_them_and_attaches_none(
    client: Client, world: World, line: OrderLine
) -> None:
    kept = keep(world, line)
    client.force_login(world.bench)
    html = told(client.get(page_of(line)))
    assert SAYS in html
    assert "Take it off" not in html
    worksheet = client.get("/reference/worksheets/length/", LENGTH | {"line": number_of(line)})
    assert "Attach to" not in told(worksheet)
    assert client.post(reverse("web:attached_worksheet_off", args=[kept.pk])).status_code == 403
    assert attach(client, number_of(line)).status_code == 403


def test_the_answer_while_typing_can_be_attached_as_it_stands(desk: Client, line: OrderLine) -> None:
    fragment = told(desk.get("/reference/worksheets/length/answer/", LENGTH | {"line": number_of(line)}))
    assert f"Attach to {line}" in fragment
    assert '<input type="hidden" name="overall" value="930">' in fragment
    assert "csrfmiddlewaretoken" in fragment


def test_looking_writes_nothing(desk: Client, world: World, line: OrderLine) -> None:
    kept = keep(world, line)
    entries = Entry.objects.count()
    desk.get(page_of(line))
    desk.get(reverse("web:attached_worksheet", args=[kept.pk]))
    assert Entry.objects.count() == entries


def test_the_record_of_an_assembly_lists_what_is_still_attached(client: Client, world: World) -> None:
    assembly = bench.shipped(world)
    line = assembly.run.line
    keep(world, line)
    other = keep(world, line, between="46", says="Overall 930 mm, long enough.")
    take_worksheet_off(actor=world.counter, attached=other)
    client.force_login(world.auditor)
    html = told(client.get(reverse("web:assembly", args=[assembly.code])))
    listed = html.partition("Worked out for it")[2].partition("</section>")[0]
    assert "Overall and cut length" in listed
    assert SAYS in listed
    assert "long enough" not in listed
    assert "attached a worksheet to an order line" in html
    assert "took a worksheet off an order line" in html
