"""What a page of the bench tells before a step is taken, and to whom it offers the step."""

from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from shop.assemblies.models import Assembly, SetUp
from shop.catalogue.models import StopKind
from shop.catalogue.services import save_fitting
from shop.policy.models import Policy
from shop.policy.services import set_policy, today
from shop.standards.figures import confirm_figures
from shop.tooling.services import save_arrangement
from tests import factories
from tests.assemblies.bench import crimped, cut, look_over, made, plan, reissue, tagged
from tests.web.bench.bench_pages import Tablet
from tests.world import World


def test_lengths_at_the_bench_carry_their_unit_however_they_were_typed(client: Client, world: World) -> None:
    client.force_login(world.bench)
    tablet = Tablet(client, plan(world))
    length = f"{world.hose}, 930 mm"
    assert length in tablet.text
    assert length in client.get("/bench/").content.decode()


def test_the_inspector_sees_what_length_is_allowed_before_measuring(client: Client, world: World) -> None:
    client.force_login(world.inspector)
    tablet = Tablet(client, made(world))
    assert "Allowed 926 mm to 942 mm" in tablet.text


def test_who_measures_the_angle_reads_from_where_to_where(client: Client, world: World) -> None:
    world.fitting.direction = "the upper two bolt holes"
    save_fitting(actor=world.owner, fitting=world.fitting)
    client.force_login(world.inspector)
    assembly = made(world, angle_deg=180)
    assert "180° end A: the upper two bolt holes; end B: the upper two bolt holes" in (
        Tablet(client, assembly).text
    )


def test_how_far_a_cut_may_be_off_stands_beside_its_length(client: Client, world: World) -> None:
    # Source: IP-2 (2003) Table 4-8 prints 1/4 in over 24 to 36 in of cut hose; 880 mm less and more 6.4 mm.
    set_policy(actor=world.owner, policy=Policy(effective_from=today(), cut_rules="IP-2 cut length"))
    client.force_login(world.bench)
    told = "880 mm 873.6 mm to 886.4 mm (IP-2 cut length, read there)"
    assert told in Tablet(client, plan(world)).text


def test_without_a_rule_for_the_cut_none_is_said(client: Client, world: World) -> None:
    client.force_login(world.bench)
    assert "IP-2" not in Tablet(client, plan(world)).text


def test_a_length_by_a_row_from_memory_says_so_until_it_is_confirmed(client: Client, world: World) -> None:
    assembly = made(world)
    client.force_login(world.inspector)
    assert "EN 853 / DIN 20066, from memory, not confirmed" in Tablet(client, assembly).text
    confirm_figures(
        actor=world.inspector,
        table="length_tolerances",
        row="EN 853 / DIN 20066, hose assembly DN ≤ 25, to -16, length over 630 to 1250 mm",
        document="EN 853:2015, Table 3",
        typed={"plus": "12", "minus": "4"},
    )
    assert "EN 853 / DIN 20066, confirmed by 4 on" in Tablet(client, assembly).text


def test_the_list_of_jobs_costs_the_same_however_many_there_are(client: Client, world: World) -> None:
    client.force_login(world.bench)

    def queries() -> int:
        with CaptureQueriesContext(connection) as asked:
            page = client.get("/bench/").content.decode()
        assert page.count('<span class="then">') == Assembly.objects.count()
        return len(asked)

    def one_of_each() -> None:
        plan(world)
        cut(world, plan(world))
        crimped(world)
        crimped(world, ("24.5",) * 4)  # too large: somebody has to decide
        tagged(world)

    one_of_each()
    few = queries()
    one_of_each()
    assert queries() == few


def test_who_may_not_inspect_is_told_who_may_and_is_shown_no_form(client: Client, world: World) -> None:
    client.force_login(world.bench)
    tablet = Tablet(client, made(world))
    assert "waits for somebody who may do it: inspector or owner" in tablet.text
    assert tablet.form.action == ""


def test_who_may_not_tag_is_told_who_may(client: Client, world: World) -> None:
    assembly = made(world)
    look_over(world, assembly)
    client.force_login(world.bench)
    assert "waits for somebody who may do it" in Tablet(client, assembly).text


def test_the_words_of_the_permanent_mark_stay_in_sight_until_the_release(
    client: Client, world: World
) -> None:
    assembly = tagged(world)
    client.force_login(world.inspector)
    assert assembly.tags.get().mark in Tablet(client, assembly).text


def test_the_readings_shown_are_said_to_be_of_which_end(client: Client, world: World) -> None:
    client.force_login(world.inspector)
    assert "Readings 1 at end B" in Tablet(client, made(world)).text


def test_a_piece_to_tap_says_how_much_is_left_on_it(client: Client, world: World) -> None:
    client.force_login(world.bench)
    assert f"{world.reel}, 50.00 m left" in Tablet(client, plan(world)).text


def test_the_setting_begins_with_the_chart_s_value_and_what_was_used_is_kept(
    client: Client, world: World
) -> None:
    reissue(world, "2", stop_kind=StopKind.DIAL, stop_type=None, stop_setting="140")
    dial = factories.CrimperFactory(stop_kind=StopKind.DIAL)
    arrangement = factories.ArrangementFactory.build(crimper=dial, die_type=world.die_type, stop_type=None)
    save_arrangement(actor=world.owner, arrangement=arrangement, parts=[])
    assembly = plan(world)
    cut(world, assembly)
    client.force_login(world.bench)
    tablet = Tablet(client, assembly)
    tablet.scan(dial.code, world.die_set.code, world.caliper.code)
    assert "Dial value used" in tablet.text
    assert 'value="140"' in tablet.page.content.decode()
    tablet.tick_all_and_take(setting="142")
    assert SetUp.objects.get().stop_setting == "142"
