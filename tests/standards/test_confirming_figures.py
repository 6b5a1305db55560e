"""A named person compares a row of a table that comes as a file with its document, without seeing it."""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest
from django.core.exceptions import ValidationError
from django.db import connection
from django.test.utils import CaptureQueriesContext

from shop.engineering.age import read_age_policies
from shop.engineering.flow import Duty, read_velocity_limits
from shop.engineering.sizes import read_sizes, read_tube_sized
from shop.engineering.tolerance import LengthRule, read_rules
from shop.ledger.models import Entry
from shop.people.refusals import NotAllowed
from shop.policy.services import today
from shop.standards.figures import (
    TITLES,
    basis_words,
    confirm_figures,
    confirmations,
    figure_value,
    printed_row,
    printed_rows,
)
from shop.standards.loading import standards_folder
from shop.standards.models import FigureConfirmation
from shop.standards.refusals import FiguresDiffer, NoSuchRow, NotAFigure
from tests.world import World

DOCUMENT = "EN 853:2015, Table 3"


def tolerance(rule: str = "EN 853 / DIN 20066", number: int = 1) -> LengthRule:
    """From memory: DIN 20066, over 630 to 1250 mm up to DN 25 is +12/−4 mm."""
    return read_rules(standards_folder() / "length_tolerances.csv")[rule][number]


def confirm(world: World, **typed: str) -> FigureConfirmation:
    """The inspector compares that row with its document."""
    row = printed_row(tolerance())
    return confirm_figures(
        actor=world.inspector, table=row.table, row=row.row, document=DOCUMENT, typed=typed
    )


def test_figures_found_in_their_document_are_confirmed_by_number(world: World) -> None:
    written = confirm(world, plus="12", minus="4")
    assert written.actor_number == world.inspector.number
    assert (written.table, written.figures) == ("length_tolerances", "plus 12 mm, minus 4 mm")
    assert written.row == "EN 853 / DIN 20066, hose assembly DN ≤ 25, to -16, length over 630 to 1250 mm"
    assert confirmations().of(tolerance()) == written
    assert confirmations().of(tolerance(number=0)) is None
    assert Entry.objects.get(pk=written.pk).verb == "standards.figure_confirmed"


@pytest.mark.parametrize("typed", [{"plus": "12", "minus": "6"}, {"plus": "12"}, {}])
def test_another_figure_is_refused_without_telling_the_tables(world: World, typed: dict[str, str]) -> None:
    with pytest.raises(FiguresDiffer) as refused:
        confirm(world, **typed)
    assert "minus 4" not in str(refused.value)
    assert not FigureConfirmation.objects.exists()


def test_a_figure_is_the_same_however_it_is_written(world: World) -> None:
    assert confirm(world, plus="12,0", minus=" 4.00 ").figures == "plus 12 mm, minus 4 mm"


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("12.7", "127/10"),
        ("12,7", "127/10"),
        ("13/32", "13/32"),
        ("1-1/4", "5/4"),
        ("1 1/4", "5/4"),
        ("0", "0"),
    ],
)
def test_a_figure_is_read_as_documents_print_it(text: str, value: str) -> None:
    assert figure_value(text) == Fraction(value)


@pytest.mark.parametrize("text", ["about 12", "12 mm", "1/0", "-4", "1.300.000", "nan"])
def test_what_is_no_figure_is_refused(world: World, text: str) -> None:
    with pytest.raises(NotAFigure):
        confirm(world, plus=text, minus="4")


def test_a_document_is_named(world: World) -> None:
    row = printed_row(tolerance())
    with pytest.raises(ValidationError) as refused:
        confirm_figures(
            actor=world.owner, table=row.table, row=row.row, document="", typed={"plus": "12", "minus": "4"}
        )
    assert set(refused.value.message_dict) == {"document"}


def test_a_row_that_is_not_in_the_table_is_refused(world: World) -> None:
    with pytest.raises(NoSuchRow, match="Velocities"):
        confirm_figures(
            actor=world.owner, table="velocity_limits", row="gas line", document=DOCUMENT, typed={}
        )


def test_the_counter_cannot_confirm_a_figure(world: World) -> None:
    row = printed_row(tolerance())
    with pytest.raises(NotAllowed):
        confirm_figures(actor=world.counter, table=row.table, row=row.row, document=DOCUMENT, typed={})


def test_a_confirmation_holds_as_long_as_the_file_says_the_same(world: World) -> None:
    confirm(world, plus="12", minus="4")
    corrected = replace(tolerance(), plus=Decimal(15))
    assert confirmations().of(corrected) is None
    assert basis_words(corrected) == "from memory, not confirmed"


def test_the_newest_confirmation_counts(world: World) -> None:
    confirm(world, plus="12", minus="4")
    newer = confirm(world, plus="12", minus="4")
    assert confirmations().of(tolerance()) == newer


def test_how_far_a_row_can_be_relied_on_is_said_in_words(world: World) -> None:
    assert basis_words(tolerance()) == "from memory, not confirmed"
    assert basis_words(tolerance("IP-2 cut length")) == "read there"
    confirm(world, plus="12", minus="4")
    assert basis_words(tolerance()) == f"confirmed by 4 on {today()} ({DOCUMENT})"
    assert confirmations().settled(tolerance()).basis == "read"
    assert confirmations().settled(tolerance(number=0)).basis == "memory"


def test_all_confirmations_are_one_query(world: World) -> None:
    confirm(world, plus="12", minus="4")
    with CaptureQueriesContext(connection) as asked:
        found = confirmations()
        assert [found.of(tolerance(number=number)) is not None for number in range(3)] == [False, True, False]
    assert len(asked) == 1


@pytest.mark.parametrize("table", TITLES)
def test_every_row_of_a_file_is_told_apart_and_can_be_confirmed(world: World, table: str) -> None:
    lines = (standards_folder() / f"{table}.csv").read_text().splitlines()[1:]
    rows = printed_rows(table)
    assert len(rows) == len({row.row for row in rows}) == len(lines)
    for row in rows:
        typed = {figure.name: figure.printed for figure in row.figures}
        written = confirm_figures(
            actor=world.inspector, table=table, row=row.row, document=DOCUMENT, typed=typed
        )
        assert written.figures == row.told


def test_figures_stand_as_the_files_print_them() -> None:
    folder = standards_folder()
    size = next(size for size in read_sizes(folder / "sizes.csv") if size.dash == 8)
    assert printed_row(size).told == "inches 1/2 in, bore 12.5 mm, DN 12"
    tube = next(row for row in read_tube_sized(folder / "tube_sized_bores.csv") if row.dash == 20)
    assert printed_row(tube).told == "tube 1-1/4 in, bore 1-1/8 in"
    navy = read_age_policies(folder / "age_policies.csv")["us-navy"][1]
    assert printed_row(navy).told == "limit 60 months, leeway 6 months"
    limits = read_velocity_limits(folder / "velocity_limits.csv")
    assert printed_row(limits["metric habit"][Duty.SUCTION]).told == "up to 1.5 m/s, at least 0.5 m/s"
    assert printed_row(limits["inch slow"][Duty.SUCTION]).told == "up to 4 ft/s, at least none"
