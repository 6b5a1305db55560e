"""What is asked of who has looked at what failed."""

from django import forms

from shop.trace.failures import MOST_CHARACTERS
from shop.trace.models import FailureMode, Verdict


class JudgeForm(forms.Form):
    """What was found out about a report."""

    verdict = forms.ChoiceField(label="It is a", choices=Verdict, widget=forms.RadioSelect)
    mode = forms.ChoiceField(
        label="How it failed",
        required=False,
        choices=[("", "It did not"), *FailureMode.choices],
        help_text="What the part in hand shows, whatever was reported.",
    )
    words = forms.CharField(
        label="How that was found out",
        max_length=MOST_CHARACTERS,
        help_text="What was looked at, by whom, and what it showed.",
        widget=forms.Textarea(attrs={"rows": 3}),
    )
