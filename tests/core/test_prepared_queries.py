"""Queries that are put together once say the same as those that Django puts together each time."""

import pytest
from django.db import connection
from django.db.models import Prefetch
from django.test.utils import CaptureQueriesContext

from shop.assemblies.models import Assembly, Crimp, Measurement
from shop.core.prepared import Prepared, fill
from tests.assemblies import bench
from tests.world import World

pytestmark = pytest.mark.django_db

FOLLOWED = ("specification__ferrule__series", "fitting_lot__fitting", "entry")
CRIMPS = Prepared(
    lambda keys: Crimp.objects.filter(assembly__in=keys).order_by("pk").select_related(*FOLLOWED)
)
AMONG = Prepared(lambda serials, states: Assembly.objects.filter(serial__in=serials, state__in=states))


def values(crimp: Crimp) -> list[object]:
    return [getattr(crimp, field.attname) for field in Crimp._meta.concrete_fields]


def test_the_rows_are_those_of_the_query(world: World) -> None:
    assembly = bench.made(world)
    asked = Crimp.objects.filter(assembly=assembly).order_by("pk").select_related(*FOLLOWED)
    assert [values(crimp) for crimp in CRIMPS.ask([assembly.pk])] == [values(crimp) for crimp in asked]


def test_what_it_follows_is_there_without_another_query(world: World) -> None:
    assembly = bench.made(world)
    with CaptureQueriesContext(connection) as queries:
        first, second = CRIMPS.ask([assembly.pk])
        assert first.specification.ferrule is not None
        assert first.specification.ferrule.series.pk
        assert second.fitting_lot.fitting is not None
        assert first.happened_at <= second.happened_at
    assert len(queries) == 1


def test_each_answer_is_for_the_values_of_its_question(world: World) -> None:
    one, other = bench.made(world), bench.plan(world)
    assert {crimp.assembly_id for crimp in CRIMPS.ask([one.pk])} == {one.pk}
    assert CRIMPS.ask([other.pk]) == []


@pytest.mark.parametrize("count", [0, 1, 2, 3, 4, 5])
def test_it_is_asked_about_any_number_of_things(world: World, count: int) -> None:
    serials = sorted(bench.plan(world).serial for _ in range(count))
    other = bench.plan(world)
    assert sorted(one.serial for one in AMONG.ask(serials, [other.state])) == serials


def test_what_was_filled_in_is_what_a_prefetch_brings(world: World) -> None:
    assembly = bench.made(world)
    readings = Measurement.objects.order_by("pk")
    by_django = Crimp.objects.filter(assembly=assembly).prefetch_related(Prefetch("measurements", readings))
    crimps = CRIMPS.ask([assembly.pk])
    fill(crimps, "measurements", readings.filter(crimp__assembly=assembly), of="crimp_id")
    with CaptureQueriesContext(connection) as queries:
        filled = [list(crimp.measurements.all()) for crimp in crimps]
    assert not queries.captured_queries
    assert filled == [list(crimp.measurements.all()) for crimp in by_django.order_by("pk")]
    assert any(filled)


def test_one_without_any_is_filled_with_none(world: World) -> None:
    crimps = CRIMPS.ask([bench.made(world).pk])
    fill(crimps, "measurements", [], of="crimp_id")
    with CaptureQueriesContext(connection) as queries:
        assert [list(crimp.measurements.all()) for crimp in crimps] == [[], []]
    assert not queries.captured_queries
