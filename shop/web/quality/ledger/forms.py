"""What the ledger's page is narrowed by: both columns have an index."""

from typing import Any

from django import forms

from shop.ledger.registry import all_verbs


class LedgerFilterForm(forms.Form):
    """One verb, or everything about one subject, from an entry backwards."""

    verb = forms.ChoiceField(label="What was done", required=False)
    subject = forms.CharField(
        required=False, max_length=120, help_text="As the entries name it, such as stock.piece:12."
    )
    before = forms.IntegerField(required=False, min_value=1, widget=forms.HiddenInput)

    def __init__(self, data: Any) -> None:
        super().__init__(data)
        choices = [("", "anything"), *((verb.name, verb.says) for verb in all_verbs())]
        self.fields["verb"] = forms.ChoiceField(label="What was done", required=False, choices=choices)
