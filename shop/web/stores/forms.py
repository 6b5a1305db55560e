"""Receiving hose, fittings and ferrules, and what is done with a piece."""

import re
from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from shop.catalogue.models import Ferrule, Fitting, Hose
from shop.people.models import User
from shop.stock.models import Lot, Piece
from shop.stock.services import receive_hose, receive_lot
from shop.web.fields import LengthField
from shop.web.registers.forms import RegisterForm
from shop.web.templatetags.quantities import length

MOST_REELS = 100


class Lengths(tuple[Decimal, ...]):
    """Several lengths in millimetres, shown as they could be typed."""

    __slots__ = ()

    def __str__(self) -> str:
        return "; ".join(map(length, self))


class LengthsField(forms.CharField):
    """Several lengths as people write them, one per line or separated by semicolons."""

    widget = forms.Textarea(attrs={"rows": 4})

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(max_length=2000, **kwargs)
        self._one = LengthField()

    def clean(self, value: Any) -> Lengths:
        text = super().clean(value)
        typed = [part.strip() for part in re.split(r"[\n;]", text) if part.strip()]
        if len(typed) > MOST_REELS:
            raise ValidationError(f"These are {len(typed)} lengths. Receive {MOST_REELS} at most at a time.")
        return Lengths(mm for part in typed if (mm := self._one.clean(part)) is not None)


class LeftField(LengthField):
    """What is left on a piece: a length, or nought."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(signed=True, **kwargs)

    def clean(self, value: Any) -> Decimal | None:  # type: ignore[override]  # as its base does
        left = super().clean(value)
        if left is not None and left < 0:
            raise ValidationError("What is left can't be below nought. Type what you measured, or 0.")
        return left


class PlaceField(forms.CharField):
    """A place in the stores, in the workshop's own words."""

    def __init__(self) -> None:
        longest = Piece._meta.get_field("place").max_length
        super().__init__(required=False, max_length=longest, help_text="Rack, shelf, bin.")


class ReceiveHoseForm(RegisterForm):
    """Hose of one batch: one length for each reel or coil."""

    hose = forms.ModelChoiceField(Hose.objects.all())
    lengths = LengthsField(
        help_text="One for each reel or coil, each on a line of its own: 50 m, 12,5 m, 164 ft."
    )
    place = PlaceField()

    class Meta(RegisterForm.Meta):
        model = Lot
        fields = ["hose", "batch", "made_printed", "supplier"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.pieces: Sequence[Piece] = ()

    @classmethod
    def key_fields(cls) -> tuple[str, ...]:
        return ()  # what came in twice are two lots

    def write(self, *, actor: User, sure: frozenset[str]) -> Lot:
        self.pieces = receive_hose(
            actor=actor,
            lot=self.instance,
            lengths_mm=self.cleaned_data["lengths"],
            place=self.cleaned_data["place"],
            sure=sure,
        )
        lot: Lot = self.instance
        return lot


class ReceivePartsForm(RegisterForm):
    """Fittings or ferrules of one batch; they lie in a bin with the lot's label."""

    quantity = forms.IntegerField(min_value=1, help_text="Pieces in the bin.")

    class Meta(RegisterForm.Meta):
        model = Lot
        fields = ["fitting", "ferrule", "batch", "made_printed", "supplier", "quantity"]

    @classmethod
    def key_fields(cls) -> tuple[str, ...]:
        return ()

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        picked: list[Fitting | Ferrule] = [cleaned[n] for n in ("fitting", "ferrule") if cleaned.get(n)]
        if len(picked) != 1 and not self.errors:
            self.add_error("ferrule", "Pick one fitting or one ferrule. Two things are two lots.")
        return cleaned

    def write(self, *, actor: User, sure: frozenset[str]) -> Lot:
        return receive_lot(actor=actor, lot=self.instance)


class CountForm(forms.Form):
    """What was measured on the reel."""

    measured = LeftField(label="Measured on the reel", help_text="0 if there is nothing left.")


class CondemnForm(forms.Form):
    """What was found wrong with a lot."""

    reason = forms.CharField(
        label="What was found",
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="Who saw it, on which piece, and what: it stands in the record.",
    )


class PlaceForm(forms.Form):
    """Where a piece is kept."""

    place = PlaceField()
