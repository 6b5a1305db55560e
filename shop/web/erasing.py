"""Erasing a person's or a customer's data: what it means, and the number typed as a confirmation."""

from django import forms
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from shop.orders.models import Customer
from shop.people.models import User
from shop.people.permissions import Permission
from shop.trace.erasing import erase_customer, erase_person, words_by
from shop.web.access import StaffRequest, needs
from shop.web.refusing import answered_doubts, attempt


class EraseForm(forms.Form):
    """The number of whoever is to be erased, typed."""

    number = forms.CharField(max_length=20, widget=forms.TextInput(attrs={"autocomplete": "off"}))

    def __init__(self, *args: object, number: str, label: str) -> None:
        super().__init__(*args)  # type: ignore[arg-type]  # data only
        self._number = number
        self.fields["number"].label = label
        self.fields["number"].help_text = f"Type {number}, so that nobody else is erased by a slip."

    def clean_number(self) -> str:
        typed: str = self.cleaned_data["number"].strip()
        if typed != self._number:
            raise forms.ValidationError(f"That is not {self._number}. Look at the page again: who is meant?")
        return typed


@require_http_methods(["GET", "POST"])
@needs(Permission.ERASE)
def person(request: StaffRequest, pk: int) -> HttpResponse:
    """Erase what is known of a person."""
    row = get_object_or_404(User, pk=pk)
    form = EraseForm(_sent(request), number=str(row.number), label="Staff number")
    if form.is_valid() and attempt(form, lambda: erase_person(actor=request.user, person=row)) is not None:
        messages.success(request, f"Number {row.number} is erased. What was done under it stays.")
        return redirect("web:people_item", pk)
    return _page(request, form, row, "web:people_item", {"words": words_by(row)})


@require_http_methods(["GET", "POST"])
@needs(Permission.ERASE)
def customer(request: StaffRequest, pk: int) -> HttpResponse:
    """Erase what is known of a customer."""
    row = get_object_or_404(Customer, pk=pk)
    form = EraseForm(_sent(request), number=row.number, label="Customer's number")
    sure = answered_doubts(request.POST)
    if (
        form.is_valid()
        and attempt(form, lambda: erase_customer(actor=request.user, customer=row, sure=sure)) is not None
    ):
        messages.success(request, f"Customer {row.number} is erased. The orders stay under that number.")
        return redirect("web:customers_item", pk)
    return _page(request, form, row, "web:customers_item", {"is_customer": True})


def _sent(request: StaffRequest) -> object:
    return request.POST if request.method == "POST" else None


def _page(
    request: StaffRequest, form: EraseForm, row: User | Customer, back: str, more: dict[str, object]
) -> HttpResponse:
    context = {"form": form, "row": row, "back": back, **more}
    return render(request, "web/erasing.html", context, status=422 if form.is_bound else 200)
