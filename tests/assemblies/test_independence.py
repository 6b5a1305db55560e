"""A one-person workshop may check its own work; records and papers then say so (rule 8)."""

import pytest

from shop.assemblies.independence import independently_checked
from shop.assemblies.making import correct_measurement, decide
from shop.assemblies.models import Assembly, DecisionKind, End
from shop.assemblies.release import make_tag, release
from shop.catalogue.services import check_chart, issue_chart, save_chart_line
from shop.documents.tag import render_tag
from shop.policy.services import today
from tests.assemblies import bench
from tests.documents.reading import text_of
from tests.world import World


@pytest.fixture
def alone(world: World) -> World:
    """A workshop whose policy asks for no second person."""
    bench.choose(world, needs_second_person=False)
    return world


def finished(world: World, assembly: Assembly) -> Assembly:
    """The assembly inspected by the owner, tagged and released."""
    bench.finish_ends(world, assembly)
    bench.look_over(world, assembly, actor=world.owner)
    make_tag(actor=world.inspector, assembly=assembly)
    release(actor=world.inspector, assembly=assembly, scanned=assembly.code)
    return assembly


def test_with_two_people_nothing_is_said(alone: World) -> None:
    assembly = finished(alone, bench.plan_and_cut(alone))
    assert independently_checked(assembly)
    assert assembly.release.independently_checked
    assert "independently" not in text_of(render_tag(assembly.tags.get()))


def test_who_passed_an_own_crimp(alone: World) -> None:
    assembly = bench.plan_and_cut(alone)
    for end in End:
        bench.tool_up(alone, assembly, end)
        bench.measure(alone, bench.crimp(alone, assembly, end, actor=alone.owner))
    is_alone(finished(alone, assembly))


def test_who_only_failed_an_own_crimp_does_no_harm(alone: World) -> None:
    assembly = bench.ready_to_crimp(alone)
    bench.measure(alone, bench.crimp(alone, assembly, actor=alone.inspector))
    bench.finish_ends(alone, assembly)
    assert not bench.look_over(alone, assembly, faults=["The mark has moved."]).independently_checked
    bench.look_over(alone, assembly, actor=alone.owner)
    assert independently_checked(assembly)


def test_who_decided_to_crimp_an_own_end_again(alone: World) -> None:
    bench.allow_crimping_again(alone)
    assembly = bench.ready_to_crimp(alone)
    bench.measure(alone, bench.crimp(alone, assembly, actor=alone.inspector), ["24.6"] * 4)
    assembly.refresh_from_db()
    decide(actor=alone.inspector, assembly=assembly, kind=DecisionKind.CRIMP_AGAIN, reason="Too large.")
    bench.measure(alone, bench.crimp(alone, assembly))
    is_alone(finished(alone, assembly))


def test_who_turned_own_readings_from_failed(alone: World) -> None:
    assembly, crimp = bench.crimped(alone, ["24.41"] * 4)
    correct_measurement(
        actor=alone.bench, measurement=crimp.measurements.get(), readings_mm=bench.mm(*bench.GOOD)
    )
    is_alone(finished(alone, assembly))


def test_a_second_person_may_turn_readings_from_failed(alone: World) -> None:
    assembly, crimp = bench.crimped(alone, ["24.41"] * 4)
    correct_measurement(
        actor=alone.inspector, measurement=crimp.measurements.get(), readings_mm=bench.mm(*bench.GOOD)
    )
    assert independently_checked(assembly)


def test_who_checked_an_own_chart(alone: World) -> None:
    save_chart_line(actor=alone.inspector, line=alone.chart.lines.get())
    check_chart(actor=alone.inspector, chart=alone.chart)
    issue_chart(actor=alone.inspector, chart=alone.chart, issue="2", effective_from=today())
    is_alone(finished(alone, bench.plan_and_cut(alone)))


def is_alone(assembly: Assembly) -> None:
    """The record, its release and its tag say that nobody else looked."""
    assert not independently_checked(assembly)
    assert not assembly.release.independently_checked
    assert "not independently checked" in " ".join(text_of(render_tag(assembly.tags.get())).split())
