"""The forms of a crimp chart: its head, its lines, checking, issuing and withdrawing it."""

from collections.abc import Iterator
from typing import Any

from django import forms

from shop.catalogue.models import ChartIssue, ChartLine, CrimpChart, CrimpValues
from shop.catalogue.services import save_chart, save_chart_line
from shop.core.refusals import Doubt
from shop.people.models import User
from shop.web.fields import DayField, LengthField
from shop.web.registers.forms import RegisterForm
from shop.web.templatetags.quantities import length


class CrimpBelowBore(Doubt):
    """A slip of the unit or the decimal point: the ferrule would be smaller than the hole in the hose."""

    says = "A crimp diameter of {target} is less than the bore of {hose}, which is {bore}."
    do = "Look again at the figure and its unit; tick it only if the document says so."
    field = "target"


class WideLimits(Doubt):
    """Common practice, no source: limits of a crimp lie within a few tenths of its diameter."""

    says = "The limits are {apart} apart, more than a twentieth of the crimp diameter."
    do = "Look again at the figures and their units; tick it only if the document says so."
    field = "upper"


class ChartForm(RegisterForm):
    """The head of a chart."""

    class Meta(RegisterForm.Meta):
        model = CrimpChart
        fields = ["number", "origin"]

    def write(self, *, actor: User, sure: frozenset[str]) -> CrimpChart:
        return save_chart(actor=actor, chart=self.instance)


class ChartLineForm(RegisterForm):
    """One line of a chart, in the order in which documents print the columns.

    A tolerance stands for both limits, for documents that print `24.2 ± 0.2`.
    """

    KEY = ("hose", "series", "ferrule", "material", "die_type", "stop_kind", "stop_type")

    lower = LengthField(required=False, label="Lower limit")
    upper = LengthField(required=False, label="Upper limit")
    tolerance = LengthField(
        required=False,
        label="or ± tolerance",
        help_text="Instead of the two limits, where the document prints one figure for both.",
    )

    class Meta(RegisterForm.Meta):
        model = ChartLine
        fields = list(CrimpValues.COLUMNS)

    field_order = [
        *CrimpValues.COLUMNS[: CrimpValues.COLUMNS.index("upper") + 1],
        "tolerance",
        *CrimpValues.COLUMNS[CrimpValues.COLUMNS.index("upper") + 1 :],
    ]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        target, tolerance = cleaned.get("target"), cleaned.get("tolerance")
        limits = {name: cleaned.get(name) for name in ("lower", "upper") if name in cleaned}
        if tolerance is not None and any(limits.values()):
            self.add_error("tolerance", "Type the two limits, or the tolerance instead of them, not both.")
        elif tolerance is not None and target is not None:
            cleaned["lower"], cleaned["upper"] = target - tolerance, target + tolerance
        else:
            for name in (name for name, limit in limits.items() if limit is None):
                self.add_error(name, "Type this limit, or the tolerance instead of both.")
        return cleaned

    def oddities(self) -> Iterator[Doubt]:
        line: ChartLine = self.instance
        if line.target <= line.hose.bore:
            yield CrimpBelowBore(target=length(line.target), hose=line.hose, bore=length(line.hose.bore))
        if (line.upper - line.lower) * 20 > line.target:
            yield WideLimits(apart=length(line.upper - line.lower))

    def write(self, *, actor: User, sure: frozenset[str]) -> ChartLine:
        return save_chart_line(actor=actor, line=self.instance)


class CheckForm(forms.Form):
    """The second person says what was compared."""

    compared = forms.BooleanField(
        label="I have compared every line and every column with the maker's document",
        error_messages={"required": "Compare every line with the document, then tick this."},
    )


class IssueForm(forms.Form):
    """The name of the issue, and the day from which it is in force."""

    issue = forms.CharField(
        max_length=ChartIssue._meta.get_field("issue").max_length, help_text="A number, a letter or a date."
    )
    effective_from = DayField(label="In force from")


class WithdrawForm(forms.Form):
    """Why an issue is taken out of force."""

    reason = forms.CharField(
        max_length=200,
        widget=forms.Textarea,
        help_text="For whoever asks later, such as: recalled by the maker, letter of 2026-11-20.",
    )
