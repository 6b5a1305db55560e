"""Until when an assembly that is out of the workshop may stay in service."""

from shop.assemblies.models import Assembly, Tag
from shop.assemblies.models.assembly import OUT_OF_THE_WORKSHOP
from shop.engineering.age import AgeLimit, AgeRule, CountsFrom, Deed, History, age_limit
from shop.engineering.dates import parse_made


def service_limit(assembly: Assembly, tag: Tag | None) -> AgeLimit | None:
    """The last day in service; None if the policy that it was confirmed under sets none.

    Counted from the first day of the month on its tag, which tells no day: the sooner one is the safe
    one. None as well for what was not released, or is out of service: it has no day to wait for.
    """
    policy = assembly.resolution.policy
    if tag is None or policy.service_months is None or assembly.state not in OUT_OF_THE_WORKSHOP:
        return None
    rule = AgeRule(
        policy="this workshop",
        applies_to="assembly",
        deed=Deed.REPLACE,
        counts_from=CountsFrom.ASSEMBLY,
        months=policy.service_months,
        leeway_months=0,
        own_period_counts=None,
        source=f"the workshop's {policy}",
        basis="policy",
        note="",
    )
    return age_limit(rule, History(assembled=parse_made(tag.made).first_day))
