"""Correcting what was recorded wrong (rule 9): the step is taken anew, and the first record stays."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, ClassVar

from django import forms
from django.db.models import Model
from django.http import HttpResponse, HttpResponseBase, QueryDict
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_http_methods

from shop.assemblies.inspection import correct_inspection
from shop.assemblies.making import correct_lots, correct_measurement
from shop.assemblies.models import Assembly, Crimp, End, Inspection, Measurement, ProofOutcome, ProofTest
from shop.assemblies.steps import Step
from shop.assemblies.testing import correct_proof_test
from shop.people.models import User
from shop.people.permissions import Permission
from shop.web.access import StaffRequest, needs
from shop.web.bench.answers import somebody_elses, taken
from shop.web.bench.facts import facts_for
from shop.web.bench.forms import GatheringForm, StepForm
from shop.web.bench.forms.finishing import InspectForm
from shop.web.bench.forms.making import MeasureForm
from shop.web.bench.forms.testing import ProveForm, said_of, sent_with_curve
from shop.web.bench.gathering import find_gauge
from shop.web.bench.page import template_of
from shop.web.refusing import answered_doubts, attempt


class Correcting(StepForm):
    """A step that is taken anew in place of a record."""

    asks: ClassVar[str]

    def __init__(self, data: QueryDict | None = None, *, record: Any) -> None:
        self.record = record
        super().__init__(data, assembly=self.assembly_of(record), end=self.end_of(record))

    @staticmethod
    def assembly_of(record: Any) -> Assembly:
        found: Assembly = record.assembly
        return found

    @staticmethod
    def end_of(record: Any) -> End | None:
        """The end that the record is about, if it is about one."""
        return None

    @property
    def subject(self) -> str:
        return f"{self.assembly.code} {self.record.pk}"

    @property
    def doing(self) -> str:
        return f"correction for {self.assembly}"


class CorrectReadingsForm(Correcting, MeasureForm):
    asks = "Measure end {end} again: these readings count in place of readings {number}."

    @staticmethod
    def assembly_of(record: Measurement) -> Assembly:
        return record.crimp.assembly

    @staticmethod
    def end_of(record: Measurement) -> End:
        return End(record.crimp.end)

    def build(self) -> None:
        super().build()
        self.fields["caliper"].label = "Scan the caliper"
        self.fields["caliper"].help_text = "Empty: the same one as before."

    def take(self, actor: User, sure: frozenset[str]) -> str:
        caliper = self.cleaned_data["caliper"]
        measurement = correct_measurement(
            actor=actor,
            measurement=self.record,
            readings_mm=self.readings("reading"),
            other_section_mm=self.readings("other"),
            gauge=find_gauge(caliper) if caliper else None,
            sure=sure,
        )
        return f"Corrected: end {self.at_end.value} {measurement.get_outcome_display()}."


class CorrectInspectionForm(Correcting, InspectForm):
    asks = "Inspect it again: this counts in place of inspection {number}."

    def take(self, actor: User, sure: frozenset[str]) -> str:
        inspection = correct_inspection(
            actor=actor,
            inspection=self.record,
            finished_length_mm=self.cleaned_data["finished_length"],
            angle_deg=self.cleaned_data.get("angle_deg"),
            gauge=self.gathering.thing("tape"),
            seen=set(self.cleaned_data["seen"]),
            pin_mm=self.cleaned_data.get("pin"),
            faults=self.faults,
        )
        return f"Corrected: {'right' if inspection.passed else 'not right'}."


class CorrectTestForm(Correcting, ProveForm):
    asks = "Test it again: this counts in place of proof test {number}."

    def take(self, actor: User, sure: frozenset[str]) -> str:
        test = correct_proof_test(
            actor=actor,
            test=self.record,
            gauge=self.gathering.thing("pressure gauge"),
            observed=self.observed,
            sure=sure,
        )
        return f"Corrected: {said_of(ProofOutcome(test.outcome))}"


class CorrectLotsForm(Correcting, GatheringForm):
    step, button = Step.CRIMP, "It was made of these"
    asks = "Scan the bins that end {end} was made from."

    @staticmethod
    def end_of(record: Crimp) -> End:
        return End(record.end)

    def build(self) -> None:
        super().build()
        if self.is_whole:
            self.fields["reason"] = forms.CharField(label="How it is known", max_length=300)

    def take(self, actor: User, sure: frozenset[str]) -> str:
        correct_lots(
            actor=actor,
            crimp=self.record,
            fitting_lot=self.gathering.thing("fittings"),
            ferrule_lot=self.gathering.get("ferrules"),
            reason=self.cleaned_data["reason"],
        )
        return f"Corrected: the lots of end {self.at_end.value}. What was named first stays on record."


@dataclass(frozen=True)
class Correction:
    """A kind of record that can be corrected: who may, with which form, and how it is found by its key."""

    permission: Permission
    form: type[Correcting]
    model: type[Model]
    to_assembly: str = "assembly"

    def find(self, code: str, pk: int) -> Model:
        rows = self.model._default_manager.select_related(f"{self.to_assembly}__run__resolution")
        return get_object_or_404(rows, pk=pk, **{f"{self.to_assembly}__code": code})


CORRECTIONS = {
    "readings": Correction(Permission.MAKE, CorrectReadingsForm, Measurement, "crimp__assembly"),
    "inspection": Correction(Permission.INSPECT, CorrectInspectionForm, Inspection),
    "test": Correction(Permission.MAKE, CorrectTestForm, ProofTest),
    "lots": Correction(Permission.DECIDE, CorrectLotsForm, Crimp),
}


def _correcting(correction: Correction) -> Callable[..., HttpResponseBase]:
    """The view that takes such a correction, once."""

    @require_http_methods(["GET", "POST"])
    @needs(correction.permission)
    def correct(request: StaffRequest, code: str, pk: int) -> HttpResponse:
        if (answer := somebody_elses(request)) is not None:
            return answer
        sent = sent_with_curve(request) if request.method == "POST" else None
        form = correction.form(sent, record=correction.find(code, pk))
        if sent is None or (isinstance(form, GatheringForm) and "take" not in sent):
            if sent is not None:
                form.is_valid()  # takes in what was scanned; there is nothing to record yet
            return _page(request, form)
        said = attempt(form, lambda: form.send(request.user, answered_doubts(request.POST)))
        if said is None:
            return _page(request, form)
        return taken(request, said, "web:assembly", code=code)

    return correct


def _page(request: StaffRequest, form: Correcting) -> HttpResponse:
    gathering = form.gathering if isinstance(form, GatheringForm) else None
    refused = form.is_bound and (bool(form.errors) or hasattr(form, "refusal"))
    number = getattr(form.record, "number", "")
    facts = facts_for(form.assembly, form.step, form.end) if gathering and form.step != Step.CRIMP else []
    context = {
        "assembly": form.assembly,
        "form": form,
        "asks": form.asks.format(end=form.end, number=number),
        "action": request.path,
        "gathering": gathering,
        "picks": gathering.picks() if gathering else [],
        "facts": facts,
        "specification": form.assembly.specification(form.end) if form.end else None,
        "step_template": f"web/bench/{template_of(form)}",
    }
    return render(request, "web/bench/correct.html", context, status=422 if refused else 200)


VIEWS = {name: _correcting(correction) for name, correction in CORRECTIONS.items()}
