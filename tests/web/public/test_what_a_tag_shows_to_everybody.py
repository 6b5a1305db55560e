"""The page behind a tag: state first, then what the hose is, and nothing that is nobody's business."""

import datetime
from collections.abc import Callable

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from shop.assemblies.making import decide
from shop.assemblies.models import Assembly, DecisionKind
from shop.assemblies.planning import plan_replacement
from shop.assemblies.release import retire
from shop.engineering.codes import ALPHABET, new_code
from shop.ledger.models import Entry
from shop.people.models import User
from tests.assemblies import bench
from tests.world import World

HELD = ("24.38", "24.38", "24.38", "24.38")
TOO_SMALL = ("23.9", "23.9", "23.9", "23.9")


def held(world: World) -> Assembly:
    bench.choose(world, decision_rule="guarded_u")
    return bench.crimped(world, HELD)[0]


def failed(world: World) -> Assembly:
    return bench.crimped(world, TOO_SMALL)[0]


def scrapped(world: World) -> Assembly:
    assembly = failed(world)
    decide(actor=world.bench, assembly=assembly, kind=DecisionKind.SCRAP, reason="Ulla Brandt mixed the dies")
    return assembly


def retired(world: World) -> Assembly:
    assembly = bench.shipped(world)
    retire(actor=world.counter, assembly=assembly, reason="Harbour Supply asked for it back")
    return assembly


STATES: dict[str, tuple[Callable[[World], Assembly], str]] = {
    "planned": (bench.plan, "It has not been released."),
    "made": (bench.made, "It has not been released."),
    "tagged": (bench.tagged, "It has not been released."),
    "held": (held, "It is held: nobody has proven that it is right."),
    "failed": (failed, "It was found not to be right."),
    "scrapped": (scrapped, "It was scrapped."),
    "retired": (retired, "It was taken out of service."),
}


def page(client: Client, code: str, status: int = 200) -> str:
    answer = client.get(f"/T/{code}")
    assert answer.status_code == status
    return answer.content.decode()


@pytest.mark.parametrize("state", STATES)
def test_it_leads_with_do_not_use_and_why(client: Client, world: World, state: str) -> None:
    make, why = STATES[state]
    html = page(client, make(world).code)
    assert "<title>DO NOT USE" in html
    assert html.index("DO NOT USE</span></h1>") < html.index("What it is")
    assert why in html


@pytest.mark.parametrize("make", [bench.released, bench.shipped])
def test_it_leads_with_released(client: Client, world: World, make: Callable[[World], Assembly]) -> None:
    html = page(client, make(world).code)
    assert html.index("RELEASED</span></h1>") < html.index("What it is")
    assert "DO NOT USE" not in html


def test_it_says_what_the_hose_is_and_what_it_is_rated_at(client: Client, world: World) -> None:
    assembly = bench.shipped(world)
    html = page(client, assembly.code)
    for words in (
        "275 bar (3988 psi)",
        "-40 to 100 °C",
        f"{datetime.datetime.now(tz=world.workshop.zone_info):%Y-%m}",
        str(world.hose),
        str(world.fitting.connection),
        "930 mm",
        assembly.printed_code,
        "Never look or feel for a leak",
        "makers&#x27; instructions, local codes and licensed practice govern",
    ):
        assert words in html, words


def test_a_hose_without_a_tag_shows_no_rating(client: Client, world: World) -> None:
    assert "275 bar" not in page(client, bench.made(world).code)


@pytest.mark.parametrize("state", [*STATES, "shipped"])
def test_it_names_no_customer_no_person_no_lot_and_no_other_assembly(
    client: Client, world: World, state: str
) -> None:
    other = bench.plan(world)
    assembly = bench.shipped(world) if state == "shipped" else STATES[state][0](world)
    replacement = (
        plan_replacement(actor=world.bench, assembly=assembly) if state == "scrapped" else bench.plan(world)
    )
    # Without its own code, in which any short text may happen to stand.
    html = page(client, assembly.code).replace(assembly.printed_code, "")
    secrets = [
        *User.objects.values_list("name", flat=True),
        *(user.code for user in User.objects.all()),
        world.customer.name,
        world.order.reference,
        world.order.code,
        world.reel.code,
        world.reel.printed_code,
        "T-771",
        "Harbour Supply",
        "Ulla Brandt",
        world.ferrule_lot.printed_code,
        world.die_set.number,
        world.caliper.number,
        world.chart.number,
        other.code,
        other.printed_code,
        replacement.code,
        replacement.printed_code,
    ]
    for secret in secrets:
        assert secret not in html, secret
    for serial in (other.serial, replacement.serial):
        assert f">{serial}<" not in html


@pytest.mark.parametrize(
    "address", ["/T/{code}", "/T/{code}/", "/t/{code}", "/t/{lower}/", "/T/{printed}", "/T/{lower}"]
)
def test_it_is_found_as_the_qr_has_it_and_as_people_type_it(
    client: Client, world: World, address: str
) -> None:
    assembly = bench.released(world)
    typed = address.format(
        code=assembly.code,
        lower=assembly.code.lower().replace("0", "o").replace("1", "l"),
        printed=assembly.printed_code,
    )
    assert "RELEASED" in client.get(typed).content.decode()


def test_an_unknown_code_warns_and_names_the_workshop(client: Client, world: World) -> None:
    html = page(client, new_code("A"), 404)
    assert "DO NOT USE" in html
    assert "unless you know where it comes from" in html
    assert world.workshop.name in html


def test_codes_of_other_things_get_the_answer_of_unknown_ones(client: Client, world: World) -> None:
    things = (world.bench, world.crimper, world.die_set, world.caliper, world.reel, world.ferrule_lot)
    for code in (*(thing.code for thing in things), world.order.code, world.stop_part.code):
        made_up = new_code(code[0])
        answers, queries = [], []
        for asked in (code, made_up):
            with CaptureQueriesContext(connection) as captured:
                answers.append(page(client, asked, 404).replace(asked, "…"))
            queries.append([query["sql"].replace(asked, "…") for query in captured])
        assert answers[0] == answers[1]
        assert queries[0] == queries[1]


def test_a_mistyped_code_leads_to_no_assembly(client: Client, world: World) -> None:
    code = bench.released(world).code
    wrong = code[:5] + ALPHABET[(ALPHABET.index(code[5]) + 1) % len(ALPHABET)] + code[6:]
    assert "RELEASED" not in page(client, wrong, 404)


def test_nobody_keeps_or_lists_the_page(client: Client, world: World) -> None:
    for code in (bench.released(world).code, new_code("A")):
        answer = client.get(f"/T/{code}")
        assert "no-store" in answer.headers["Cache-Control"]
        assert "noindex" in answer.headers["X-Robots-Tag"]
        assert '<meta name="robots" content="noindex, nofollow">' in answer.content.decode()


def test_it_only_shows(client: Client, world: World) -> None:
    assembly = bench.released(world)
    before = Entry.objects.count()
    assert client.post(f"/T/{assembly.code}").status_code == 405
    page(client, assembly.code)
    assert Entry.objects.count() == before


def test_staff_who_are_signed_in_find_the_way_to_the_record(client: Client, world: World) -> None:
    code = bench.released(world).code
    assert f"/assembly/{code}/" not in page(client, code)
    client.force_login(world.bench)
    assert f'href="/assembly/{code}/"' in page(client, code)


def test_the_day_to_be_replaced_stands_beside_the_rating_and_then_leads(
    client: Client, world: World, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench.choose(world, service_months=72)
    assembly = bench.shipped(world)
    now = timezone.now()
    html = page(client, assembly.code)
    assert "To be replaced by" in html.partition("<h2>Rating</h2>")[2].partition("</dl>")[0]
    monkeypatch.setattr(timezone, "now", lambda: now + datetime.timedelta(days=7 * 366))
    late = page(client, assembly.code)
    assert late.index("DO NOT USE</span></h1>") < late.index("It is past its day to be replaced")
    assert "RELEASED" not in late
