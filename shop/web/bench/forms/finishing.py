"""Inspecting, tagging, releasing."""

from collections.abc import Sequence

from django import forms

from shop.assemblies.inspection import bore_pin, inspect
from shop.assemblies.models import Assembly, Tag
from shop.assemblies.points import At, asked_of
from shop.assemblies.release import make_tag, release
from shop.assemblies.steps import Step
from shop.people.models import User
from shop.web.bench.forms.base import GatheringForm, PointsField, StepForm
from shop.web.fields import LengthField
from shop.web.templatetags.quantities import diameter


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
        if self.job.policy.bore_pin:
            pin = bore_pin(self.assembly.resolution)
            self.fields["pin"] = LengthField(
                label="Diameter of the pin",
                required=False,
                help_text=f"{diameter(pin.least_mm)} or more: nine tenths of the bore of {pin.narrowest}. "
                "Empty: it doesn't go through.",
            )
        self.fields["seen"] = PointsField(At.INSPECT, self.job, label="Seen and right")
        self.fields["faults"] = forms.CharField(
            label="What is wrong",
            required=False,
            max_length=300,
            help_text="Empty: nothing. Several: separate by ;",
        )

    @property
    def faults(self) -> list[str]:
        """What was typed as wrong, one by one."""
        return [fault.strip() for fault in self.cleaned_data["faults"].split(";") if fault.strip()]

    def take(self, actor: User, sure: frozenset[str]) -> str:
        inspection = inspect(
            actor=actor,
            assembly=self.assembly,
            finished_length_mm=self.cleaned_data["finished_length"],
            angle_deg=self.cleaned_data.get("angle_deg"),
            gauge=self.gathering.thing("tape"),
            seen=set(self.cleaned_data["seen"]),
            pin_mm=self.cleaned_data.get("pin"),
            faults=self.faults,
        )
        return "Inspected: right." if inspection.passed else "Inspected: not right."


class TagForm(StepForm):
    step, button = Step.TAG, "Make the tag"

    def take(self, actor: User, sure: frozenset[str]) -> str:
        tag = make_tag(actor=actor, assembly=self.assembly)
        return f"The tag is ready to print. The mark: {tag.mark}"


class ReleaseForm(StepForm):
    step, button = Step.RELEASE, "Release"

    scan = forms.CharField(
        label="Scan the tag on the hose",
        widget=forms.TextInput(attrs={"data-scan": True, "autofocus": True, "autocomplete": "off"}),
    )

    def build(self) -> None:
        if asked_of(At.RELEASE, self.job):
            self.fields["seen"] = PointsField(At.RELEASE, self.job, label="Seen on the hose")
            self.order_fields(["seen", "scan"])

    @property
    def hoses(self) -> Sequence[Assembly]:
        """What may be released with this form."""
        return (self.assembly,)

    @property
    def marks(self) -> list[Tag]:
        """The newest tag of each, whose mark is read on the hose."""
        newest = {tag.assembly_id: tag for tag in Tag.objects.filter(assembly__in=self.hoses)}
        return [newest[hose.pk] for hose in self.hoses]

    @property
    def mark_place(self) -> str:
        """Where the policy wants the mark, and how it is made; empty if it wants none."""
        return self.job.mark_place if self.job.policy.lasting_mark else ""

    @property
    def ticked(self) -> list[str]:
        """The codes of what was ticked, of a form without errors."""
        ticked: list[str] = self.cleaned_data.get("seen", [])
        return ticked

    def take(self, actor: User, sure: frozenset[str]) -> str:
        scanned = self.cleaned_data["scan"]
        release(actor=actor, assembly=self.assembly, scanned=scanned, seen=self.ticked)
        return "Released: hose, tag and record belong together."
