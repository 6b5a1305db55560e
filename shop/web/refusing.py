"""Putting a refusal where the person looks: on the form that was sent."""

from collections.abc import Callable
from typing import TypeVar

from django import forms
from django.core.exceptions import ValidationError
from django.http import QueryDict

from shop.core.refusals import Doubt, Refusal

T = TypeVar("T")


def attempt(form: forms.BaseForm, act: Callable[[], T]) -> T | None:
    """Do what the form asks for; None if it was refused, with the sentences on the form.

    A `Doubt` puts its code in `form.doubts`, for which the page offers a tick box named `sure`.
    """
    try:
        return act()
    except Refusal as refusal:
        add_refusal(form, refusal)
    except ValidationError as error:
        for field, messages in _by_field(error).items():
            # What is wrong with a column that the form doesn't show is the whole form's affair.
            for message in messages:
                form.add_error(field if field in form.fields else None, message)
    return None


def _by_field(error: ValidationError) -> dict[str, list[str]]:
    return error.message_dict if hasattr(error, "error_dict") else {"": error.messages}


def add_refusal(form: forms.BaseForm, refusal: Refusal) -> None:
    """Show the refusal above the form and, if it is about one of its fields, at that field too."""
    form.refusal = refusal  # type: ignore[attr-defined]  # read by web/parts/form_summary.html
    if refusal.field in form.fields:
        form.add_error(refusal.field, refusal.what)
    if isinstance(refusal, Doubt):
        form.doubts = [*getattr(form, "doubts", []), refusal]  # type: ignore[attr-defined]


def answered_doubts(data: QueryDict) -> frozenset[str]:
    """The codes of the doubts that the person has ticked."""
    return frozenset(data.getlist("sure"))
