"""The first page of quality: what waits for somebody, and where it is answered."""

import pytest
from django.test import Client
from pytest_django import DjangoAssertNumQueries

from shop.catalogue.services import save_chart_line
from tests import factories
from tests.assemblies import bench
from tests.world import World

FAILING = ("24.41", "24.42", "24.41", "24.42")


def text_of(client: Client, url: str) -> str:
    page = client.get(url)
    assert page.status_code == 200
    return page.content.decode()


def test_a_workshop_with_nothing_open_says_so(client: Client, world: World) -> None:
    client.force_login(world.inspector)
    assert "Nothing: no assembly is held or failed" in text_of(client, "/quality/")


def test_everything_that_waits_is_counted_with_its_link(client: Client, world: World) -> None:
    client.force_login(world.inspector)
    save_chart_line(actor=world.bench, line=world.chart_line(material="brass"))
    factories.HoseFactory()
    factories.FittingFactory(series=world.series, connection=factories.ConnectionFactory())
    text = text_of(client, "/quality/")
    assert "Nothing: no assembly" not in text
    for label, url in (
        ("Charts to check", "/quality/charts/?checked=no"),
        ("Hoses to confirm", "/reference/hoses/?rating=unconfirmed"),
        ("Fittings to confirm", "/reference/fittings/?rating=unconfirmed"),
        ("Connections of our fittings to confirm", "/reference/connections/?rating=unconfirmed"),
    ):
        assert label in text
        assert f'<a href="{url}">1</a>' in text


def test_a_connection_that_nothing_has_is_not_urgent(client: Client, world: World) -> None:
    factories.ConnectionFactory()
    factories.HoseRatingFactory()
    client.force_login(world.inspector)
    assert "Nothing: no assembly is held or failed" in text_of(client, "/quality/")


def test_a_failed_assembly_comes_first_and_leads_to_the_bench(client: Client, world: World) -> None:
    assembly, _ = bench.crimped(world, FAILING)
    client.force_login(world.inspector)
    assert '<a class="button next" href="/quality/held/">Held or failed</a>' in text_of(client, "/quality/")
    text = text_of(client, "/quality/held/")
    assert f'href="/assembly/{assembly.code}/"' in text
    assert f'href="/bench/{assembly.code}/"' in text
    assert "failed" in text


def test_no_assembly_in_question_is_said_with_what_would_come_here(client: Client, world: World) -> None:
    client.force_login(world.auditor)
    assert "No assembly is held or failed." in text_of(client, "/quality/held/")


def test_the_first_page_asks_the_database_a_constant_number_of_times(
    client: Client, world: World, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    client.force_login(world.inspector)

    def asked(url: str) -> int:
        with django_assert_max_num_queries(40) as queries:
            client.get(url)
        return len(queries)

    bench.crimped(world, FAILING)
    few = [asked("/quality/"), asked("/quality/held/")]
    for _ in range(5):
        bench.crimped(world, FAILING)
        factories.HoseFactory()
    assert [asked("/quality/"), asked("/quality/held/")] == few


@pytest.mark.parametrize("url", ["/quality/", "/quality/held/", "/quality/policy/", "/quality/ledger/"])
def test_nobody_who_is_not_signed_in_sees_quality(client: Client, world: World, url: str) -> None:
    assert client.get(url).headers["Location"].startswith("/sign-in/")
