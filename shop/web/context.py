"""What every page knows: the workshop, and where the person may go."""

from typing import Any

from django.http import HttpRequest
from django.urls import reverse

from shop.people.models import User
from shop.people.permissions import Permission
from shop.policy.reading import find_workshop
from shop.web.door.idle import locks_after_s
from shop.web.door.tablet import TabletForm, return_address

PLACES = (  # who may read may look at all of them
    ("Counter", "web:counter"),
    ("Bench", "web:bench"),
    ("Stores", "web:stores"),
    ("Tools", "web:tools"),
    ("Quality", "web:quality"),
    ("Reference", "web:reference"),
)


def sheet(request: HttpRequest) -> dict[str, Any]:
    """The frame of a page: `workshop`, `nav`, and for who is signed in what changes the person there."""
    nav = []
    user = getattr(request, "user", None)  # a request that is refused at once never gets one
    if isinstance(user, User) and user.may(Permission.READ):
        for label, name in PLACES:
            url = reverse(name)
            nav.append({"label": label, "url": url, "current": request.path.startswith(url)})
    frame: dict[str, Any] = {"workshop": find_workshop(), "nav": nav}
    if isinstance(user, User):
        form = TabletForm(before=user, address=request.META["REMOTE_ADDR"], auto_id="dialog_%s")
        frame |= {"tablet_form": form, "here": return_address(request), "idle_s": locks_after_s}
    return frame
