"""The lock of a screen that nobody touched: it goes on where it was once its person has typed the PIN."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from shop.people.models import User
from shop.web.door import idle
from shop.web.door.tablet import TabletForm, come_to_the_tablet, return_address

LOCKED = 423  # the answer's status; what was sent was not taken, and nothing is wrong with it
NOT_KEPT = ("csrfmiddlewaretoken", "password", TabletForm.prefix)


def ask_who_is_there(request: HttpRequest, user: User) -> HttpResponse | None:
    """The lock's page if the screen is locked; None if it is not, or was unlocked by this very request.

    What was sent while it was locked lies in the lock's own form and is sent along with the PIN, so it is
    taken then, and only from the person who had typed it.
    """
    if not idle.is_locked(request, user):
        return None
    if "HX-Request" in request.headers:  # a part of a page: the whole page asks
        return HttpResponse(status=204, headers={"HX-Refresh": "true"})
    answered = f"{TabletForm.prefix}-pin" in request.POST
    form = TabletForm(request.POST if answered else None, before=user, address=request.META["REMOTE_ADDR"])
    del form.fields["badge"]
    if form.is_valid():
        come_to_the_tablet(request, form)
        kept = request.POST.copy()
        for name in [name for name in kept if name.startswith(TabletForm.prefix)]:
            del kept[name]
        request.POST = kept  # type: ignore[assignment]  # the view takes what was typed, and no PIN
        return None
    return render(request, "web/door/locked.html", _context(request, user, form), status=LOCKED)


def _context(request: HttpRequest, user: User, form: TabletForm) -> dict[str, object]:
    kept = [
        (name, value)
        for name, values in request.POST.lists()
        if not name.startswith(NOT_KEPT)
        for value in values
    ]
    return {
        "form": form,
        "person": user,
        "kept": kept,
        "was_sent": request.method == "POST",
        "here": return_address(request),
        "has_files": bool(request.FILES),
    }
