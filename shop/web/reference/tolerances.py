"""The tolerances page: every rule set as its document prints it, and which one this workshop holds to."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from shop.engineering.numbers import plain
from shop.engineering.tolerance import LengthRule, Toleranced, ToleranceUnit, read_rules
from shop.people.permissions import Permission
from shop.policy.models import LENGTH_RULES, Policy
from shop.policy.services import policy_in_force
from shop.standards.figures import Confirmations, confirmations, is_one_sided, length_words
from shop.standards.loading import standards_folder
from shop.web.access import StaffRequest, needs
from shop.web.reference.printed import PrintedTable, table_rows

ORIENTATION = "elbow orientation"  # what `orientation_tolerance_deg` holds every inspection to
CAUTIONS = (
    "Rows from memory were not compared with their documents. Hold them beside the document before an "
    "assembly is turned away by one.",
    "A percentage is taken of the whole length and never rounded up.",
)
_SIGNS = {ToleranceUnit.MM: " mm", ToleranceUnit.PERCENT: " %", ToleranceUnit.DEGREE: "°"}


@dataclass(frozen=True)
class Chapter:
    """Rule sets about the same thing, each the rows of one document's rule."""

    title: str
    about: str
    rule_sets: tuple[PrintedTable, ...]


@require_GET
@needs(Permission.READ)
def tolerances(request: StaffRequest) -> HttpResponse:
    """The rule sets for length, squareness and angle, each row with its source and who confirmed it."""
    context = {
        "chapters": chapters(policy_in_force(), confirmations()),
        "cautions": CAUTIONS,
        "may_confirm": request.user.may(Permission.CONFIRM_RATINGS),
    }
    return render(request, "web/reference/tolerances.html", context)


def chapters(policy: Policy, confirmed: Confirmations) -> list[Chapter]:
    """All rule sets by what they are about, those that this policy uses marked."""
    used = {
        policy.length_rules: f"The policy in force ({policy}) holds the finished length to it, unless a "
        "customer has a rule set of their own.",
        policy.cut_rules: f"The policy in force ({policy}) holds the cut length to it.",
        ORIENTATION: "Every inspection holds the angle to it.",
    }

    def rule_sets(rules: Mapping[str, Iterable[LengthRule]]) -> tuple[PrintedTable, ...]:
        return tuple(_rule_set(name, rows, used.get(name, ""), confirmed) for name, rows in rules.items())

    table = standards_folder() / "length_tolerances.csv"
    lengths = read_rules(table)
    finished = {name: lengths[name] for name, _ in LENGTH_RULES}
    return [
        Chapter(
            "Length of the finished assembly",
            "A workshop's policy chooses one of these. They differ: say on the order which one holds.",
            rule_sets(finished),
        ),
        Chapter(
            "Length of hose without ends",
            "Other rules for another thing: a cut hose is not a finished assembly.",
            rule_sets({name: rows for name, rows in lengths.items() if name not in finished}),
        ),
        Chapter(
            "Squareness of the cut",
            "How far one side of the cut end may stand back from the other.",
            rule_sets(read_rules(table, Toleranced.SQUARENESS)),
        ),
        Chapter(
            "Angle",
            "Look along the hose with the near end at six o'clock and measure counter-clockwise to the far "
            "end: 90° and 270° are never the same.",
            rule_sets(read_rules(table, Toleranced.ANGLE)),
        ),
    ]


def _rule_set(name: str, rules: Iterable[LengthRule], used: str, confirmed: Confirmations) -> PrintedTable:
    rows = table_rows(rules, confirmed, _cells)
    return PrintedTable(name, ("For", "Length", "Allowed"), rows, frozenset({2}), used)


def _cells(rule: LengthRule) -> Iterator[str]:
    yield rule.applies_to
    yield length_words(rule)
    yield _allowed(rule)


def _allowed(rule: LengthRule) -> str:
    sign = _SIGNS[rule.unit]
    if is_one_sided(rule):
        return f"at most {plain(rule.plus)}{sign}"
    if rule.plus == rule.minus:
        return f"± {plain(rule.plus)}{sign}"
    return f"+{plain(rule.plus)} / −{plain(rule.minus)}{sign}"
