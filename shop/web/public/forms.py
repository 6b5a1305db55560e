"""What is asked of whoever reports a failure, at the tag or at the counter."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.core import signing
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import UploadedFile

from shop.engineering.codes import new_code
from shop.trace.failures import MOST_CHARACTERS, MOST_PHOTOS, WhatFailed
from shop.trace.models import MOST_HOURS, FailureMode, FailureReport, Hurt

LARGEST_PHOTO = 12_000_000  # bytes; what a telephone's camera makes is a third of it
_SIGNER = signing.Signer(salt="reference of a failure report")


class _PhotosInput(forms.FileInput):
    allow_multiple_selected = True


class PhotosField(forms.FileField):
    """A few photos at once: cleans to their bytes."""

    widget = _PhotosInput

    def clean(self, data: Any, initial: Any = None) -> Sequence[bytes]:
        files: list[UploadedFile[Any]] = [file for file in data or () if file]
        if len(files) > MOST_PHOTOS:
            raise ValidationError(f"At most {MOST_PHOTOS} photos: choose those that show it best.")
        if any((file.size or 0) > LARGEST_PHOTO for file in files):
            raise ValidationError(f"A photo may have {LARGEST_PHOTO // 1_000_000} MB: take it smaller.")
        return [file.read() for file in files]


class FailureForm(forms.Form):
    """What failed and how. The reference is made with the form: one that is sent twice is one report."""

    hurt = forms.ChoiceField(label="Is somebody hurt?", choices=Hurt, widget=forms.RadioSelect)
    mode = forms.ChoiceField(
        label="What happened to the hose?", choices=[("", "Choose"), *FailureMode.choices]
    )
    failed_on = forms.DateField(
        label="On which day?",
        required=False,
        help_text="Leave it empty if nobody knows.",
        widget=forms.DateInput(attrs={"type": "date"}),
    )
    hours_in_service = forms.IntegerField(
        label="How many hours had it run?",
        required=False,
        min_value=0,
        max_value=MOST_HOURS,
        help_text="By the machine's counter. Leave it empty if nobody knows.",
    )
    seen = forms.CharField(
        label="What was seen?",
        required=False,
        max_length=MOST_CHARACTERS,
        help_text="Which machine, where on the hose, what was done just before.",
        widget=forms.Textarea(attrs={"rows": 4}),
    )
    photos = PhotosField(
        label="Photos",
        required=False,
        help_text=f"At most {MOST_PHOTOS}: where it failed, and both ends. Where they were taken isn't kept.",
        widget=_PhotosInput(attrs={"accept": "image/*"}),
    )
    contact = forms.CharField(
        label="Whom can the workshop ask?",
        required=False,
        max_length=200,
        help_text="A name and a telephone number or an address. Only the workshop sees it.",
    )
    reference = forms.CharField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        kwargs["initial"] = {
            "reference": _SIGNER.sign(new_code(FailureReport.KIND_LETTER)),
            **kwargs.get("initial", {}),
        }
        super().__init__(*args, **kwargs)

    @property
    def told(self) -> WhatFailed:
        """What the service takes."""
        asked = self.cleaned_data
        return WhatFailed(
            hurt=Hurt(asked["hurt"]),
            mode=FailureMode(asked["mode"]),
            failed_on=asked["failed_on"],
            hours_in_service=asked["hours_in_service"],
            seen=asked["seen"],
            contact=asked["contact"],
            photos=asked["photos"],
        )

    @property
    def code(self) -> str:
        """The reference that the form was drawn with; empty if somebody made one up."""
        try:
            return _SIGNER.unsign(self.cleaned_data["reference"])
        except signing.BadSignature:
            return ""


class StrangersForm(FailureForm):
    """Whether somebody is hurt was asked on the page before."""

    hurt = forms.ChoiceField(choices=Hurt, widget=forms.HiddenInput)
