"""Why a new key takes the place of the one before."""

from typing import Any

from django import forms

from shop.ledger.models import KeyReason

_MEANINGS = {
    KeyReason.ROTATED: "In turn: the key before signs that the new one follows.",
    KeyReason.EXPOSED: "It may be in other hands: somebody copied the data folder or a backup.",
    KeyReason.LOST: "It is lost: its file is gone and no backup has it.",
}


class NewKeyForm(forms.Form):
    """Only reasons that can be true: a key that is here isn't lost, one that is gone can't sign."""

    reason = forms.ChoiceField(label="Why", widget=forms.RadioSelect)

    def __init__(self, data: Any, *, is_here: bool) -> None:
        super().__init__(data)
        reasons = [KeyReason.ROTATED, KeyReason.EXPOSED] if is_here else [KeyReason.LOST, KeyReason.EXPOSED]
        choices = [(reason.value, _MEANINGS[reason]) for reason in reasons]
        self.fields["reason"] = forms.ChoiceField(label="Why", widget=forms.RadioSelect, choices=choices)
