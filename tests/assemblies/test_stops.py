"""What the workshop's own crimps say of a stop, and the hint that comes of it."""

from decimal import Decimal

from django.db import connection
from django.test.utils import CaptureQueriesContext

from shop.assemblies.making import correct_measurement
from shop.assemblies.stops import PressCrimps, crimps_with, stop_hints
from shop.engineering.crimp import DecisionRule
from shop.engineering.stop_geometry import StopCrimp
from shop.tooling.models import StopPart
from shop.tooling.services import save_stop_part
from tests import factories
from tests.assemblies.bench import choose, crimp, crimped, measure, mm, plan_and_cut, tool_up
from tests.world import World

# 0.4 mm of diameter for each millimetre of stop, within 24.0 to 24.4; about the chart's target at 6 mm.
THREE = (("5.5", "24.00"), ("6", "24.20"), ("6.5", "24.40"))


def ring(world: World, thickness: str | None) -> StopPart:
    """A stop part of the chart's type whose thickness was measured, or not."""
    part = factories.StopPartFactory.build(
        stop_type=world.stop_type, thickness=None if thickness is None else Decimal(thickness)
    )
    return save_stop_part(actor=world.bench, stop_part=part)


def crimp_with(world: World, thickness: str | None, diameter: str) -> None:
    assembly = plan_and_cut(world)
    tool_up(world, assembly, stop_part=ring(world, thickness))
    measure(world, crimp(world, assembly), [diameter] * 4)


def crimps_of_three_stops(world: World) -> None:
    for thickness, diameter in (*THREE, ("6", "24.21")):
        crimp_with(world, thickness, diameter)


def own(world: World) -> list[StopCrimp]:
    found = crimps_with([world.die_type])
    return [crimp for of_press in found for crimp in of_press.crimps]


def test_crimps_are_told_by_press_the_newest_first(world: World) -> None:
    crimps_of_three_stops(world)
    [of_press] = crimps_with([world.die_type])
    assert (of_press.crimper, of_press.die_type) == (world.crimper, world.die_type)
    assert [(c.thickness_mm, c.diameter_mm) for c in of_press.crimps] == [
        (Decimal("6"), Decimal("24.21")),
        *((Decimal(thickness), Decimal(diameter)) for thickness, diameter in THREE[::-1]),
    ]


def test_a_stop_that_nobody_measured_is_as_thick_as_its_type(world: World) -> None:
    crimp_with(world, None, "24.2")
    assert own(world) == [StopCrimp(world.stop_type.thickness, Decimal("24.2"))]


def test_a_stop_of_no_known_thickness_tells_nothing(world: World) -> None:
    world.stop_type.thickness = None
    world.stop_type.save()
    crimp_with(world, None, "24.2")
    assert own(world) == []


def test_of_several_measurements_of_a_crimp_the_first_counts(world: World) -> None:
    # 24.39 is inside but not by U = 0.03, so more readings are taken.
    choose(world, decision_rule=DecisionRule.GUARDED_U)
    crimp_with(world, "6", "24.39")
    made = world.die_set.set_ups.get().crimps.get()
    measure(world, made, ["24.37"] * 4)
    assert [found.diameter_mm for found in own(world)] == [Decimal("24.39")]


def test_readings_that_were_corrected_count_as_corrected(world: World) -> None:
    crimp_with(world, "6", "24.20")
    first = world.die_set.set_ups.get().crimps.get().measurements.get()
    correct_measurement(actor=world.inspector, measurement=first, readings_mm=mm(*["24.22"] * 4))
    assert [found.diameter_mm for found in own(world)] == [Decimal("24.22")]


def test_crimps_may_be_narrowed_to_a_press_a_hose_and_a_series(world: World) -> None:
    crimp_with(world, "6", "24.20")
    others = {
        "crimper": factories.CrimperFactory(),
        "hose": factories.HoseFactory(),
        "series": factories.FittingSeriesFactory(),
    }
    for name, other in others.items():
        same: list[PressCrimps] = crimps_with([world.die_type], **{name: getattr(world, name)})
        assert len(same) == 1
        assert crimps_with([world.die_type], **{name: other}) == []
    assert crimps_with([factories.DieTypeFactory()]) == []


def test_a_line_whose_stop_leads_away_from_its_limits_gets_a_hint(world: World) -> None:
    crimps_of_three_stops(world)
    right, wrong = world.chart_line(), world.chart_line(lower=Decimal(22), upper=Decimal("22.2"))
    [[hint]] = stop_hints([right, wrong]).values()
    assert list(stop_hints([right, wrong])) == [1]
    assert (hint.crimper, hint.crimps) == (world.crimper, 4)
    assert "away from the chart's 22 to 22.2 mm" in hint.check.reason


def test_a_stop_beyond_those_that_were_used_gets_no_hint(world: World) -> None:
    crimps_of_three_stops(world)
    thick = factories.StopTypeFactory(thickness=Decimal(12))
    assert stop_hints([world.chart_line(stop_type=thick, lower=Decimal(22), upper=Decimal("22.2"))]) == {}


def test_too_few_crimps_and_those_of_one_stop_give_no_hint(world: World) -> None:
    line = world.chart_line(lower=Decimal(22), upper=Decimal("22.2"))
    assert stop_hints([line]) == {}
    for _ in range(3):
        crimp_with(world, "6", "24.20")
    assert stop_hints([line]) == {}


def test_a_dial_has_no_stop_to_check(world: World) -> None:
    crimps_of_three_stops(world)
    dial = world.chart_line(
        stop_kind="dial", stop_type=None, stop_setting="7", lower=Decimal(22), upper=Decimal("22.2")
    )
    assert stop_hints([dial]) == {}


def test_queries_do_not_grow_with_crimps_or_lines(world: World) -> None:
    crimped(world)
    with CaptureQueriesContext(connection) as for_one:
        stop_hints([world.chart_line()])
    crimps_of_three_stops(world)
    with CaptureQueriesContext(connection) as for_many:
        stop_hints([world.chart_line() for _ in range(5)])
    assert len(for_one) == len(for_many)
