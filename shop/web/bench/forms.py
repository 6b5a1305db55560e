"""One form for each step at the bench: what is scanned, read or ticked, and the service that it calls."""

from collections.abc import Mapping
from decimal import Decimal
from typing import ClassVar
from uuid import UUID, uuid4

from django import forms
from django.core.exceptions import ValidationError
from django.db import transaction
from django.http import QueryDict

from shop.assemblies.inspection import INSPECTION_POINTS, inspect
from shop.assemblies.making import (
    arrangement_points,
    crimp_end,
    cut_hose,
    decide,
    find_arrangement,
    measure_crimp,
    set_up,
)
from shop.assemblies.models import Assembly, Crimp, DecisionKind, End
from shop.assemblies.release import make_tag, release
from shop.assemblies.steps import Step
from shop.assemblies.submissions import once
from shop.catalogue.models import CrimpSpecification, StopKind
from shop.core.refusals import Refusal
from shop.people.models import User
from shop.web.bench.gathering import Gathering
from shop.web.fields import LengthField
from shop.web.refusing import add_refusal, attempt

NOT_TYPED = frozenset({"csrfmiddlewaretoken", "nonce"})


class StepForm(forms.Form):
    """What one step asks. The nonce makes a double tap, a resend and the back button harmless."""

    step: ClassVar[Step]
    button: ClassVar[str]

    nonce = forms.UUIDField(widget=forms.HiddenInput, initial=uuid4)
    # The end that was shown: a form sent late must not slip to the next one.
    end_shown = forms.ChoiceField(widget=forms.HiddenInput, choices=End, required=False)

    def __init__(self, data: QueryDict | None = None, *, assembly: Assembly, end: End | None) -> None:
        super().__init__(data, initial={"end_shown": end})
        self.sent = data or QueryDict()
        self.assembly = assembly
        shown = self.sent.get("end_shown")
        self.end = End(str(shown)) if shown in End.values else end
        self.build()

    def build(self) -> None:
        """Add the fields that depend on the assembly."""

    @property
    def at_end(self) -> End:
        """The end that the step is about."""
        assert self.end is not None, "only steps at an end ask for it"
        return self.end

    @property
    def specification(self) -> CrimpSpecification:
        """The chart's line for the end."""
        return self.assembly.specification(self.at_end)

    def send(self, actor: User, sure: frozenset[str]) -> str | None:
        """Take the step once, however often it is sent; returns what was done, in words.

        None: it was not taken, the form says why, and it may be sent again.
        """
        payload = {name: values for name, values in sorted(self.sent.lists()) if name not in NOT_TYPED}
        nonce: UUID = self.fields["nonce"].clean(self.sent.get("nonce"))
        with transaction.atomic():
            if not once(
                nonce=nonce,
                actor=actor,
                step=self.step,
                subject=self.assembly.code,
                payload=payload,
            ):
                return "That was recorded already."
            said = attempt(self, lambda: self.take(actor, sure)) if self.is_valid() else None
            if said is None:
                transaction.set_rollback(True)
            return said

    def take(self, actor: User, sure: frozenset[str]) -> str:
        """Call the step's service."""
        raise AssertionError(f"{type(self).__name__} takes no step")


class GatheringForm(StepForm):
    """A step for which things are scanned one after the other, each refused at once if it is wrong.

    `have` carries what was scanned already, `scan` the next one; when nothing is missing the step
    can be taken.
    """

    have = forms.CharField(widget=forms.HiddenInput, required=False)
    scan = forms.CharField(
        required=False,
        label="Scan",
        widget=forms.TextInput(
            attrs={"data-scan": True, "autocomplete": "off", "autocapitalize": "characters"}
        ),
    )

    def build(self) -> None:
        self.gathering = Gathering(self.assembly, self.step, self.end)
        self.wrong: Refusal | None = None
        scanned = str(self.sent.get("pick") or self.sent.get("scan", ""))
        # What was taken in before is looked at again: it may have been blocked since.
        for code in (*str(self.sent.get("have", "")).split(), *scanned.split(maxsplit=0)):
            try:
                self.gathering.add(code)
            except Refusal as refusal:
                self.wrong = refusal
        self.fields["scan"].label = self.gathering.question

    def clean(self) -> None:
        super().clean()
        if self.wrong is not None:
            add_refusal(self, self.wrong)
            self.add_error("scan", self.wrong.what)
        elif "take" in self.sent and not self.is_whole:
            self.add_error("scan", f"{self.gathering.question} first.")

    @property
    def is_whole(self) -> bool:
        """Whether everything that the step needs has been scanned."""
        return not self.gathering.missing


def ticks(points: Mapping[str, str], label: str) -> forms.MultipleChoiceField:
    """Boxes that all have to be ticked."""
    field = forms.MultipleChoiceField(
        label=label, choices=list(points.items()), widget=forms.CheckboxSelectMultiple
    )
    field.error_messages["required"] = "Tick each of them once it is done and seen."
    return field


def all_ticked(form: forms.Form, name: str, points: Mapping[str, str]) -> list[str]:
    """The cleaned ticks; raises `ValidationError` that names what is not ticked."""
    seen: list[str] = form.cleaned_data[name]
    open_points = [words for code, words in points.items() if code not in seen]
    if open_points:
        raise ValidationError(f"Not ticked yet: {'; '.join(open_points)}.")
    return seen


class CutForm(GatheringForm):
    step, button = Step.CUT, "It is cut"
    POINTS: ClassVar[Mapping[str, str]] = {
        "square": "cut square, no loose wires",
        "clean": "the bore is blown clean",
        "length": "the length was measured",
    }

    def build(self) -> None:
        super().build()
        if self.is_whole:
            self.fields["seen"] = ticks(self.POINTS, "Done and seen")

    def clean_seen(self) -> list[str]:
        return all_ticked(self, "seen", self.POINTS)

    def take(self, actor: User, sure: frozenset[str]) -> str:
        cut = cut_hose(
            actor=actor,
            assembly=self.assembly,
            piece=self.gathering.thing("piece"),
            seen=self.cleaned_data["seen"],
        )
        return f"{cut.length} mm cut from {cut.movement.piece}; {cut.movement.balance} mm are left on it."


class SetUpForm(GatheringForm):
    step, button = Step.SET_UP, "It is set up"

    def points(self) -> dict[str, str]:
        """Each part of the arrangement as it goes in, what is taken out, and the state of the dies."""
        arrangement = find_arrangement(
            assembly=self.assembly, end=self.at_end, crimper=self.gathering.thing("crimper")
        )
        parts = arrangement_points(arrangement)
        return {part: part for part in (*parts, "dies clean, and greased where they slide")}

    def build(self) -> None:
        super().build()
        if not self.is_whole:
            return
        if self.specification.stop_kind != StopKind.PART:
            self.fields["setting"] = forms.CharField(
                label=f"{self.specification.get_stop_kind_display()} used".capitalize(),
                initial=self.specification.stop_setting,
                max_length=20,
                help_text="The chart's value is where you start. The diameter governs; write what you use.",
            )
        self.fields["seen"] = ticks(self.points(), "Done and seen")

    def clean_seen(self) -> list[str]:
        return all_ticked(self, "seen", self.points())

    def take(self, actor: User, sure: frozenset[str]) -> str:
        made = set_up(
            actor=actor,
            assembly=self.assembly,
            end=self.at_end,
            crimper=self.gathering.thing("crimper"),
            die_set=self.gathering.thing("die set"),
            stop_part=self.gathering.get("stop part"),
            stop_setting=self.cleaned_data.get("setting", ""),
            gauge=self.gathering.thing("caliper"),
            seen=self.cleaned_data["seen"],
        )
        return f"{made.crimper} is set up for {made.get_end_display()}."


class CrimpForm(GatheringForm):
    step, button = Step.CRIMP, "It is crimped"

    def points(self) -> dict[str, str]:
        """What has to be right before the press moves; it depends on the end and the chart."""
        skive = self.specification
        points = {}
        if skive.skive_length is not None:
            points["skived"] = f"skived {skive.get_skive_display()} over {skive.skive_length} mm"
        if self.end == End.B:
            points["threaded"] = "sleeves, guards and ferrules that belong on the hose are on it"
        points["mark"] = "the insertion mark is seen at the ferrule"
        if self.assembly.resolution.angle_deg is not None and self.end == End.B:
            points["angle"] = f"the far end stands at {self.assembly.resolution.angle_deg}°, layline straight"
        points["inside"] = "the ferrule is wholly inside the dies, the press went to its stop"
        return points

    def build(self) -> None:
        super().build()
        if self.is_whole:
            self.fields["seen"] = ticks(self.points(), "Done and seen")

    def clean_seen(self) -> list[str]:
        return all_ticked(self, "seen", self.points())

    def take(self, actor: User, sure: frozenset[str]) -> str:
        crimp = crimp_end(
            actor=actor,
            assembly=self.assembly,
            end=self.at_end,
            fitting_lot=self.gathering.thing("fittings"),
            ferrule_lot=self.gathering.get("ferrules"),
            seen=self.cleaned_data["seen"],
        )
        return f"{crimp.get_end_display().capitalize()} is crimped. Measure it now."


class MeasureForm(StepForm):
    step, button = Step.MEASURE, "Judge"

    def build(self) -> None:
        for number in range(1, self.specification.readings + 1):
            self.fields[f"reading_{number}"] = LengthField(
                label=f"Reading {number}",
                widget=forms.TextInput(
                    attrs={"inputmode": "decimal", "data-unit": "mm", "autocomplete": "off"}
                ),
            )

    @property
    def readings(self) -> list[Decimal]:
        """What was read, in order, in mm."""
        return [self.cleaned_data[f"reading_{n}"] for n in range(1, self.specification.readings + 1)]

    def take(self, actor: User, sure: frozenset[str]) -> str:
        crimp = Crimp.objects.filter(assembly=self.assembly, end=self.end).latest("attempt")
        measurement = measure_crimp(actor=actor, crimp=crimp, readings_mm=self.readings, sure=sure)
        return f"{crimp.get_end_display().capitalize()} {measurement.get_outcome_display()}."


class DecideForm(StepForm):
    step, button = Step.DECIDE, "Decide"

    kind = forms.ChoiceField(label="What is done about it", choices=DecisionKind, widget=forms.RadioSelect)
    reason = forms.CharField(label="Why", max_length=300, widget=forms.TextInput)

    def take(self, actor: User, sure: frozenset[str]) -> str:
        decision = decide(
            actor=actor,
            assembly=self.assembly,
            kind=DecisionKind(self.cleaned_data["kind"]),
            reason=self.cleaned_data["reason"],
        )
        return f"{decision.get_kind_display().capitalize()}: recorded."


class InspectForm(GatheringForm):
    step, button = Step.INSPECT, "It is inspected"

    def build(self) -> None:
        super().build()
        if not self.is_whole:
            return
        self.fields["finished_length"] = LengthField(
            label="Finished length", help_text="To the datum of each end."
        )
        if self.assembly.resolution.angle_deg is not None:
            self.fields["angle_deg"] = forms.IntegerField(
                label="Angle between the ends, degrees", min_value=0, max_value=359
            )
        self.fields["seen"] = forms.MultipleChoiceField(
            label="Seen and right",
            choices=INSPECTION_POINTS,
            widget=forms.CheckboxSelectMultiple,
            required=False,
        )
        self.fields["faults"] = forms.CharField(
            label="What is wrong",
            required=False,
            max_length=300,
            help_text="Empty: nothing. Several: separate by ;",
        )

    def take(self, actor: User, sure: frozenset[str]) -> str:
        inspection = inspect(
            actor=actor,
            assembly=self.assembly,
            finished_length_mm=self.cleaned_data["finished_length"],
            angle_deg=self.cleaned_data.get("angle_deg"),
            gauge=self.gathering.thing("tape"),
            seen=set(self.cleaned_data["seen"]),
            faults=[fault.strip() for fault in self.cleaned_data["faults"].split(";") if fault.strip()],
        )
        return "Inspected: right." if inspection.passed else "Inspected: not right."


class TagForm(StepForm):
    step, button = Step.TAG, "Make the tag"

    def take(self, actor: User, sure: frozenset[str]) -> str:
        tag = make_tag(actor=actor, assembly=self.assembly)
        return f"The tag is ready to print. Mark the ferrule: {tag.mark}"


class ReleaseForm(StepForm):
    step, button = Step.RELEASE, "Release"

    scan = forms.CharField(
        label="Scan the tag on the hose",
        widget=forms.TextInput(attrs={"data-scan": True, "autocomplete": "off"}),
    )

    def take(self, actor: User, sure: frozenset[str]) -> str:
        release(actor=actor, assembly=self.assembly, scanned=self.cleaned_data["scan"])
        return "Released: hose, tag and record belong together."


FORMS: dict[Step, type[StepForm]] = {
    form.step: form
    for form in (
        CutForm,
        SetUpForm,
        CrimpForm,
        MeasureForm,
        DecideForm,
        InspectForm,
        TagForm,
        ReleaseForm,
    )
}
