"""Who is at the tablet: badge and PIN, or the PIN alone of who was there before."""

from typing import Any

from django import forms
from django.contrib.auth import login
from django.http import HttpRequest, QueryDict
from django.urls import reverse

from shop.people.models import User
from shop.people.pins import LONGEST
from shop.people.refusals import NotTheirPin
from shop.web.door import idle
from shop.web.door.throttle import pins_are_used_up
from shop.web.door.trying import by_badge, by_password
from shop.web.refusing import attempt


class TabletForm(forms.Form):
    """Badge and PIN; without a badge it is about `before`, who is signed in. Once valid, `person` is there.

    Who was there before and has no PIN, or has used it up, types the password instead.
    """

    prefix = "tablet"  # beside the answers of a page that was locked when they were sent

    badge = forms.CharField(
        required=False,
        widget=forms.TextInput(
            attrs={"data-scan": True, "autocomplete": "off", "autocapitalize": "characters"}
        ),
    )
    pin = forms.CharField(
        label="PIN",
        strip=False,
        widget=forms.PasswordInput(
            attrs={"inputmode": "numeric", "autocomplete": "off", "maxlength": LONGEST, "size": LONGEST}
        ),
    )

    def __init__(
        self, data: QueryDict | None = None, *, before: User | None, address: str, **kwargs: Any
    ) -> None:
        super().__init__(data, **kwargs)
        self.before = before
        self.address = address
        self.person: User | None = None
        badge = self["badge"].value() or ""
        self.is_before = before is not None and badge.strip() in ("", before.code)
        self.by_pin = not (self.is_before and before and _needs_password(before, address))
        if not self.by_pin:
            self.fields["pin"].label = "Password"
            self.fields["pin"].widget = forms.PasswordInput(attrs={"autocomplete": "current-password"})

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if cleaned.get("pin"):
            self.person = attempt(self, lambda: self._find(cleaned.get("badge", "").strip(), cleaned["pin"]))
            if self.person is None and not self.errors:
                self.add_error("pin", "That was not taken.")
        return cleaned

    def _find(self, badge: str, typed: str) -> User:
        if not self.is_before:
            return by_badge(badge, typed, self.address)
        if self.before is None:
            raise NotTheirPin
        if self.by_pin:
            return by_badge(self.before.code, typed, self.address)
        return by_password(self.before.username, typed, self.address)


def _needs_password(person: User, address: str) -> bool:
    return not person.has_pin or pins_are_used_up(person.code, address)


def come_to_the_tablet(request: HttpRequest, form: TabletForm) -> bool:
    """Let who has answered go on; True if it is somebody else than before, who gets a session of his own."""
    assert form.person is not None, "the form is valid"
    changes = form.person != form.before
    if changes:
        login(request, form.person)
    idle.unlock(request, by_pin=form.by_pin)
    return changes


def return_address(request: HttpRequest) -> str:
    """The page that somebody is on, as an address that can be opened.

    At the bench a step that was sent answers under an address of its own, which nothing can be read from.
    """
    match = request.resolver_match
    if match is not None and request.method == "POST":
        if match.url_name and match.url_name.startswith("bench_run_"):
            return reverse("web:bench_run", kwargs=match.kwargs)
        if match.url_name and match.url_name.startswith("bench_"):
            return reverse("web:bench_assembly", kwargs=match.kwargs)
    return request.get_full_path() if request.method == "GET" else request.path
