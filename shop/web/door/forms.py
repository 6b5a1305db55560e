"""Signing in, and the first page of an empty workshop."""

from typing import Any

from django import forms

from shop.core.refusals import Refusal
from shop.people.models import User
from shop.people.pins import LONGEST, SHORTEST
from shop.policy.models import Workshop
from shop.web.door.trying import by_password


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
            self.user = by_password(username, password, self.address)
        except Refusal as refusal:
            raise forms.ValidationError(str(refusal)) from refusal


class PinForm(forms.Form):
    """A new PIN."""

    pin = forms.CharField(
        label="New PIN",
        widget=forms.PasswordInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
        help_text=f"{SHORTEST} to {LONGEST} digits that nobody would try first.",
    )


class OwnPinForm(PinForm):
    """A new PIN, and the password that shows whose it is."""

    password = forms.CharField(
        label="Your password", widget=forms.PasswordInput(attrs={"autocomplete": "current-password"})
    )
    field_order = ["password", "pin"]

    def __init__(self, data: Any = None, *, person: User, address: str) -> None:
        super().__init__(data)
        self.person = person
        self.address = address

    def clean_password(self) -> str:
        password: str = self.cleaned_data["password"]
        try:
            by_password(self.person.username, password, self.address)
        except Refusal as refusal:
            raise forms.ValidationError(str(refusal)) from refusal
        return password


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
