"""What changed between the issue in force and the chart as it is typed now."""

from decimal import Decimal

from shop.catalogue.comparing import ColumnChange, changed_columns, compare_lines
from shop.catalogue.models import StopKind
from shop.engineering.crimp import Judged
from tests import factories
from tests.world import World


def test_a_line_that_did_not_change_says_so(world: World) -> None:
    [change] = compare_lines(world.chart_issue.specifications.all(), world.chart.lines.all())
    assert not change.differs


def test_each_changed_column_is_named_as_the_pages_name_it(world: World) -> None:
    issued = world.chart_issue.specifications.get()
    typed = world.chart_line(
        upper=Decimal("24.5"), judged=Judged.EACH, crimp_again_allowed=True, ovality=Decimal("0.2")
    )
    assert changed_columns(issued, typed) == (
        ColumnChange("upper", "upper limit", Decimal("24.4"), Decimal("24.5")),
        ColumnChange("judged", "what is judged", "the mean of the readings", "each reading"),
        ColumnChange("ovality", "ovality limit", None, Decimal("0.2")),
        ColumnChange("crimp_again_allowed", "crimping again is allowed", "no", "yes"),
    )


def test_a_changed_die_is_a_change_of_the_line_and_no_new_line(world: World) -> None:
    other = factories.DieTypeFactory(designation="die 99")
    issued = world.chart_issue.specifications.get()
    [change] = compare_lines([issued], [world.chart_line(die_type=other)])
    assert change.before == issued
    assert [(c.label, c.after) for c in change.columns] == [("die type", "die 99")]


def test_of_several_lines_for_a_hose_those_that_agree_most_belong_together(world: World) -> None:
    steel, brass = world.chart_line(material="steel"), world.chart_line(material="brass")
    dial = world.chart_line(material="steel", stop_kind=StopKind.DIAL, stop_type=None, stop_setting="3")
    changes = compare_lines([steel, brass], [dial, brass, steel])
    assert [(c.before, c.after) for c in changes] == [(None, dial), (brass, brass), (steel, steel)]


def test_lines_for_another_hose_are_new_and_gone(world: World) -> None:
    issued = world.chart_issue.specifications.get()
    typed = world.chart_line(hose=factories.HoseFactory())
    new, gone = compare_lines([issued], [typed])
    assert (new.before, new.after, new.differs) == (None, typed, True)
    assert (gone.before, gone.after, gone.differs) == (issued, None, True)
