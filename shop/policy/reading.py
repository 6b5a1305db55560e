"""The workshop's entry and its policy, read once for a request however often figures and days are asked."""

import datetime
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar

from shop.policy.models import Policy, Workshop

_policies: ContextVar[dict[datetime.date, Policy] | None] = ContextVar("policies", default=None)
_known: ContextVar[list[Workshop] | None] = ContextVar("workshop", default=None)


def find_workshop() -> Workshop | None:
    """The workshop of this installation; None before there is one."""
    known = _known.get()
    if known:
        return known[0]
    workshop = Workshop.objects.first()
    if known is not None and workshop is not None:
        known.append(workshop)
    return workshop


def remembered_policy(day: datetime.date, read: Callable[[], Policy]) -> Policy:
    """The policy of that day: `read` now, or before while the same request lasted."""
    policies = _policies.get()
    if policies is None:
        return read()
    if day not in policies:
        policies[day] = read()
    return policies[day]


def forget_policies() -> None:
    """Another policy was set: what was read before it may not be in force any more."""
    policies = _policies.get()
    if policies is not None:
        policies.clear()


@contextmanager
def workshop_read_once() -> Iterator[None]:
    """Ask the database for workshop and policy once at most while this lasts, and never keep them longer."""
    token, policies = _known.set([]), _policies.set({})
    try:
        yield
    finally:
        _known.reset(token)
        _policies.reset(policies)
