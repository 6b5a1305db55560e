"""Where a setter starts: the chart's value, and what this crimper's scale is off."""

from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError

from shop.catalogue.models import StopKind
from shop.tooling.scales import Start, start_on_scale
from shop.tooling.services import save_crimper
from tests.factories import CrimperFactory
from tests.world import World


@pytest.mark.parametrize(
    ("chart", "offset", "value"),
    [
        ("4.6", None, "4.6"),
        ("4.6", "0", "4.6"),
        ("4.6", "0.2", "4.8"),
        ("4.6", "-0.15", "4.45"),
        ("4,60", "0.2", "4.80"),
        ("34.6", "10", "44.6"),
        ("B 4", "0.2", "B 4"),  # no figure: nothing can be added to it
        ("4.6", "-4.6", "0.0"),
    ],
)
def test_the_start_is_the_charts_value_and_what_the_scale_reads_at_nought(
    chart: str, offset: str | None, value: str
) -> None:
    start = Start(StopKind.DIAL, chart, None if offset is None else Decimal(offset))
    assert start.value == value


def test_the_words_keep_both_figures_apart() -> None:
    start = Start(StopKind.NUMERIC, "34.6", Decimal("-0.200"))
    assert start.words == ("set-point: start at 34.4 (the chart gives 34.6, this scale reads -0.2 at nought)")
    assert Start(StopKind.DIAL, "4.6", None).words == "dial: start at 4.6 (as the chart gives it)"


@pytest.mark.django_db
def test_a_stop_part_has_no_start(world: World) -> None:
    assert start_on_scale(world.chart_line(), world.crimper) is None


@pytest.mark.django_db
def test_a_value_for_a_crimper_that_is_not_chosen_yet_is_the_charts(world: World) -> None:
    line = world.chart_line(stop_kind=StopKind.DIAL, stop_type=None, stop_setting="4.6")
    start = start_on_scale(line, None)
    assert start is not None
    assert (start.value, start.offset) == ("4.6", None)


@pytest.mark.django_db
def test_a_crimper_with_stop_parts_has_no_scale_to_be_off(world: World) -> None:
    crimper = CrimperFactory.build(stop_kind=StopKind.PART, offset=Decimal("0.2"))
    with pytest.raises(ValidationError, match="no scale"):
        save_crimper(actor=world.bench, crimper=crimper)
