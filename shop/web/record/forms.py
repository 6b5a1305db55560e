"""What is asked on the record's page."""

from django import forms


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


class LeaveForm(forms.Form):
    """Doing without an assembly that was lost in the workshop."""

    reason = forms.CharField(
        label="Why is it not replaced?", max_length=200, help_text="Who of the customer said so, and when."
    )


class PlainForm(forms.Form):
    """A button without a question; it carries what the service says no with."""
