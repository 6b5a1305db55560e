"""How long the finished assembly may be, by the rules that the customer or the policy names."""

from decimal import Decimal
from functools import cache

from django.conf import settings

from shop.engineering.errors import OffTheTable
from shop.engineering.tolerance import LengthLimits, LengthRule, length_limits_mm, read_rules
from shop.orders.models import Customer
from shop.policy.models import Policy

TABLE = settings.BASE_DIR / "fixtures" / "standards" / "length_tolerances.csv"


def length_rules_for(customer: Customer, policy: Policy) -> str:
    """The rules for what this customer orders: those of its drawings if they name some, else the policy's."""
    return customer.length_rules or policy.length_rules


def finished_length(overall: Decimal, dash: int, rules: str) -> LengthLimits | None:
    """The shortest and the longest finished length that is right; None where the rules have no row for it.

    `overall` in mm. The table carries the source and the basis of each row.
    """
    try:
        return length_limits_mm(overall, dash, _rules()[rules])
    except OffTheTable:
        return None


def cut_limits(cut_length: Decimal, dash: int, policy: Policy) -> LengthLimits | None:
    """The shortest and the longest that the hose may be cut; None where the policy has no rules for it.

    `cut_length` in mm. Cut hose and finished assemblies have different tables (IP-2 Table 4-8).
    """
    if not policy.cut_rules:
        return None
    try:
        return length_limits_mm(cut_length, dash, _rules()[policy.cut_rules])
    except OffTheTable:
        return None


@cache
def _rules() -> dict[str, tuple[LengthRule, ...]]:
    return read_rules(TABLE)
