"""The parts of a job card: what was cut, either end, what was inspected. An empty part is left out."""

import datetime
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import partial
from typing import Any, ClassVar

from django import forms
from django.core.exceptions import ValidationError
from django.db.models import QuerySet
from django.http import QueryDict
from django.utils import timezone

from shop.assemblies.job_card import EndOnCard, ReadOnCard, enter_end
from shop.assemblies.making.checks import stop_value_wanted
from shop.assemblies.models import Assembly, End, Run
from shop.assemblies.occasion import Earlier
from shop.assemblies.points import At, Job
from shop.assemblies.runs import cut_pieces, inspect_pieces
from shop.assemblies.steps import Step
from shop.core.labels import Labelled
from shop.people.models import User
from shop.people.permissions import Permission
from shop.policy.services import get_workshop, policy_in_force
from shop.stock.models import Lot, Piece
from shop.tooling.models import Crimper, DieSet, Gauge, GaugeKind, StopPart
from shop.web.bench.forms.base import PointsField
from shop.web.bench.gathering import owned, words_of
from shop.web.bench.permits import PERMITS
from shop.web.fields import LengthField

MOST_LISTED = 50  # lots and pieces that are offered beside those that fit


@dataclass(frozen=True)
class CardHead:
    """What the parts share: the pieces, who mostly did it, the day, the doubts that were answered."""

    pieces: Sequence[Assembly]
    by: User
    day: datetime.date
    sure: frozenset[str]


class ReadingsField(forms.CharField):
    """The readings of a crimp, one after the other: `24.19 24.20 24.21 24.20`; cleans to mm."""

    def __init__(self, *, count: int, **kwargs: Any) -> None:
        super().__init__(required=False, max_length=30 * count, **kwargs)
        self.count, self.one = count, LengthField()
        self.widget.attrs |= {"inputmode": "decimal", "autocomplete": "off", "data-unit": "mm"}

    def clean(self, value: Any) -> tuple[Decimal, ...]:
        texts = super().clean(value).replace(";", " ").split()
        if texts and len(texts) != self.count:
            raise ValidationError(f"The chart asks for {self.count} readings, with spaces between them.")
        read = (self.one.clean(text) for text in texts)
        return tuple(mm for mm in read if mm is not None)


class PartOfCard(forms.Form):
    """A part with its time. Left empty it is not written down."""

    title: ClassVar[str]
    step: ClassVar[Step]

    at = forms.TimeField(label="Begun at", widget=forms.TimeInput(format="%H:%M", attrs={"type": "time"}))
    by = forms.ModelChoiceField(
        label="By, if by somebody else", queryset=User.objects.none(), required=False, empty_label="the same"
    )

    def __init__(self, data: QueryDict | None, *, pieces: Sequence[Assembly]) -> None:
        super().__init__(data, prefix=self.step_prefix, empty_permitted=True, use_required_attribute=False)
        self.pieces = pieces
        self.first = pieces[0]
        self.job = Job(self.first, policy_in_force())
        by = self.fields["by"]
        assert isinstance(by, forms.ModelChoiceField), "declared above"
        by.queryset = people_who_may(PERMITS[self.step])
        self.build()

    @property
    def step_prefix(self) -> str:
        return self.step.value

    @property
    def run(self) -> Run:
        return self.first.run

    def build(self) -> None:
        """Add the fields that depend on the pieces."""

    def earlier(self, head: CardHead) -> Earlier:
        """Who did this part, and when, in the workshop's zone.

        Of an hour that comes twice, when clocks go back, the later is meant as soon as it has come.
        """
        first = datetime.datetime.combine(head.day, self.cleaned_data["at"], get_workshop().zone_info)
        later = first.replace(fold=1)
        moment = later if later <= timezone.now() else first
        return Earlier(self.cleaned_data["by"] or head.by, moment, head.sure)

    def take(self, actor: User, head: CardHead) -> str:
        """Write the part down; returns what was done, in words."""
        raise AssertionError(f"{type(self).__name__} writes nothing down")


class CutPart(PartOfCard):
    title, step = "Cut", Step.CUT

    def build(self) -> None:
        others = Piece.objects.filter(length_left__gt=0).select_related("lot__hose").order_by("-pk")
        self.fields["piece"] = _one_of("Piece of hose", owned(self.first, None, "piece"), others)
        self.fields["seen"] = PointsField(At.CUT, self.job, label="Ticked on the card")

    def take(self, actor: User, head: CardHead) -> str:
        cut_pieces(
            actor=actor,
            run=self.run,
            count=len(head.pieces),
            piece=self.cleaned_data["piece"],
            seen=self.cleaned_data["seen"],
            earlier=self.earlier(head),
        )
        return "the cut"


class EndPart(PartOfCard):
    """Tooling, bins and readings of one end."""

    step = Step.SET_UP
    end: ClassVar[End]

    @property
    def step_prefix(self) -> str:
        return f"end_{self.end.value}"

    def build(self) -> None:
        specification = self.first.specification(self.end)
        fit = partial(owned, self.first, self.end)
        self.fields["crimper"] = _one_of("Crimper", fit("crimper"), Crimper.objects.all())
        self.fields["die_set"] = _one_of("Die set", fit("die set"), DieSet.objects.all())
        if stop_value_wanted(specification):
            self.fields["setting"] = forms.CharField(label="Dial value or set-point used", max_length=20)
        else:
            self.fields["stop_part"] = _one_of("Stop part", fit("stop part"), StopPart.objects.all())
        self.fields["parts_ticked"] = forms.BooleanField(
            label="Each part of the set-up is ticked on the card"
        )
        calipers = Gauge.objects.filter(kind=GaugeKind.CALIPER)
        self.fields["gauge"] = _one_of("Caliper", fit("caliper"), calipers)
        lots = Lot.objects.order_by("-entry").select_related("fitting__series", "ferrule__series")
        self.fields["fitting_lot"] = _one_of(
            "Bin of fittings", fit("fittings"), lots.filter(fitting__isnull=False)
        )
        if specification.ferrule is not None:
            self.fields["ferrule_lot"] = _one_of(
                "Bin of ferrules", fit("ferrules"), lots.filter(ferrule__isnull=False)
            )
        job = Job(self.first, self.job.policy, self.end)
        self.fields["seen"] = PointsField(At.CRIMP, job, label="Ticked on the card for each crimp")
        for piece in self.pieces:
            self._ask_readings(piece, specification.readings, tapered=specification.taper is not None)

    def _ask_readings(self, piece: Assembly, count: int, *, tapered: bool) -> None:
        label = f"Readings of {piece.serial}"
        self.fields[f"read_{piece.serial}"] = ReadingsField(label=label, count=count)
        if tapered:
            self.fields[f"other_{piece.serial}"] = ReadingsField(
                label=f"{label}, nearer the end", count=count
            )

    def take(self, actor: User, head: CardHead) -> str:
        cleaned = self.cleaned_data
        enter_end(
            actor=actor,
            pieces=head.pieces,
            card=EndOnCard(
                end=self.end,
                crimper=cleaned["crimper"],
                die_set=cleaned["die_set"],
                stop_part=cleaned.get("stop_part"),
                stop_setting=cleaned.get("setting", ""),
                gauge=cleaned["gauge"],
                fitting_lot=cleaned["fitting_lot"],
                ferrule_lot=cleaned.get("ferrule_lot"),
                seen=cleaned["seen"],
                readings={
                    piece: ReadOnCard(read, cleaned.get(f"other_{piece.serial}", ()))
                    for piece in head.pieces
                    if (read := cleaned[f"read_{piece.serial}"])
                },
            ),
            earlier=self.earlier(head),
        )
        return self.end.label


class EndAPart(EndPart):
    title, end = "End A", End.A


class EndBPart(EndPart):
    title, end = "End B", End.B


class InspectPart(PartOfCard):
    title, step = "Inspected", Step.INSPECT

    def build(self) -> None:
        tapes = Gauge.objects.filter(kind=GaugeKind.TAPE)
        self.fields["gauge"] = _one_of("Tape", owned(self.first, None, "tape"), tapes)
        self.fields["seen"] = PointsField(At.INSPECT, self.job, label="Seen and right on each of them")
        if self.job.policy.bore_pin:
            self.fields["pin"] = LengthField(label="Diameter of the pin", required=False)
        for piece in self.pieces:
            self.fields[f"length_{piece.serial}"] = LengthField(
                label=f"Finished length of {piece.serial}", required=False
            )
            if self.first.resolution.angle_deg is not None:
                self.fields[f"angle_{piece.serial}"] = forms.IntegerField(
                    label=f"Angle of {piece.serial}, degrees", min_value=0, max_value=359, required=False
                )

    def take(self, actor: User, head: CardHead) -> str:
        measured = {
            piece: (length, self.cleaned_data.get(f"angle_{piece.serial}"))
            for piece in head.pieces
            if (length := self.cleaned_data[f"length_{piece.serial}"]) is not None
        }
        inspected = inspect_pieces(
            actor=actor,
            run=self.run,
            measured=measured,
            gauge=self.cleaned_data["gauge"],
            seen=set(self.cleaned_data["seen"]),
            pin_mm=self.cleaned_data.get("pin"),
            earlier=self.earlier(head),
        )
        wrong = sum(not inspection.passed for inspection in inspected)
        return f"the inspection of {len(inspected)}" + (f", {wrong} of them not right" if wrong else "")


def people_who_may(permission: Permission) -> QuerySet[User]:
    """Who works here and may take such a step."""
    able = [person.pk for person in User.objects.filter(is_active=True) if person.may(permission)]
    return User.objects.filter(pk__in=able).order_by("name")


def _one_of(label: str, fit: Iterable[Labelled], others: Iterable[Labelled]) -> forms.TypedChoiceField:
    """What fits comes first; the others are there too, since a card tells what was taken, right or wrong."""
    right = {thing.code: thing for thing in fit}
    rest = {thing.code: thing for thing in list(others)[:MOST_LISTED] if thing.code not in right}
    things = right | rest
    groups = (("Right for this job", right), ("Others", rest))
    listed = [(name, [(c, words_of(thing)) for c, thing in group.items()]) for name, group in groups if group]
    return forms.TypedChoiceField(
        label=label, choices=[("", "—"), *listed], coerce=things.__getitem__, empty_value=None
    )
