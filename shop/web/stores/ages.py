"""Until when hose may be fitted, by the policy in force."""

import datetime
from dataclasses import dataclass

from shop.engineering.dates import last_day_to_fit
from shop.policy.models import Policy
from shop.stock.models import Lot


@dataclass(frozen=True)
class Age:
    """The last day on which a lot's hose may be fitted, and how that stands today."""

    last_day: datetime.date | None
    words: str
    is_over: bool


def age_of(lot: Lot, policy: Policy, today: datetime.date) -> Age:
    """The age of a lot of hose under the policy; for fittings and ferrules there is no limit."""
    if lot.hose_id is None:
        return Age(None, "no limit of age", is_over=False)
    if lot.made is None:
        allowed = policy.undated_hose_allowed
        words = "undated: the policy lets it be cut" if allowed else "undated: may not be cut"
        return Age(None, words, is_over=not allowed)
    if policy.hose_age_months is None:
        return Age(None, "the policy has no limit of age", is_over=False)
    last = last_day_to_fit(lot.made, policy.hose_age_months, policy.own_quarter_counts)
    return Age(
        last,
        f"over age: the last day was {last}" if today > last else f"fit it by {last}",
        is_over=today > last,
    )
