"""The binder on paper and on the page: type, compare, issue, withdraw."""

from decimal import Decimal

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from pytest_django import DjangoAssertNumQueries

from shop.catalogue.models import ChartIssue, CrimpChart
from shop.catalogue.services import save_chart, save_chart_line
from shop.policy.services import today
from tests import factories
from tests.assemblies.test_stops import crimps_of_three_stops
from tests.world import World


def as_sent(world: World, **changes: str) -> dict[str, str]:
    """A line as the page sends it, for brass fittings."""
    values = {
        "hose": str(world.hose.pk),
        "series": str(world.series.pk),
        "ferrule": str(world.ferrule.pk),
        "material": "brass",
        "die_type": str(world.die_type.pk),
        "stop_kind": "part",
        "stop_type": str(world.stop_type.pk),
        "stop_setting": "",
        "target": "24.2",
        "lower": "24,0 mm",
        "upper": "24.4 mm",
        "tolerance": "",
        "judged": "mean",
        "readings": "4",
        "measured_at": "mid-length",
        "skive": "none",
    }
    return values | changes


def text_of(client: Client, url: str) -> str:
    page = client.get(url)
    assert page.status_code == 200
    return page.content.decode()


def link_to(chart: CrimpChart) -> str:
    return f'<a href="/quality/charts/{chart.pk}/">{chart.number}</a>'


def test_the_binder_shows_each_chart_with_its_issue_in_force(client: Client, world: World) -> None:
    client.force_login(world.auditor)
    text = text_of(client, "/quality/charts/")
    assert link_to(world.chart) in text
    assert f"checked by {world.inspector}" in text
    assert "Add a crimp chart" not in text


def test_the_binder_can_be_narrowed_to_what_waits_for_a_check(client: Client, world: World) -> None:
    client.force_login(world.inspector)
    assert link_to(world.chart) not in text_of(client, "/quality/charts/?checked=no")
    save_chart_line(actor=world.bench, line=world.chart_line(material="brass"))
    text = text_of(client, "/quality/charts/?checked=no")
    assert link_to(world.chart) in text
    assert f"typed by {world.bench}, not checked" in text


def test_the_page_of_a_chart_is_the_chart_as_printed(client: Client, world: World) -> None:
    client.force_login(world.bench)
    text = text_of(client, f"/quality/charts/{world.chart.pk}/")
    for words in ("24.20 mm", "24.00 mm", "24.40 mm", str(world.die_type), str(world.stop_type), "in force"):
        assert words in text
    assert "What the next issue would change" not in text


def test_a_line_is_typed_as_the_document_prints_it(client: Client, world: World) -> None:
    client.force_login(world.bench)
    page = client.post(f"/quality/charts/{world.chart.pk}/lines/new/", as_sent(world), follow=True)
    assert "The chart has to be checked" in page.content.decode()
    line = world.chart.lines.get(material="brass")
    assert (line.lower, line.target, line.upper) == (Decimal(24), Decimal("24.2"), Decimal("24.4"))


def test_a_tolerance_stands_for_both_limits(client: Client, world: World) -> None:
    client.force_login(world.bench)
    sent = as_sent(world, lower="", upper="", tolerance="0.15")
    client.post(f"/quality/charts/{world.chart.pk}/lines/new/", sent)
    line = world.chart.lines.get(material="brass")
    assert (line.lower, line.upper) == (Decimal("24.05"), Decimal("24.35"))


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"tolerance": "0.2"}, "Type the two limits, or the tolerance instead of them, not both."),
        ({"lower": ""}, "Type this limit, or the tolerance instead of both."),
        ({"lower": "24.3"}, "Lower limit, crimp diameter and upper limit go upwards."),
        ({"target": "24.2 mn"}, "is not a unit of length"),
        ({"stop_type": ""}, "A stop part is named for a crimper with stop parts"),
        ({"skive": "outside"}, "Skiving has a length"),
    ],
)
def test_what_was_typed_stays_beside_the_sentence(
    client: Client, world: World, changes: dict[str, str], sentence: str
) -> None:
    client.force_login(world.bench)
    page = client.post(f"/quality/charts/{world.chart.pk}/lines/new/", as_sent(world, **changes))
    text = page.content.decode()
    assert sentence in text
    assert 'value="brass"' in text
    assert world.chart.lines.count() == 1


def test_a_crimp_smaller_than_the_bore_is_asked_about(client: Client, world: World) -> None:
    client.force_login(world.bench)
    url = f"/quality/charts/{world.chart.pk}/lines/new/"
    sent = as_sent(world, target="2.42", lower="2.40", upper="2.44")
    page = client.post(url, sent)
    assert "less than the bore" in page.content.decode()
    assert 'name="sure" value="crimp_below_bore"' in page.content.decode()
    assert not world.chart.lines.filter(material="brass").exists()
    client.post(url, sent | {"sure": "crimp_below_bore"})
    assert world.chart.lines.filter(material="brass").exists()


def test_limits_far_apart_are_asked_about(client: Client, world: World) -> None:
    client.force_login(world.bench)
    url = f"/quality/charts/{world.chart.pk}/lines/new/"
    page = client.post(url, as_sent(world, lower="", upper="", tolerance="2"))
    assert "The limits are 4 mm apart" in page.content.decode()


def test_a_line_like_another_begins_with_its_columns(client: Client, world: World) -> None:
    client.force_login(world.bench)
    line = world.chart.lines.get()
    text = text_of(client, f"/quality/charts/{world.chart.pk}/lines/new/?like={line.pk}")
    assert 'value="24.2 mm"' in text
    assert world.chart.lines.count() == 1


def test_a_changed_line_is_shown_against_the_issue_in_force(client: Client, world: World) -> None:
    client.force_login(world.bench)
    line = world.chart.lines.get()
    client.post(f"/quality/chart-lines/{line.pk}/change/", as_sent(world, material="", upper="24.5 mm"))
    text = text_of(client, f"/quality/charts/{world.chart.pk}/")
    assert "What the next issue would change in RW-8 issue 1" in text
    assert "<td>upper limit</td><td>24.4 mm</td><td>24.5 mm</td>" in text


def test_a_line_is_taken_off_only_after_it_was_asked(client: Client, world: World) -> None:
    client.force_login(world.bench)
    url = f"/quality/chart-lines/{world.chart.lines.get().pk}/remove/"
    assert "Issues that have it keep it" in text_of(client, url)
    assert world.chart.lines.count() == 1
    client.post(url)
    assert world.chart.lines.count() == 0
    assert world.chart_issue.specifications.count() == 1


def test_a_line_is_not_taken_off_while_somebody_elses_typing_waits(client: Client, world: World) -> None:
    save_chart_line(actor=world.counter, line=world.chart_line(material="brass"))
    client.force_login(world.bench)
    page = client.post(f"/quality/chart-lines/{world.chart.lines.all()[0].pk}/remove/")
    assert f"{world.counter} has typed in chart RW-8" in page.content.decode()
    assert world.chart.lines.count() == 2


def test_the_second_person_says_that_every_line_was_compared(client: Client, world: World) -> None:
    save_chart_line(actor=world.bench, line=world.chart_line(material="brass"))
    client.force_login(world.inspector)
    url = f"/quality/charts/{world.chart.pk}/check/"
    assert (
        "Compare every line with the document, then tick this."
        in client.post(url, {"compared": ""}).content.decode()
    )
    world.chart.refresh_from_db()
    assert world.chart.checked_by is None
    client.post(url, {"compared": "on"})
    world.chart.refresh_from_db()
    assert world.chart.checked_by == world.inspector


def test_the_typist_is_told_that_somebody_else_checks(client: Client, world: World) -> None:
    save_chart_line(actor=world.inspector, line=world.chart_line(material="brass"))
    client.force_login(world.inspector)
    assert "Somebody else, an inspector or an owner" in text_of(client, f"/quality/charts/{world.chart.pk}/")
    page = client.post(f"/quality/charts/{world.chart.pk}/check/", {"compared": "on"})
    assert "can&#x27;t also check it" in page.content.decode()


def test_an_issue_is_put_in_force_and_withdrawn_with_a_reason(client: Client, world: World) -> None:
    save_chart_line(actor=world.bench, line=world.chart_line(material="brass"))
    client.force_login(world.inspector)
    client.post(f"/quality/charts/{world.chart.pk}/check/", {"compared": "on"})
    assert "Issue it" in text_of(client, f"/quality/charts/{world.chart.pk}/")
    client.post(
        f"/quality/charts/{world.chart.pk}/issue/", {"issue": "2", "effective_from": today().isoformat()}
    )
    issue = ChartIssue.objects.get(issue="2")
    client.post(f"/quality/chart-issues/{issue.pk}/withdraw/", {"reason": "Recalled by the maker."})
    text = text_of(client, f"/quality/charts/{world.chart.pk}/")
    assert "Recalled by the maker." in text
    assert "withdrawn on" in text
    assert "superseded" in text
    assert "issue 2 withdrawn" in text_of(client, "/quality/charts/")


def test_a_refused_issue_keeps_what_was_typed(client: Client, world: World) -> None:
    client.force_login(world.inspector)
    page = client.post(
        f"/quality/charts/{world.chart.pk}/issue/", {"issue": "2", "effective_from": "2020-01-01"}
    )
    text = page.content.decode()
    assert "it would change what was prescribed then" in text
    assert 'value="2020-01-01"' in text


@pytest.mark.parametrize("page", ["check/", "issue/"])
def test_the_bench_is_told_who_checks_and_issues(client: Client, world: World, page: str) -> None:
    client.force_login(world.bench)
    answer = client.get(f"/quality/charts/{world.chart.pk}/{page}")
    assert answer.status_code == 403
    assert "Ask someone who may: inspector, owner." in answer.content.decode()


CSV = """Hose,Fitting series,Ferrule,Fitting material,Die type,Stop,Stop type,Crimp diameter,or ± tolerance
{hose},{series},{ferrule},brass,{die},a stop part,{stop},24.2 mm,0.15 mm
{hose},{series},{ferrule},stainless,{die},a stop part,{stop},24.3 mm,0.15 mm
"""


def lines_as_csv(world: World, text: str = CSV) -> str:
    return text.format(
        hose=world.hose, series=world.series, ferrule=world.ferrule, die=world.die_type, stop=world.stop_type
    )


def test_lines_come_from_a_csv_after_a_dry_run(client: Client, world: World) -> None:
    client.force_login(world.bench)
    url = f"/quality/charts/{world.chart.pk}/lines/csv/"
    file = SimpleUploadedFile("sheet-8.csv", lines_as_csv(world).encode(), content_type="text/csv")
    page = client.post(url, {"file": file})
    assert "2 new. Nothing has been taken in yet." in page.content.decode()
    assert world.chart.lines.count() == 1
    client.post(url, {"text": lines_as_csv(world), "take": "yes"})
    assert {line.material for line in world.chart.lines.all()} == {"", "brass", "stainless"}
    assert world.chart.lines.get(material="brass").lower == Decimal("24.05")


def test_every_bad_cell_of_a_csv_is_named_and_nothing_is_taken(client: Client, world: World) -> None:
    client.force_login(world.bench)
    text = lines_as_csv(world).replace("24.3 mm", "24.3 mn").replace(str(world.die_type), "die nobody has", 1)
    page = client.post(f"/quality/charts/{world.chart.pk}/lines/csv/", {"text": text, "take": "yes"})
    words = page.content.decode()
    assert "Nothing was taken in" in words
    assert "Die type" in words
    assert "is not in the list" in words
    assert "is not a unit of length" in words
    assert world.chart.lines.count() == 1


def test_exported_lines_can_be_taken_in_again(client: Client, world: World) -> None:
    client.force_login(world.bench)
    exported = client.get(f"/quality/charts/{world.chart.pk}/lines/export/").content.decode()
    page = client.post(f"/quality/charts/{world.chart.pk}/lines/csv/", {"text": exported})
    assert "1 unchanged" in page.content.decode()


def test_lists_and_charts_ask_the_database_a_constant_number_of_times(
    client: Client, world: World, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    client.force_login(world.inspector)

    def asked(url: str) -> int:
        with django_assert_max_num_queries(60) as queries:
            client.get(url)
        return len(queries)

    page = f"/quality/charts/{world.chart.pk}/"
    few = asked("/quality/charts/"), asked(page)
    for n in range(20):
        chart = CrimpChart(number=f"RW-{100 + n}", origin="Row crimp charts")
        save_chart(actor=world.bench, chart=chart)
        save_chart_line(actor=world.bench, line=world.chart_line(chart=chart))
        other = factories.HoseFactory()
        save_chart_line(actor=world.bench, line=world.chart_line(hose=other))
    assert (asked("/quality/charts/"), asked(page)) == few


def test_a_stop_that_own_crimps_speak_against_is_a_hint_beside_its_chart(
    client: Client, world: World
) -> None:
    crimps_of_three_stops(world)
    client.force_login(world.inspector)
    page = f"/quality/charts/{world.chart.pk}/"
    assert "is a hint" not in text_of(client, page)
    save_chart_line(
        actor=world.bench,
        line=world.chart_line(
            material="brass", target=Decimal("22.1"), lower=Decimal(22), upper=Decimal("22.2")
        ),
    )
    for url in (page, f"{page}check/"):
        text = text_of(client, url)
        assert "away from the chart&#x27;s 22 to 22.2 mm" in text
        assert text.count("is a hint") == 1
    answer = client.post(f"{page}check/", {"compared": "on"})
    assert answer.status_code == 302  # a hint stops nothing
