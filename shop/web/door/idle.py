"""A screen that nobody touches asks who is there; what was typed stays.

When somebody was last seen stands in a signed cookie of its own and not in the session: an answer that is
late would bring an older session back, and with it the person before.
"""

import time

from django.conf import settings
from django.contrib.auth.signals import user_logged_in
from django.core import signing
from django.dispatch import receiver
from django.http import HttpRequest, HttpResponseBase

from shop.people.models import User
from shop.policy.models import IDLE_MINUTES
from shop.policy.refusals import NoWorkshopYet
from shop.policy.services import policy_in_force

COOKIE = "seen"
SALT = "shop.web.door.idle"
OFTEN_ENOUGH_S = 10  # the cookie isn't written anew more often
SHORTEST_S = 60  # no policy locks sooner, so until then none is asked
HERE_SINCE, BY_PIN = "here_since", "by_pin"  # in the session


def now() -> float:
    """Seconds since 1970; tests turn this clock."""
    return time.time()


def locks_after_s() -> int:
    """How long a screen may lie idle, by the policy in force."""
    try:
        return int(policy_in_force().locks_after.total_seconds())
    except NoWorkshopYet:
        return IDLE_MINUTES * 60


def is_locked(request: HttpRequest, user: User) -> bool:
    """Whether the person was seen too long ago. Without its cookie the time runs from signing in."""
    idle_s = now() - _last_seen(request, user)
    return idle_s > SHORTEST_S and idle_s > locks_after_s()


def note_seen(request: HttpRequest, response: HttpResponseBase) -> None:
    """Let the time run anew from this answer."""
    user = request.user
    if isinstance(user, User) and now() - _cookie_of(request, user) > OFTEN_ENOUGH_S:
        response.set_cookie(
            COOKIE,
            signing.dumps([user.pk, now()], salt=SALT),
            max_age=settings.SESSION_COOKIE_AGE,
            secure=settings.SESSION_COOKIE_SECURE,
            httponly=True,
            samesite="Lax",
        )


def unlock(request: HttpRequest, *, by_pin: bool) -> None:
    """The person has shown that it is still him or her; a PIN is good for the bench only."""
    request.session[HERE_SINCE] = now()
    request.session[BY_PIN] = by_pin


@receiver(user_logged_in)
def _begin(request: HttpRequest, **_: object) -> None:
    unlock(request, by_pin=False)


def _last_seen(request: HttpRequest, user: User) -> float:
    return max(float(request.session.get(HERE_SINCE, 0)), _cookie_of(request, user))


def _cookie_of(request: HttpRequest, user: User) -> float:
    try:
        who, at = signing.loads(request.COOKIES.get(COOKIE, ""), salt=SALT)
    except signing.BadSignature:
        return 0
    return float(at) if who == user.pk else 0
