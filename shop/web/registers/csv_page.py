"""The page that takes a CSV in: paste or upload, look at what it would do, take it."""

from collections.abc import Mapping
from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render

from shop.web.access import StaffRequest
from shop.web.refusing import answered_doubts
from shop.web.registers.cells import choice_pairs
from shop.web.registers.reading import Unreadable, decode
from shop.web.registers.sheet import Effect, Sheet
from shop.web.registers.taking import Reading, dry_run, take_in

TAKE = "take"  # the button's name
MOST_FAULTS = 200  # shown at a time
STEPS = ("Paste or upload", "Look at it", "Take it in")


class TextForm(forms.Form):
    """The text of the file, pasted or uploaded; later it travels with the page."""

    text = forms.CharField(
        label="Paste the lines, the headers first",
        required=False,
        strip=False,
        widget=forms.Textarea(attrs={"spellcheck": "false", "rows": 8}),
    )
    file = forms.FileField(label="Or upload a CSV file", required=False, widget=forms.FileInput)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if (upload := cleaned.get("file")) is not None:
            try:
                cleaned["text"] = decode(upload.read())
            except Unreadable as error:
                self.add_error("file", str(error))
        elif not cleaned.get("text", "").strip():
            raise forms.ValidationError("There is no text yet. Paste some, or choose a file.")
        return cleaned


def csv_page(request: StaffRequest, sheet: Sheet, *, done_url: str, frame: Mapping[str, Any]) -> HttpResponse:
    """Answer all three steps.

    `frame` is what the template needs besides: `title`, `trail` (address and words of each page above),
    `template_url`. Once the lines are taken in, the person goes to `done_url`.
    """
    form = TextForm(request.POST or None, request.FILES or None)
    reading: Reading | None = None
    if request.method == "POST" and form.is_valid():
        text, sure = form.cleaned_data["text"], answered_doubts(request.POST)
        act = take_in if TAKE in request.POST else dry_run
        try:
            reading = act(sheet, text, actor=request.user, sure=sure)
        except Unreadable as error:
            form.add_error(None, str(error))
        else:
            if act is take_in and reading.may_be_taken:
                messages.success(request, f"Taken in: {counts(reading)}.")
                return redirect(done_url)
    return render(request, "web/registers/csv.html", _context(request, sheet, form, reading) | dict(frame))


def counts(reading: Reading) -> str:
    """'3 new, 1 changed, 2 unchanged'."""
    return ", ".join(f"{reading.count(effect)} {effect}" for effect in Effect if reading.count(effect))


def _context(request: StaffRequest, sheet: Sheet, form: TextForm, reading: Reading | None) -> dict[str, Any]:
    now = 0 if reading is None else 1
    text = form.cleaned_data.get("text", "") if form.is_bound and form.is_valid() else ""
    states = ["done"] * now + ["now"] + ["next"] * (len(STEPS) - now - 1)
    return {
        "form": form if reading is None else TextForm(initial={"text": text}),
        "reading": reading,
        "counts": counts(reading) if reading else "",
        "faults": reading.faults[:MOST_FAULTS] if reading else [],
        "text": text,
        "sure": answered_doubts(request.POST),
        "columns": _columns(sheet),
        "steps": [{"label": label, "state": state} for label, state in zip(STEPS, states, strict=True)],
    }


def _columns(sheet: Sheet) -> list[dict[str, Any]]:
    """What each column is, for the person who fills it."""
    fields = {**sheet.form.base_fields, **sheet.row_fields}
    return [
        {"header": header, "needed": fields[name].required, "says": _says(fields[name])}
        for name, header in sheet.headers.items()
    ]


def _says(field: forms.Field) -> str:
    match field:
        case forms.ModelMultipleChoiceField():
            kind = "names as the list shows them, separated by semicolons"
        case forms.ModelChoiceField():
            kind = "the name as its list shows it"
        case forms.BooleanField():
            kind = "yes or no"
        case forms.ChoiceField():
            kind = " or ".join(words for value, words in choice_pairs(field) if value not in ("", None))
        case _:
            kind = ""
    return ". ".join(part for part in (kind, str(field.help_text)) if part)
