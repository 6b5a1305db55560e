"""How old hose and assemblies may be, by policies that disagree; the workshop chooses one.

Each row of a policy limits one deed: to fit hose into an assembly, to keep an assembly in store, to
replace it, to test it again. It counts from manufacture of the hose, from assembly or from fitting to
the machine. Counted from assembly, storage is included; counted from fitting, it is not. Sources: each row
of the table has its own, with its basis (read or memory).
"""

import csv
from calendar import monthrange
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from itertools import pairwise
from pathlib import Path

from shop.engineering.dates import EARLIEST_YEAR, LATEST_YEAR, MONTHS_IN_YEAR, Made, last_day_to_fit
from shop.engineering.errors import EngineeringError, OffTheTable, OutOfRange

LONGEST_MONTHS = 600

AGE_IS_NOT_CONDITION = (
    "Age is only one limit. A hose that leaks, is damaged or was overheated is replaced at once, and the "
    "hose maker's own limit and local rules go before this one."
)


class Deed(StrEnum):
    """What has to happen by the day: the last day to fit, in store, in service, or without a test."""

    FIT = "fit"
    STORE = "store"
    REPLACE = "replace"
    TEST = "test"


class CountsFrom(StrEnum):
    MANUFACTURE = "manufacture"
    ASSEMBLY = "assembly"
    FITTING = "fitting"

    @property
    def words(self) -> str:
        return _FROM_WORDS[self]


_FROM_WORDS = {
    CountsFrom.MANUFACTURE: "the hose was made",
    CountsFrom.ASSEMBLY: "the assembly was made, with storage included",
    CountsFrom.FITTING: "it was fitted to the machine, with storage not included",
}


@dataclass(frozen=True, slots=True)
class AgeRule:
    """One row: `months` at most, counted from an event, with the leeway that its source gives (months).

    `own_period_counts` says whether the quarter or month of manufacture counts; None where the rule counts
    from a day. Raises `OutOfRange` for less than a month or more than fifty years.
    """

    policy: str
    applies_to: str
    deed: Deed
    counts_from: CountsFrom
    months: int
    leeway_months: int
    own_period_counts: bool | None
    source: str
    basis: str
    note: str

    def __post_init__(self) -> None:
        if not 1 <= self.months <= LONGEST_MONTHS:
            raise OutOfRange(
                f"An age limit is from 1 to {LONGEST_MONTHS} months; {self.months} is not.",
                argument="age limit",
                unit="months",
                allowed=f"1 to {LONGEST_MONTHS} months",
                got=self.months,
            )
        if not 0 <= self.leeway_months < self.months:
            raise OutOfRange(
                f"A leeway of {self.leeway_months} months is not one of a limit of {self.months} months.",
                argument="leeway",
                unit="months",
                allowed="0 or more, less than the limit",
                got=self.leeway_months,
            )
        if (self.counts_from is CountsFrom.MANUFACTURE) is (self.own_period_counts is None):
            raise EngineeringError(
                "Say whether the quarter of manufacture counts where a rule counts from it, and only there.",
                argument="own period",
                allowed="counted or not counted from manufacture, else empty",
                got=self.own_period_counts,
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class History:
    """What is known of an assembly: when its hose was made, it was assembled, and it was fitted.

    Raises `OutOfRange` if they are not in that order, or not of 1980 to 2079.
    """

    made: Made | None = None
    assembled: date | None = None
    fitted: date | None = None

    def __post_init__(self) -> None:
        days = [
            ("made", self.made and self.made.first_day),
            ("assembled", self.assembled),
            ("fitted", self.fitted),
        ]
        known = [(what, day) for what, day in days if day]
        for what, day in known:
            if not EARLIEST_YEAR <= day.year <= LATEST_YEAR:
                raise OutOfRange(
                    f"It can't have been {what} on {day}. Correct the year.",
                    argument=f"day {what}",
                    allowed=f"{EARLIEST_YEAR} to {LATEST_YEAR}",
                    got=day,
                )
        for (earlier, first), (later, second) in pairwise(known):
            if second < first:
                raise OutOfRange(
                    f"It can't be {later} on {second} before it was {earlier} on {first}. Correct the date.",
                    argument=f"day {later}",
                    allowed=f"{first} or later",
                    got=second,
                )


@dataclass(frozen=True, slots=True)
class AgeLimit:
    """The last day on which it is still right, by one rule, and the first day on which it is not.

    `earliest` and `latest` are the last day with the leeway of the source taken off or added.
    """

    last_day: date
    earliest: date
    latest: date
    rule: AgeRule
    assumptions: tuple[str, ...]
    cautions: tuple[str, ...]

    @property
    def too_old_from(self) -> date:
        return self.last_day + timedelta(days=1)

    def allows(self, day: date) -> bool:
        """Whether the deed, or service, is still right on that day; leeway is not used."""
        return day <= self.last_day


def age_limit(rule: AgeRule, history: History) -> AgeLimit:
    """The last day by a rule: the limit's months after the event, less one day.

    Months counted from a day end at the same day of the month, or at the month's last one. Raises
    `EngineeringError` if the event from which the rule counts is not known.
    """
    last = _last_day(rule, history, rule.months)
    assumptions = [f"Counted from when {rule.counts_from.words}: {rule.months} months ({rule.source})."]
    if rule.own_period_counts is not None:
        counts = "counts" if rule.own_period_counts else "does not count"
        assumptions.append(f"The quarter or month of manufacture itself {counts}.")
    if rule.note:
        assumptions.append(f"{rule.note[0].upper()}{rule.note[1:]}.")
    cautions = [AGE_IS_NOT_CONDITION]
    if rule.basis == "memory":
        cautions.append("This limit is from memory. Compare it with its document before you rely on it.")
    return AgeLimit(
        last_day=last,
        earliest=_last_day(rule, history, rule.months - rule.leeway_months),
        latest=_last_day(rule, history, rule.months + rule.leeway_months),
        rule=rule,
        assumptions=tuple(assumptions),
        cautions=tuple(cautions),
    )


def earliest_limit(rules: Iterable[AgeRule], deed: Deed, applies_to: str, history: History) -> AgeLimit:
    """The first limit to be reached among the rules for a deed on such hose.

    Raises `OffTheTable` if no rule limits it, `EngineeringError` if an event is not known.
    """
    every = list(rules)
    for_it = [rule for rule in every if rule.deed is deed and rule.applies_to == applies_to]
    if not for_it:
        known = sorted({f"{rule.deed}: {rule.applies_to}" for rule in every})
        raise OffTheTable(
            f"This policy has no limit to {deed} {applies_to}. Choose another policy, or state the limit.",
            argument="age policy",
            allowed="; ".join(known) or "an empty policy",
            got=applies_to,
        )
    return min((age_limit(rule, history) for rule in for_it), key=lambda limit: limit.last_day)


def months_old(made: Made, day: date, own_period_counts: bool) -> int:
    """Whole months of age on a day, counted as `last_day_to_fit` counts; 0 before counting starts.

    Raises `OutOfRange` for a day before the hose was made.
    """
    if day < made.first_day:
        raise OutOfRange(
            f"Hose of {made} was not yet made on {day}. Correct the date.",
            argument="day",
            allowed=f"{made.first_day} or later",
            got=day,
        )
    starts = made.first_day if own_period_counts else made.counting_starts
    months = (day.year - starts.year) * MONTHS_IN_YEAR + day.month - starts.month
    return max(0, months)


def read_age_policies(path: Path) -> dict[str, tuple[AgeRule, ...]]:
    """The rules of a table in CSV by the name of their policy."""
    policies: dict[str, tuple[AgeRule, ...]] = {}
    with path.open(newline="", encoding="utf-8") as table:
        for cells in csv.DictReader(table):
            rule = _rule(cells)
            policies[rule.policy] = (*policies.get(rule.policy, ()), rule)
    return policies


def kinds_of(rules: Sequence[AgeRule]) -> tuple[str, ...]:
    """What a policy knows limits for, each once, as the table orders them."""
    return tuple(dict.fromkeys(rule.applies_to for rule in rules))


def _last_day(rule: AgeRule, history: History, months: int) -> date:
    if rule.counts_from is CountsFrom.MANUFACTURE:
        if history.made is None:
            raise _unknown("manufacture of the hose")
        return last_day_to_fit(history.made, months, rule.own_period_counts is True)
    if rule.counts_from is CountsFrom.ASSEMBLY:
        if history.assembled is None:
            raise _unknown("assembly")
        return _months_after(history.assembled, months) - timedelta(days=1)
    if history.fitted is None:
        raise _unknown("fitting")
    return _months_after(history.fitted, months) - timedelta(days=1)


def _months_after(day: date, months: int) -> date:
    years, month = divmod(day.month - 1 + months, MONTHS_IN_YEAR)
    year = day.year + years
    return date(year, month + 1, min(day.day, monthrange(year, month + 1)[1]))


def _unknown(event: str) -> EngineeringError:
    return EngineeringError(
        f"The day of {event} is not known, and this limit counts from it. Enter it.",
        argument=f"day of {event}",
        allowed="a day",
    )


def _rule(cells: dict[str, str]) -> AgeRule:
    return AgeRule(
        policy=cells["policy"],
        applies_to=cells["applies_to"],
        deed=Deed(cells["deed"]),
        counts_from=CountsFrom(cells["counts_from"]),
        months=int(cells["months"]),
        leeway_months=int(cells["leeway_months"] or 0),
        own_period_counts=cells["own_period"] == "counted" if cells["own_period"] else None,
        source=cells["source"],
        basis=cells["basis"],
        note=cells["note"],
    )
