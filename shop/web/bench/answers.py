"""What the sender of a step is told: a browser the page that comes next, a tablet's script the same as data.

The script sends a step again that it got no answer to (`static/web/waiting.js`). It says whose step it
is, since somebody else may be signed in by then.
"""

from typing import Any

from django.contrib import messages
from django.http import HttpResponse, JsonResponse
from django.shortcuts import redirect
from django.urls import reverse

from shop.web.access import StaffRequest

PERSON = "X-Ferrulebook-Person"


def somebody_elses(request: StaffRequest) -> HttpResponse | None:
    """The answer to a step of somebody who is not the one signed in now: it goes on waiting."""
    whose = request.headers.get(PERSON)
    if whose is None or whose == str(request.user.number):
        return None
    return JsonResponse({"signIn": True}, status=409)


def taken(request: StaffRequest, said: str, page: str, **where: Any) -> HttpResponse:
    """The step is in the record; the page says so."""
    messages.success(request, said)
    if PERSON in request.headers:
        return JsonResponse({"to": reverse(page, kwargs=where)})
    return redirect(reverse(page, kwargs=where))


def too_late(request: StaffRequest, said: str, page: str, **where: Any) -> HttpResponse:
    """The step is none that could be taken now."""
    if PERSON in request.headers:
        return JsonResponse({"refused": [said]}, status=409)
    messages.error(request, said)
    return redirect(reverse(page, kwargs=where))
