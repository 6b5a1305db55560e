"""How long hose and assemblies may be used, by every policy side by side: the sources disagree."""

from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any

from shop.engineering.age import (
    AGE_IS_NOT_CONDITION,
    AgeLimit,
    AgeRule,
    CountsFrom,
    Deed,
    History,
    age_limit,
    months_old,
)
from shop.engineering.dates import FORMS, Made
from shop.policy.models import Policy
from shop.policy.services import policy_in_force, today
from shop.standards.figures import confirmations
from shop.web.fields import DayField
from shop.web.worksheets.fields import MadeField
from shop.web.worksheets.forms import WorksheetForm
from shop.web.worksheets.sheet import Fact, Sheet, Table, Verdict, Working, Worksheet
from shop.web.worksheets.tables import age_policies, basis_of

_DEEDS = {
    Deed.FIT: "fit into an assembly",
    Deed.STORE: "keep in store",
    Deed.REPLACE: "replace",
    Deed.TEST: "test again",
}


class DatesForm(WorksheetForm):
    GROUPS = {"What is printed and known": ("made", "assembled", "fitted")}
    ARGUMENTS = {
        "day": ("made",),
        "day assembled": ("assembled",),
        "day fitted": ("fitted",),
    }

    made = MadeField(label="Hose made", help_text=f"As its layline prints it: {FORMS}.")
    assembled = DayField(label="Assembly made on", required=False)
    fitted = DayField(label="Fitted to the machine on", required=False)


def work(answers: Mapping[str, Any]) -> Sheet:
    """The last day by every rule that can be counted, the workshop's own first."""
    made: Made = answers["made"]
    history = History(made=made, assembled=answers["assembled"], fitted=answers["fitted"])
    policy = policy_in_force()
    own = _own_rule(policy)
    limit = None if own is None else age_limit(own, history)
    confirmed = confirmations()
    published = [rule for each in age_policies().values() for rule in each]
    rows = [] if own is None else [_row(own, history, f"{own.source} (the workshop's own)")]
    rows += [_row(rule, history, confirmed.told(rule)) for rule in published]
    return Sheet(
        says=f"Made {made}." + ("" if limit is None else f" By {policy} to be fitted by {limit.last_day}."),
        answers=tuple(_facts(made, limit, policy)),
        verdicts=() if limit is None else (_verdict(limit),),
        tables=(
            Table(
                "The last day, by every policy",
                ("Policy", "For", "To", "Last day", "Earliest and latest", "Limit", "Source"),
                tuple(rows),
                frozenset({3}),
            ),
        ),
        workings=() if limit is None else (_working(limit, made),),
        assumptions=(
            *(() if limit is None else limit.assumptions),
            *(f"“From {counts}”: from when {counts.words}." for counts in CountsFrom),
        ),
        cautions=(
            AGE_IS_NOT_CONDITION,
            "The sources disagree. Agree with the customer which one holds, and write it on the order.",
            "Rows from memory were not compared with their documents.",
        ),
        basis=tuple(dict.fromkeys(basis_of(rule, confirmed) for rule in published)),
    )


def _own_rule(policy: Policy) -> AgeRule | None:
    """The workshop's own limit as a rule; None if its policy has none."""
    if policy.hose_age_months is None:
        return None
    return AgeRule(
        policy="this workshop",
        applies_to="hose",
        deed=Deed.FIT,
        counts_from=CountsFrom.MANUFACTURE,
        months=policy.hose_age_months,
        leeway_months=0,
        own_period_counts=policy.own_quarter_counts,
        source=f"the workshop's {policy}",
        basis="policy",
        note="",
    )


def _facts(made: Made, limit: AgeLimit | None, policy: Policy) -> Iterator[Fact]:
    yield Fact("Made", str(made), f"between {made.first_day} and {made.last_day}")
    age = months_old(made, today(), policy.own_quarter_counts)
    counts = "counted" if policy.own_quarter_counts else "not counted"
    yield Fact("Age today", f"{age} months", f"its own quarter or month {counts}")
    if limit is not None:
        yield Fact("Last day to fit", str(limit.last_day), f"by {limit.rule.source}")


def _verdict(limit: AgeLimit) -> Verdict:
    if limit.allows(today()):
        return Verdict("pass", f"May be fitted today, by {limit.rule.source}.")
    return Verdict("fail", f"Too old to be fitted, by {limit.rule.source}.", f"Since {limit.too_old_from}.")


def _row(rule: AgeRule, history: History, source: str) -> tuple[str, ...]:
    happened: dict[CountsFrom, Made | date | None] = {
        CountsFrom.MANUFACTURE: history.made,
        CountsFrom.ASSEMBLY: history.assembled,
        CountsFrom.FITTING: history.fitted,
    }
    limit = age_limit(rule, history) if happened[rule.counts_from] else None
    leeway = f"{limit.earliest} and {limit.latest}" if limit and rule.leeway_months else "—"
    return (
        rule.policy,
        rule.applies_to,
        _DEEDS[rule.deed],
        str(limit.last_day) if limit else "day not known",
        leeway,
        f"{rule.months} months from {rule.counts_from}",
        source,
    )


def _working(limit: AgeLimit, made: Made) -> Working:
    counts = limit.rule.own_period_counts
    starts = made.first_day if counts else made.counting_starts
    return Working(
        "Last day to fit, by the workshop's policy",
        "first day that counts + months − 1 day",
        f"{starts} + {limit.rule.months} months − 1 day",
        str(limit.last_day),
        "The way of counting: US Navy 14104 p. 9-37",
    )


WORKSHEET = Worksheet(
    slug="dates",
    title="Dates and age",
    about="What a date code says, and the last day to fit, store or replace by every policy side by side.",
    form=DatesForm,
    work=work,
    example={"made": "2Q24", "assembled": "2025-03-10", "fitted": "2025-06-01"},
)
