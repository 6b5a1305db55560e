"""What is asked on the record's page."""

import datetime

from django import forms

from shop.assemblies.models import CAUSES, Cause, DecisionKind
from shop.policy.services import today
from shop.web.fields import DayField


class PrintForm(forms.Form):
    """Another print of a tag, with its reason; the first print has none."""

    reason = forms.CharField(
        label="Why is another tag needed?",
        max_length=200,
        required=False,
        help_text="Lost, damaged, misprinted. It is kept with the record.",
    )
    prints_seen = forms.IntegerField(widget=forms.HiddenInput, min_value=0)
    at_bench = forms.BooleanField(widget=forms.HiddenInput, required=False)


class RetireForm(forms.Form):
    """Taking an assembly out of service."""

    reason = forms.CharField(
        label="Why is it taken out of service?", max_length=200, help_text="It is kept with the record."
    )


class AsOfForm(forms.Form):
    """A past day, at whose end something was known or not."""

    as_of = DayField(label="Day", help_text="What was on record at its end, beside now.")

    @property
    def day(self) -> datetime.date | None:
        """The day that is asked for: None if none is, or none that there is an answer for."""
        return self.cleaned_data["as_of"] if self.is_valid() else None

    def clean_as_of(self) -> datetime.date:
        """Nothing is on record yet at the end of a day that is still to come."""
        day: datetime.date = self.cleaned_data["as_of"]
        if day > today():
            raise forms.ValidationError(f"{day} is still to come: ask for today, or for a day before.")
        return day


class LeaveForm(forms.Form):
    """Doing without an assembly that was lost in the workshop."""

    cause = forms.ChoiceField(
        label="Why is it not replaced?",
        choices=[(cause.value, cause.label) for cause in CAUSES[DecisionKind.NOT_REPLACED]],
        initial=Cause.OTHER.value,
        required=False,
    )
    reason = forms.CharField(
        label="In your own words",
        max_length=200,
        required=False,
        help_text="Who of the customer said so, and when.",
    )

    def clean_cause(self) -> Cause:
        """What nobody tapped is told by the words alone."""
        return Cause(self.cleaned_data["cause"] or Cause.OTHER)


class PlainForm(forms.Form):
    """A button without a question; it carries what the service says no with."""
