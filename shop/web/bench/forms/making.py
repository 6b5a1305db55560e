"""Cutting, setting up, crimping, measuring."""

from dataclasses import replace
from decimal import Decimal

from django import forms
from django.utils.functional import cached_property
from django.utils.text import capfirst

from shop.assemblies.making import (
    arrangement_points,
    crimp_end,
    cut_hose,
    find_arrangement,
    measure_crimp,
    set_up,
)
from shop.assemblies.models import Crimp, Decision
from shop.assemblies.points import At, Job
from shop.assemblies.standing import standing_of
from shop.assemblies.steps import Step
from shop.people.models import User
from shop.tooling.scales import start_on_scale
from shop.web.bench.forms.base import GatheringForm, PointsField, StepForm, all_ticked, ticks
from shop.web.bench.gathering import find_gauge
from shop.web.fields import LengthField


class CutForm(GatheringForm):
    step, button = Step.CUT, "It is cut"

    def build(self) -> None:
        super().build()
        if self.is_whole:
            self.fields["seen"] = PointsField(At.CUT, self.job)

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
        state = ("dies clean, and greased where they slide", "the stack stands centred, nothing askew")
        return {part: part for part in (*parts, *state)}

    def build(self) -> None:
        super().build()
        if not self.is_whole:
            return
        start = start_on_scale(self.specification, self.gathering.thing("crimper"))
        if start is not None:
            self.suggest("setting", start.value)
            kind = self.specification.get_stop_kind_display().removeprefix("a ")
            self.fields["setting"] = forms.CharField(
                label=f"{kind} used".capitalize(),
                initial=start.value,
                max_length=20,
                help_text=f"Where you start: {start.comes_from}. The diameter governs; write what you use.",
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

    @cached_property
    def refit(self) -> Decision | None:
        """The decision by which the end was to be cut off, if a new fitting goes on."""
        if not self.assembly.crimps.filter(end=self.at_end).exists():
            return None  # nothing was ever on it
        return standing_of(self.assembly).end(self.at_end).refit

    @cached_property
    def job(self) -> Job:
        """With what was decided about a fitting that was cut off."""
        return replace(super().job, refit=self.refit)

    def build(self) -> None:
        super().build()
        if self.is_whole:
            self.fields["seen"] = PointsField(At.CRIMP, self.job)

    def take(self, actor: User, sure: frozenset[str]) -> str:
        crimp = crimp_end(
            actor=actor,
            assembly=self.assembly,
            end=self.at_end,
            fitting_lot=self.gathering.thing("fittings"),
            ferrule_lot=self.gathering.get("ferrules"),
            seen=self.cleaned_data["seen"],
        )
        return f"{capfirst(crimp.get_end_display())} is crimped. Measure it now."


class MeasureForm(StepForm):
    """Readings in mm; a chart that limits taper wants a second section, a held crimp a better gauge."""

    step, button = Step.MEASURE, "Judge"

    def build(self) -> None:
        sections = ["reading"] if self.specification.taper is None else ["reading", "other"]
        for section in sections:
            for number in range(1, self.specification.readings + 1):
                where = ", nearer the end" if section == "other" else ""
                self.fields[f"{section}_{number}"] = LengthField(
                    label=f"Reading {number}{where}",
                    widget=forms.TextInput(
                        attrs={"inputmode": "decimal", "data-unit": "mm", "autocomplete": "off"}
                    ),
                )
        self.fields["reading_1"].widget.attrs["autofocus"] = True
        if self.crimp is not None and self.crimp.measurements.exists():
            self.fields["caliper"] = forms.CharField(
                label="Scan a better caliper", required=False, help_text="Empty: the one that was set up."
            )

    @cached_property
    def crimp(self) -> Crimp | None:
        """The newest crimp of the end."""
        return Crimp.objects.filter(assembly=self.assembly, end=self.at_end).order_by("-attempt").first()

    def readings(self, section: str) -> list[Decimal]:
        """What was read at that section, in order, in mm."""
        numbers = range(1, self.specification.readings + 1)
        return [self.cleaned_data[f"{section}_{n}"] for n in numbers if f"{section}_{n}" in self.fields]

    def take(self, actor: User, sure: frozenset[str]) -> str:
        assert self.crimp is not None, "a measurement is of a crimp"
        better = self.cleaned_data.get("caliper")
        measurement = measure_crimp(
            actor=actor,
            crimp=self.crimp,
            readings_mm=self.readings("reading"),
            other_section_mm=self.readings("other"),
            gauge=find_gauge(better) if better else None,
            sure=sure,
        )
        return f"{capfirst(self.crimp.get_end_display())} {measurement.get_outcome_display()}."
