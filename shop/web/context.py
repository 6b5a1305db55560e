"""What every page knows: the workshop, and where the person may go."""

from typing import Any

from django.http import HttpRequest
from django.urls import reverse

from shop.people.models import User
from shop.people.permissions import Permission
from shop.web.workshop import find_workshop

PLACES: tuple[tuple[str, str, Permission], ...] = (
    ("Counter", "web:counter", Permission.READ),
    ("Bench", "web:bench", Permission.READ),
    ("Stores", "web:stores", Permission.READ),
    ("Tools", "web:tools", Permission.READ),
    ("Quality", "web:quality", Permission.READ),
    ("Reference", "web:reference", Permission.READ),
)


def sheet(request: HttpRequest) -> dict[str, Any]:
    """The frame of a page: `workshop` and `nav`."""
    nav = []
    if isinstance(request.user, User):
        for label, name, permission in PLACES:
            if request.user.may(permission):
                url = reverse(name)
                nav.append({"label": label, "url": url, "current": request.path.startswith(url)})
    return {"workshop": find_workshop(), "nav": nav}
