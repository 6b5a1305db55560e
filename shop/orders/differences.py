"""What has changed since a line was confirmed, for people to read before they confirm it again."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from shop.catalogue.comparing import changed_columns
from shop.core.fields import LengthField
from shop.engineering.orientation import AngleConvention
from shop.orders.extras import EXTRAS
from shop.orders.models import Measured, Resolution

SPECIFICATIONS = ("specification_a", "specification_b")
# Consequences of other columns, or said by them already.
UNSAID = frozenset(
    {
        "line",
        "rating",
        "reasons",
        "rating_unit",
        "demand_unit",
        "vacuum_unit",
        "angle_typed",
        *SPECIFICATIONS,
    }
)
# What a column is called here, where its own name doesn't say it to a person.
WORDS = {
    "overall_length": "overall length between the datums",
    "overall_typed": "overall length as typed",
    "measured": "the overall length is measured",
    "length_rules": "finished length is held to",
    "angle_deg": "angle as the bench counts it",
    "angle_convention": "the customer measures angles",
    "demand_typed": "highest pressure",
    "surge_typed": "surges on top of it",
    "vacuum_typed": "deepest vacuum",
    "temperature_c": "temperature of the fluid",
    "temperature_min_c": "lowest temperature",
    "temperature_max_c": "highest temperature",
    "rating_value": "rating",
    "governing": "what governs",
    "proof_value": "proof pressure",
    "burst_value": "least burst pressure",
}
UNIT_COLUMNS = {
    "demand_typed": "demand_unit",
    "surge_typed": "demand_unit",
    "vacuum_typed": "vacuum_unit",
    "rating_value": "rating_unit",
    "proof_value": "rating_unit",
    "burst_value": "rating_unit",
}
# What a line meant that was confirmed before a column was asked.
MEANT_BEFORE: dict[str, Callable[[Resolution], Any]] = {
    "measured": lambda resolution: Measured.DATUMS,
    "length_rules": lambda resolution: resolution.policy.length_rules,
    "angle_convention": lambda resolution: AngleConvention.NEAR_SIX_CCW,
    "angle_typed": lambda resolution: resolution.angle_deg,
    "surge_typed": lambda resolution: "",
    "vacuum_typed": lambda resolution: "",
    "vacuum_unit": lambda resolution: "",
    "proof_test": lambda resolution: False,
    "caps": lambda resolution: False,
    **{name: lambda resolution: "" for name in EXTRAS if name != "caps"},
}


@dataclass(frozen=True)
class Difference:
    """One thing that is no longer what it was."""

    what: str
    before: str
    now: str


def differences(before: Resolution, now: Resolution) -> list[Difference]:
    """Everything that a line comes to now and did not when it was confirmed; `now` need not be saved."""
    found = [
        Difference(what, _shown(before, column), _shown(now, column))
        for column, what in _columns()
        if column not in UNSAID and _differ(before, now, column)
    ]
    for end, column in zip("AB", SPECIFICATIONS, strict=True):
        then, today = getattr(before, column), getattr(now, column)
        if then != today:
            found.append(Difference(f"chart for end {end}", str(then.chart_issue), str(today.chart_issue)))
            found += [
                Difference(f"end {end}: {change.label}", *change.words)
                for change in changed_columns(then, today)
            ]
    return found


def is_the_same(before: Resolution, now: Resolution) -> bool:
    """Whether confirming the line again would say nothing new; reasons only say how the rest came about."""
    columns = set(Resolution.FIELDS[Resolution.newest_version()]) - {"reasons"}
    return not any(_differ(before, now, column) for column in columns)


def _columns() -> Iterator[tuple[str, str]]:
    for name in Resolution.FIELDS[Resolution.newest_version()]:
        yield name, WORDS.get(name) or str(Resolution._meta.get_field(name).verbose_name)  # type: ignore[union-attr]  # columns only


def _differ(before: Resolution, now: Resolution, column: str) -> bool:
    if column == "burst_value" and before.burst_value is None:
        return False  # it was not told then
    if column in UNIT_COLUMNS and getattr(before, UNIT_COLUMNS[column]) != getattr(now, UNIT_COLUMNS[column]):
        return bool(_meant(before, column) or _meant(now, column))
    return bool(_meant(before, column) != _meant(now, column))


def _meant(resolution: Resolution, column: str) -> Any:
    """What stands in the column; on what was confirmed before it was asked, what was meant then."""
    value = getattr(resolution, column)
    if value is None and column in MEANT_BEFORE:
        return MEANT_BEFORE[column](resolution)
    return value


def _shown(row: Resolution, column: str) -> str:
    """The value as a person reads it: the word of a choice, a figure with its unit."""
    value, field = _meant(row, column), row._meta.get_field(column)
    if value is None or value == "":
        return "none"
    choices = dict(getattr(field, "flatchoices", ()))
    if value in choices:
        return str(choices[value])
    if column in UNIT_COLUMNS:
        return f"{value} {getattr(row, UNIT_COLUMNS[column])}"
    if isinstance(field, LengthField):
        return f"{value} mm"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)
