"""The tolerances page: every rule set as its document prints it, and which one this workshop holds to."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from shop.engineering.numbers import plain
from shop.engineering.tolerance import LengthRule, Toleranced, ToleranceUnit, read_rules
from shop.people.permissions import Permission
from shop.policy.models import Policy
from shop.policy.services import policy_in_force
from shop.standards.loading import standards_folder
from shop.web.access import StaffRequest, needs

ORIENTATION = "elbow orientation"  # what `orientation_tolerance_deg` holds every inspection to
CAUTIONS = (
    "Rows from memory were not compared with their documents. Hold them beside the document before an "
    "assembly is turned away by one.",
    "A percentage is taken of the whole length and never rounded up.",
)
SQUARENESS = "IP-2 end squareness"  # stands back one way only
_SIGNS = {ToleranceUnit.MM: " mm", ToleranceUnit.PERCENT: " %", ToleranceUnit.DEGREE: "°"}


@dataclass(frozen=True)
class ToleranceRow:
    """One row of a rule set, in words."""

    applies_to: str
    lengths: str
    allowed: str
    source: str
    basis: str


@dataclass(frozen=True)
class RuleSet:
    """The rows of one document's rule. `used` says what this workshop holds to it; empty if nothing."""

    name: str
    used: str
    rows: tuple[ToleranceRow, ...]


@dataclass(frozen=True)
class Chapter:
    """Rule sets about the same thing."""

    title: str
    about: str
    rule_sets: tuple[RuleSet, ...]


@require_GET
@needs(Permission.READ)
def tolerances(request: StaffRequest) -> HttpResponse:
    """The rule sets for length, squareness and angle, each row with its source."""
    context = {"chapters": chapters(policy_in_force()), "cautions": CAUTIONS}
    return render(request, "web/reference/tolerances.html", context)


def chapters(policy: Policy) -> list[Chapter]:
    """All rule sets by what they are about, those that this policy uses marked."""
    used = {
        policy.length_rules: f"The policy in force ({policy}) holds the finished length to it.",
        ORIENTATION: "Every inspection holds the angle to it.",
    }
    table = standards_folder() / "length_tolerances.csv"
    lengths = read_rules(table)
    choosable = [name for name, _ in Policy._meta.get_field("length_rules").flatchoices]
    return [
        Chapter(
            "Length of the finished assembly",
            "A workshop's policy chooses one of these. They differ: say on the order which one holds.",
            _rule_sets({name: lengths[name] for name in choosable}, used),
        ),
        Chapter(
            "Length of hose without ends, and of hose with built-in ends",
            "Other rules for other things: a cut hose is not a finished assembly.",
            _rule_sets({name: rows for name, rows in lengths.items() if name not in choosable}, used),
        ),
        Chapter(
            "Squareness of the cut",
            "How far one side of the cut end may stand back from the other.",
            _rule_sets(read_rules(table, Toleranced.SQUARENESS), used),
        ),
        Chapter(
            "Angle",
            "Look along the hose with the near end at six o'clock and measure counter-clockwise to the far "
            "end: 90° and 270° are never the same.",
            _rule_sets(read_rules(table, Toleranced.ANGLE), used),
        ),
    ]


def _rule_sets(rules: Mapping[str, Iterable[LengthRule]], used: Mapping[str, str]) -> tuple[RuleSet, ...]:
    return tuple(RuleSet(name, used.get(name, ""), tuple(map(_row, rows))) for name, rows in rules.items())


def _row(rule: LengthRule) -> ToleranceRow:
    return ToleranceRow(rule.applies_to, _lengths(rule), _allowed(rule), rule.source, rule.basis)


def _lengths(rule: LengthRule) -> str:
    if rule.up_to_mm is None:
        return f"over {plain(rule.over_mm)} mm" if rule.over_mm else "any"
    if not rule.over_mm:
        return f"up to {plain(rule.up_to_mm)} mm"
    return f"over {plain(rule.over_mm)} to {plain(rule.up_to_mm)} mm"


def _allowed(rule: LengthRule) -> str:
    sign = _SIGNS[rule.unit]
    if rule.rule == SQUARENESS:
        return f"at most {plain(rule.plus)}{sign}"
    if rule.plus == rule.minus:
        return f"± {plain(rule.plus)}{sign}"
    return f"+{plain(rule.plus)} / −{plain(rule.minus)}{sign}"
