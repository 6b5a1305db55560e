"""How long a finished assembly may be."""

from shop.assemblies.refusals import NoLengthTolerance
from shop.engineering.tolerance import LengthLimits
from shop.orders.models import Resolution
from shop.orders.tolerance import finished_length
from shop.policy.models import Policy


def finished_length_limits(resolution: Resolution, policy: Policy) -> LengthLimits:
    """How short and how long the finished assembly may be, by the table that its order was confirmed with.

    By the policy's where it was confirmed before that was kept. Raises `NoLengthTolerance` if the table
    has no row for its length and size.
    """
    rules = resolution.length_rules or policy.length_rules
    limits = finished_length(resolution.overall_length, resolution.hose.dash, rules)
    if limits is None:
        raise NoLengthTolerance(rules=rules, overall=resolution.overall_length, dash=resolution.hose.dash)
    return limits
