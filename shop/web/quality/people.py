"""The list of people, with their roles and badges."""

from collections.abc import Mapping
from typing import Any

import django_filters
import django_tables2 as tables
from django import forms
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from shop.authority.services import authorities_of
from shop.people.models import User
from shop.people.permissions import Permission, Role
from shop.people.pins import set_pin
from shop.people.services import save_person
from shop.web.access import StaffRequest, needs
from shop.web.door.forms import PinForm
from shop.web.quality.authorities import standing, steps_that_ask
from shop.web.refusing import attempt
from shop.web.registers.filters import RegisterFilter
from shop.web.registers.forms import RegisterForm
from shop.web.registers.register import Register

LEAST_PASSWORD = 8


class PersonForm(RegisterForm):
    """A person with roles. The password has a page of its own: no list and no file carries it."""

    KEY = ("number",)

    roles = forms.MultipleChoiceField(
        choices=[(role.value, role.value) for role in Role],
        widget=forms.CheckboxSelectMultiple,
        required=False,
        help_text="Somebody without a role can sign in and do nothing.",
    )

    class Meta(RegisterForm.Meta):
        model = User
        fields = ["number", "name", "username", "roles", "is_active"]

    def write(self, *, actor: User, sure: frozenset[str]) -> User:
        return save_person(actor=actor, person=self.instance)


class PersonTable(tables.Table):
    """The list of people."""

    number = tables.Column(verbose_name="Staff number", linkify=("web:people_item", [tables.A("pk")]))
    name = tables.Column()
    username = tables.Column()
    role_words = tables.Column(verbose_name="Roles", orderable=False)
    is_active = tables.BooleanColumn(verbose_name="Works here", yesno="yes,no")

    class Meta:
        model = User
        fields = ("number", "name", "username", "role_words", "is_active")
        order_by = "number"


class PersonFilter(RegisterFilter):
    """People can be narrowed to those who work here."""

    SEARCH = ("name", "username", "number")

    is_active = django_filters.ChoiceFilter(
        label="Works here", empty_label="any", choices=[("True", "yes"), ("False", "no longer")]
    )


class PasswordForm(forms.Form):
    """A new password, typed by whoever keeps the list together with the person."""

    password = forms.CharField(
        min_length=LEAST_PASSWORD,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        help_text=f"At least {LEAST_PASSWORD} characters. Let the person type it.",
    )


@require_http_methods(["GET", "POST"])
@needs(Permission.KEEP_PEOPLE)
def set_password(request: StaffRequest, pk: int) -> HttpResponse:
    """Give a person a password; the one before stops working."""
    person = get_object_or_404(User, pk=pk)
    form = PasswordForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        password = form.cleaned_data["password"]
        saved = attempt(form, lambda: save_person(actor=request.user, person=person, password=password))
        if saved is not None:
            messages.success(request, f"{person} signs in as {person.username} with the new password.")
            return redirect("web:people_item", person.pk)
    return render(request, "web/quality/people/password.html", {"form": form, "person": person})


@require_http_methods(["GET", "POST"])
@needs(Permission.KEEP_PEOPLE)
def set_persons_pin(request: StaffRequest, pk: int) -> HttpResponse:
    """Give a person a PIN; the one before stops working."""
    person = get_object_or_404(User, pk=pk)
    form = PinForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        pin = form.cleaned_data["pin"]
        if attempt(form, lambda: set_pin(actor=request.user, person=person, pin=pin)) is not None:
            messages.success(request, f"The PIN of {person} is set. It goes with the badge: print its label.")
            return redirect("web:people_item", person.pk)
    return render(request, "web/quality/people/pin.html", {"form": form, "person": person})


def _more(request: StaffRequest, person: User) -> Mapping[str, Any]:
    return {
        "acts": [permission.value for permission in Permission if person.may(permission)],
        "authorities": [(authority, standing(authority)) for authority in authorities_of(person)],
        "asked": steps_that_ask(),
        "may_erase": request.user.may(Permission.ERASE),
    }


PEOPLE = Register(
    slug="people",
    place="quality",
    title="People",
    noun="person",
    about="Everybody who works with the book, with what they may do. Start with the people at the bench, "
    "and with a second person who checks.",
    model=User,
    form=PersonForm,
    table=PersonTable,
    filterset=PersonFilter,
    write=Permission.KEEP_PEOPLE,
    label=True,
    item_template="web/quality/people/item.html",
    more_of_row=_more,
)
