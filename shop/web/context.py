"""What every page knows: the workshop, and where the person may go."""

from typing import Any

from django.http import HttpRequest
from django.urls import reverse

from shop.people.models import User
from shop.people.permissions import Permission
from shop.web.workshop import find_workshop

PLACES = (  # who may read may look at all of them
    ("Counter", "web:counter"),
    ("Bench", "web:bench"),
    ("Stores", "web:stores"),
    ("Tools", "web:tools"),
    ("Quality", "web:quality"),
    ("Reference", "web:reference"),
)


def sheet(request: HttpRequest) -> dict[str, Any]:
    """The frame of a page: `workshop` and `nav`."""
    nav = []
    user = getattr(request, "user", None)  # a request that is refused at once never gets one
    if isinstance(user, User) and user.may(Permission.READ):
        for label, name in PLACES:
            url = reverse(name)
            nav.append({"label": label, "url": url, "current": request.path.startswith(url)})
    return {"workshop": find_workshop(), "nav": nav}
