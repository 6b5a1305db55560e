"""Two issues of a chart beside each other, line by line, with what each changed line touches."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from shop.catalogue.comparing import LineChange, compare_lines
from shop.catalogue.models import ChartIssue, CrimpSpecification, CrimpValues
from shop.trace.prescribed import Touched, touched_by
from shop.web.templatetags.quantities import length

PARTS = ("hose", "series", "ferrule__series", "die_type", "stop_type")
OPTIONAL = ("material", "ovality", "taper", "insertion_depth", "skive_length")


@dataclass(frozen=True)
class ChangedLine:
    """A line that is new, gone or different; `key` and `touched` are of the line as it was issued."""

    line: str
    columns: Sequence[tuple[str, str, str]]  # column, before, after
    key: int | None
    touched: Touched | None


def lines_of(issue: ChartIssue) -> list[CrimpSpecification]:
    """The lines of an issue, with what their words need."""
    return list(issue.specifications.select_related(*PARTS))


def changed_lines(before: Sequence[CrimpSpecification], after: Sequence[CrimpValues]) -> list[ChangedLine]:
    """Each line that differs, in the order of the newer list; then those that are gone."""
    changes = [change for change in compare_lines(before, after) if change.differs]
    touched = touched_by(change.before for change in changes if change.before is not None)
    return [_changed(change, touched) for change in changes]


def touching_lines(issue: ChartIssue) -> list[tuple[CrimpSpecification, Touched]]:
    """The lines of an issue on which an open order or a made assembly stands, each with how many."""
    lines = lines_of(issue)
    touched = touched_by(lines)
    return [(line, touched[line.pk]) for line in lines if touched[line.pk].anything]


def filled_columns(lines: Iterable[CrimpValues]) -> tuple[str, ...]:
    """The columns that not every chart has and that at least one of these lines fills."""
    lines = list(lines)
    return tuple(name for name in OPTIONAL if any(getattr(line, name) for line in lines))


def _changed(change: LineChange[CrimpSpecification, CrimpValues], touched: dict[int, Touched]) -> ChangedLine:
    named = change.after or change.before
    assert named is not None, "a change is of a line"
    columns = [(column.label, _words(column.before), _words(column.after)) for column in change.columns]
    if change.before is None:
        columns = [("the whole line", _line_words(None), f"new: {_line_words(change.after)}")]
    elif change.after is None:
        columns = [("the whole line", _line_words(change.before), _line_words(None))]
    key = None if change.before is None else change.before.pk
    return ChangedLine(
        line=f"{named.hose} with {named.series}",
        columns=columns,
        key=key,
        touched=None if key is None else touched[key],
    )


def _line_words(line: CrimpValues | None) -> str:
    if line is None:
        return "no such line"
    limits = f"{length(line.lower)} to {length(line.upper)}"
    return f"{line.die_type}, {line.stop_words}, {length(line.target)} ({limits})"


def _words(value: Decimal | str | None) -> str:
    return length(value) if isinstance(value, Decimal) else value or ""
