"""The proof test, on one screen: what has to be ready before the pump starts, and what was seen after."""

from typing import Any

from django import forms
from django.http import HttpRequest, QueryDict
from django.utils.text import capfirst

from shop.assemblies.models import ProofFluid, ProofOutcome
from shop.assemblies.points import At
from shop.assemblies.steps import Step
from shop.assemblies.testing import FOUND, Observed, prove_assembly
from shop.engineering.proof_burst import NOT_A_LICENCE
from shop.people.models import User
from shop.tooling.models import PressureGauge
from shop.web.bench.forms.base import GatheringForm, PointsField
from shop.web.fields import PressureField

LONGEST_CURVE = 400_000  # characters: 20 000 points
CAUTIONS = (
    # UK HSE alert of 23 September 2014, as reported; DGUV Information 209-071e, section 8.
    "Never look or feel for a leak with any part of the body. A fine jet goes through skin and may look "
    "harmless: with such an injury go to a doctor at once, and say exactly how it happened.",
    # TM 1-1500-204-23-2 p. 4-47.
    "A hose that lets go whips, and an end flies off. Tie it, close the cover, and stand clear of both ends.",
    # MIL-DTL-8788F 4.7.3.
    "Water or hydraulic fluid only, never gas. Bleed all air: what is compressed bursts like a charge.",
    # DGUV 113-020, 4.6.
    "Before you open a connection: pump off, pressure let off, and make sure by the gauge that it is gone.",
    NOT_A_LICENCE,
    "The makers' instructions for hose, fittings and test bench, local codes and licensed practice govern.",
)


def sent_with_curve(request: HttpRequest) -> QueryDict:
    """What was sent, with the text of an attached curve in its field: a refused form gives it back."""
    file = request.FILES.get("curve_file")
    if file is None:
        return request.POST
    sent = request.POST.copy()
    sent["curve"] = file.read().decode("utf-8", errors="replace").replace("\r\n", "\n")
    return sent


class ProveForm(GatheringForm):
    step, button = Step.TEST, "It is tested"
    cautions = CAUTIONS

    BEFORE = ("fluid", "adaptors", "ready")
    AFTER = ("raised_in_s", "peak", "held_s", "seen", "found", "words", "curve_file")

    def build(self) -> None:
        super().build()
        if not self.is_whole:
            return
        gauge: PressureGauge = self.gathering.thing("pressure gauge")
        self.fields |= {
            "fluid": forms.ChoiceField(
                label="Filled with", choices=ProofFluid.choices, widget=forms.RadioSelect
            ),
            "adaptors": PressureField(
                label="Rating of the weakest adaptor",
                help_text="As it is marked or its document prints it, with the unit.",
            ),
            "ready": PointsField(At.BEFORE_TEST, self.job, label="Ready"),
            "raised_in_s": forms.IntegerField(
                label="Raised within",
                min_value=1,
                max_value=3600,
                help_text="From the first stroke to proof pressure: slowly, so that you can stop.",
                widget=forms.NumberInput(attrs={"data-unit": "s"}),
            ),
            "peak": PressureField(
                label="Highest pressure reached",
                help_text=f"As the gauge shows it: a bare number is in {gauge.unit}.",
            ),
            "held_s": forms.IntegerField(
                label="Held at proof pressure or above for",
                min_value=0,
                max_value=3600,
                widget=forms.NumberInput(attrs={"data-unit": "s"}),
            ),
            "seen": PointsField(At.AFTER_TEST, self.job, label="Looked at with the pressure off, and right"),
            "found": forms.MultipleChoiceField(
                label="Or found wrong: then it failed, and is scrap",
                choices=list(FOUND.items()),
                widget=forms.CheckboxSelectMultiple,
                required=False,
            ),
            "words": forms.CharField(label="Note", required=False, max_length=300),
            "curve_file": forms.FileField(
                label="Curve of the test bench (CSV)",
                required=False,
                help_text="If there is one. Its first line says: time s; pressure bar.",
            ),
            "curve": forms.CharField(
                required=False,
                max_length=LONGEST_CURVE,
                strip=False,
                widget=forms.Textarea(attrs={"hidden": True}),
            ),
        }

    @property
    def before(self) -> list[forms.BoundField]:
        """What has to be so before the pump starts."""
        return [self[name] for name in self.BEFORE]

    @property
    def after(self) -> list[forms.BoundField]:
        """What came of it."""
        return [self[name] for name in self.AFTER]

    @property
    def has_curve(self) -> bool:
        """Whether a curve is attached already."""
        return bool(self["curve"].value())

    @property
    def observed(self) -> Observed:
        """What was typed and ticked, of a form without errors."""
        cleaned: dict[str, Any] = self.cleaned_data
        return Observed(
            fluid=ProofFluid(cleaned["fluid"]),
            adaptors=cleaned["adaptors"],
            ready=cleaned["ready"],
            raised_in_s=cleaned["raised_in_s"],
            peak=cleaned["peak"],
            held_s=cleaned["held_s"],
            found=cleaned["found"],
            seen=cleaned["seen"],
            words=cleaned["words"],
            curve=cleaned["curve"].replace("\r\n", "\n"),
        )

    def take(self, actor: User, sure: frozenset[str]) -> str:
        test = prove_assembly(
            actor=actor,
            assembly=self.assembly,
            gauge=self.gathering.thing("pressure gauge"),
            observed=self.observed,
            sure=sure,
        )
        return f"{capfirst(str(self.assembly))}: {said_of(ProofOutcome(test.outcome))}"


def said_of(outcome: ProofOutcome) -> str:
    """What came of a test, and what is done next."""
    return {
        ProofOutcome.PASSED: "it stood its proof test. Mark and tag it next.",
        ProofOutcome.OVER: "it is held, since the test went above the highest pressure allowed.",
        ProofOutcome.FAILED: "it failed its proof test. Scrap it, so that nobody takes it.",
    }[outcome]
