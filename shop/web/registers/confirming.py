"""Confirming a rating: the person types what the document says without being shown the table's figure."""

from django import forms

from shop.engineering.pressures import Pressure
from shop.web.registers.forms import RatingField


class ConfirmForm(forms.Form):
    """Figure and document. The figure's field bears the name that refusals of the service point to."""

    document = forms.CharField(
        max_length=200, help_text="Title, edition and date of the document that you have before you."
    )
    printed_value = RatingField(
        label="Rating in the document", help_text="Figure and unit as you read them there, like 41.5 MPa."
    )

    @property
    def figure(self) -> Pressure:
        """What the person read; for a form that is valid."""
        read: Pressure = self.cleaned_data["printed_value"].pressure
        return read
