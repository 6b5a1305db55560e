"""Signing in, and the first page of an empty workshop."""

from typing import Any

from django import forms
from django.contrib.auth import authenticate

from shop.people.models import User
from shop.policy.models import Workshop
from shop.web.door.throttle import (
    TooManyTries,
    count_wrong_password,
    forget_wrong_passwords,
    require_calm,
)


class SignInForm(forms.Form):
    """Name and password, from a device at `address`; once valid, `user` is who it is."""

    username = forms.CharField(
        label="Sign-in name", widget=forms.TextInput(attrs={"autocomplete": "username"})
    )
    password = forms.CharField(widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}))

    def __init__(self, data: Any = None, *, address: str) -> None:
        super().__init__(data)
        self.address = address

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if cleaned.get("username") and cleaned.get("password"):
            self._sign_in(cleaned["username"], cleaned["password"])
        return cleaned

    def _sign_in(self, username: str, password: str) -> None:
        try:
            require_calm(username, self.address)
        except TooManyTries as refusal:
            raise forms.ValidationError(str(refusal)) from refusal
        self.user = authenticate(username=username, password=password)
        if self.user is None:
            count_wrong_password(username, self.address)
            raise forms.ValidationError("Name and password don't go together. Type both again.")
        forget_wrong_passwords(username, self.address)


class WorkshopForm(forms.ModelForm):  # type: ignore[type-arg]  # django-stubs' generic isn't subscriptable at run time
    """The workshop itself."""

    class Meta:
        model = Workshop
        fields = ["name", "address", "length_unit", "pressure_unit", "zone", "base_address"]


class FirstOwnerForm(forms.ModelForm):  # type: ignore[type-arg]  # as above
    """The first person: an owner."""

    password = forms.CharField(
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}), min_length=8
    )

    class Meta:
        model = User
        fields = ["number", "name", "username"]
