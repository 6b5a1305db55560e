"""Who sees which page. Every view says it: there is no default."""

from collections.abc import Callable
from functools import wraps
from typing import Concatenate, ParamSpec

from django.contrib.auth.views import redirect_to_login
from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import render
from django.utils.cache import add_never_cache_headers

from shop.people.access import require
from shop.people.models import User
from shop.people.permissions import Permission
from shop.people.refusals import NotAllowed
from shop.web.door.idle import BY_PIN, note_seen
from shop.web.door.lock import ask_who_is_there

# A PIN is short and typed before everybody's eyes: it brings nobody to these.
WITH_A_PASSWORD = frozenset(
    {Permission.KEEP_PEOPLE, Permission.SET_POLICY, Permission.ERASE, Permission.KEEP_SEALING_KEY}
)

P = ParamSpec("P")
View = Callable[Concatenate[HttpRequest, P], HttpResponseBase]


class StaffRequest(HttpRequest):
    """A request of somebody who is signed in; what views under `needs` get."""

    user: User  # never anonymous behind `needs`


def needs(
    permission: Permission,
) -> Callable[[Callable[Concatenate[StaffRequest, P], HttpResponseBase]], View[P]]:
    """Let only people with the permission in; the others are asked to sign in, or told whom to ask."""

    def guard(view: Callable[Concatenate[StaffRequest, P], HttpResponseBase]) -> View[P]:
        @wraps(view)
        def guarded(request: HttpRequest, /, *args: P.args, **kwargs: P.kwargs) -> HttpResponseBase:
            user = request.user
            if not isinstance(user, User):
                return redirect_to_login(request.get_full_path())
            if (lock := ask_who_is_there(request, user)) is not None:
                add_never_cache_headers(lock)
                return lock
            try:
                require(user, permission)
            except NotAllowed as refusal:
                return render(request, "web/door/not_allowed.html", {"refusal": refusal}, status=403)
            if permission in WITH_A_PASSWORD and request.session.get(BY_PIN):
                return render(request, "web/door/password_first.html", {"permission": permission}, status=403)
            response = view(request, *args, **kwargs)  # type: ignore[arg-type]  # signed in, so a StaffRequest
            note_seen(request, response)
            # On a shared tablet the back button must not show the next person what this one saw.
            add_never_cache_headers(response)
            return response

        guarded.permission = permission  # type: ignore[attr-defined]  # read by the rule test of URLs
        return guarded

    return guard


def open_to_all(view: View[P]) -> View[P]:
    """Mark a view that anybody may see: the door and the public pages."""
    view.permission = None  # type: ignore[attr-defined]  # read by the rule test of URLs
    return view
