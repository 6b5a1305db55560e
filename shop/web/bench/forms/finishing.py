"""Inspecting, tagging, releasing."""

from django import forms

from shop.assemblies.inspection import INSPECTION_POINTS, inspect
from shop.assemblies.release import make_tag, release
from shop.assemblies.steps import Step
from shop.people.models import User
from shop.web.bench.forms.base import GatheringForm, StepForm
from shop.web.fields import LengthField


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
        widget=forms.TextInput(attrs={"data-scan": True, "autofocus": True, "autocomplete": "off"}),
    )

    def take(self, actor: User, sure: frozenset[str]) -> str:
        release(actor=actor, assembly=self.assembly, scanned=self.cleaned_data["scan"])
        return "Released: hose, tag and record belong together."
