"""How long the finished assembly may be, by the rules that the workshop's policy names."""

from decimal import Decimal
from functools import cache

from django.conf import settings

from shop.engineering.errors import OffTheTable
from shop.engineering.tolerance import LengthLimits, LengthRule, length_limits_mm, read_rules
from shop.policy.models import Policy

TABLE = settings.BASE_DIR / "fixtures" / "standards" / "length_tolerances.csv"


def finished_length(overall: Decimal, dash: int, policy: Policy) -> LengthLimits | None:
    """The shortest and the longest finished length that is right; None where the rules have no row for it.

    `overall` in mm. The table carries the source and the basis of each row.
    """
    try:
        return length_limits_mm(overall, dash, _rules()[policy.length_rules])
    except OffTheTable:
        return None


@cache
def _rules() -> dict[str, tuple[LengthRule, ...]]:
    return read_rules(TABLE)
