"""Signing in, and the first page of an empty workshop."""

from typing import Any

from django import forms
from django.contrib.auth import authenticate

from shop.people.models import User
from shop.policy.models import Workshop


class SignInForm(forms.Form):
    """Name and password."""

    username = forms.CharField(
        label="Sign-in name", widget=forms.TextInput(attrs={"autocomplete": "username"})
    )
    password = forms.CharField(widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}))

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if cleaned.get("username") and cleaned.get("password"):
            self.user = authenticate(username=cleaned["username"], password=cleaned["password"])
            if self.user is None:
                raise forms.ValidationError("Name and password don't go together. Type both again.")
        return cleaned


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
