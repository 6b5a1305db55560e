"""Forms about suspicions and recalls."""

from typing import Any

from django import forms

from shop.assemblies.models import FindingKind
from shop.trace.links import LINKS, Deed
from shop.trace.naming import is_named
from shop.web.fields import LengthField
from shop.web.quality.recalls.address import ABOVE_LOWER, BELOW_UPPER, TIMED

WHEN = {
    Deed.CUT: "Cut",
    Deed.CRIMPED: "Crimped",
    Deed.MEASURED: "Measured",
    Deed.INSPECTED: "Inspected",
    Deed.TESTED: "Proof tested",
    Deed.RELEASED: "Released",
    Deed.SHIPPED: "Shipped",
}


class AddForm(forms.Form):
    """One more thing that suspected assemblies have in common."""

    link = forms.ChoiceField(
        label="They were",
        choices=[
            (name, f"{link.words} … ({link.model._meta.verbose_name})")
            for name, link in LINKS.items()
            if is_named(link.model)
        ],
    )
    which = forms.CharField(
        label="Which", max_length=80, help_text="Scan its label, or type its number, batch or designation."
    )


class NarrowForm(forms.Form):
    """When it was done, and how near to a limit the crimp came."""

    below_upper = LengthField(
        label="Mean within this distance of the upper limit", required=False, help_text="Or above it."
    )
    above_lower = LengthField(
        label="Mean within this distance of the lower limit", required=False, help_text="Or below it."
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for deed in TIMED:
            for end, words in (("since", "from"), ("until", "to")):
                self.fields[f"{deed}_{end}"] = forms.DateTimeField(
                    label=f"{WHEN[deed]} {words}",
                    required=False,
                    widget=forms.DateTimeInput(format="%Y-%m-%dT%H:%M", attrs={"type": "datetime-local"}),
                )
        self.order_fields([name for name in self.fields if name not in (BELOW_UPPER, ABOVE_LOWER)])


class RecallForm(forms.Form):
    """Why they are recalled."""

    reason = forms.CharField(
        label="Why", widget=forms.Textarea(attrs={"rows": 3}), help_text="It stands in the letters too."
    )


class FindingForm(forms.Form):
    """What was found out about the members that are ticked."""

    kind = forms.ChoiceField(label="They are", choices=FindingKind, widget=forms.RadioSelect)
    words = forms.CharField(
        label="In words", required=False, max_length=400, help_text="Where, by whom, what was seen."
    )


class AnswerForm(forms.Form):
    """What a customer answered."""

    answer = forms.CharField(label="What they said, and who", widget=forms.Textarea(attrs={"rows": 2}))


class CloseForm(forms.Form):
    """Why it is closed."""

    reason = forms.CharField(label="Why it is closed", widget=forms.Textarea(attrs={"rows": 2}))
