"""One form for each step at the bench: what is scanned, read or ticked, and the service that it calls."""

from shop.assemblies.steps import Step
from shop.web.bench.forms.base import GatheringForm, StepForm
from shop.web.bench.forms.deciding import DecideForm
from shop.web.bench.forms.finishing import InspectForm, ReleaseForm, TagForm
from shop.web.bench.forms.making import CrimpForm, CutForm, MeasureForm, SetUpForm
from shop.web.bench.forms.testing import ProveForm

__all__ = ["FORMS", "DecideForm", "GatheringForm", "MeasureForm", "ProveForm", "StepForm"]

FORMS: dict[Step, type[StepForm]] = {
    form.step: form
    for form in (
        CutForm,
        SetUpForm,
        CrimpForm,
        MeasureForm,
        DecideForm,
        InspectForm,
        ProveForm,
        TagForm,
        ReleaseForm,
    )
}
