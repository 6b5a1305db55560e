"""The page of ages, velocities and cleanliness codes: figures that sources disagree on."""

from collections.abc import Iterator

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from shop.engineering.age import AgeRule, Deed
from shop.engineering.cleanliness import ScaleRow
from shop.engineering.flow import VelocityLimit
from shop.people.permissions import Permission
from shop.policy.models import Policy
from shop.policy.services import policy_in_force
from shop.standards.figures import TITLES, Confirmations, confirmations
from shop.web.access import StaffRequest, needs
from shop.web.reference.printed import PrintedTable, table_rows
from shop.web.worksheets.tables import age_policies, cleanliness_scale, velocity_limits

CAUTIONS = (
    "Rows from memory were not compared with their documents. Look them up before you rely on one.",
    "The sources disagree. What the makers of hose and machine say, and local rules, go before them.",
)
_DEEDS = {Deed.FIT: "to fit", Deed.STORE: "in store", Deed.REPLACE: "to replace", Deed.TEST: "to test again"}
_COUNTED = {None: "", True: ", its own quarter counted", False: ", its own quarter not counted"}


@require_GET
@needs(Permission.READ)
def figures(request: StaffRequest) -> HttpResponse:
    """Each row with its source and who has confirmed it."""
    confirmed = confirmations()
    context = {
        "tables": [_ages(confirmed), _velocities(confirmed, policy_in_force()), _codes(confirmed)],
        "cautions": CAUTIONS,
        "may_confirm": request.user.may(Permission.CONFIRM_RATINGS),
    }
    return render(request, "web/reference/figures.html", context)


def _ages(confirmed: Confirmations) -> PrintedTable:
    def cells(rule: AgeRule) -> Iterator[str]:
        yield f"{rule.applies_to}, {_DEEDS[rule.deed]}"
        yield rule.policy
        yield f"{rule.months} months" + (f" ± {rule.leeway_months}" if rule.leeway_months else "")
        note = f" ({rule.note})" if rule.note else ""
        yield f"{rule.counts_from}{_COUNTED[rule.own_period_counts]}{note}"

    rules = [rule for each in age_policies().values() for rule in each]
    return PrintedTable(
        TITLES["age_policies"],
        ("For", "Policy", "At most", "Counted from"),
        table_rows(rules, confirmed, cells),
        frozenset({2}),
    )


def _velocities(confirmed: Confirmations, policy: Policy) -> PrintedTable:
    def cells(limit: VelocityLimit) -> Iterator[str]:
        yield f"{limit.duty} line"
        yield limit.limits
        yield f"{limit.up_to}" + (f" ({limit.note})" if limit.note else "")
        yield "—" if limit.at_least is None else str(limit.at_least)

    limits = [limit for each in velocity_limits().values() for limit in each.values()]
    chosen = policy.velocity_limits
    return PrintedTable(
        TITLES["velocity_limits"],
        ("For", "Limits", "Up to", "At least, by habit"),
        table_rows(limits, confirmed, cells),
        frozenset({2, 3}),
        used=f"The policy in force ({policy}) holds velocities to {chosen}." if chosen else "",
    )


def _codes(confirmed: Confirmations) -> PrintedTable:
    def cells(row: ScaleRow) -> Iterator[str]:
        yield str(row.code)
        yield row.words

    rows = table_rows(cleanliness_scale(), confirmed, cells)
    return PrintedTable(
        f"{TITLES['cleanliness_codes']} of ISO 4406", ("Number", "Particles"), rows, frozenset()
    )
