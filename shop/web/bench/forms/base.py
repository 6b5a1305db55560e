"""What the forms of all steps have in common: sent once, scanned one by one."""

from collections.abc import Mapping
from itertools import groupby
from typing import Any, ClassVar
from uuid import UUID, uuid4

from django import forms
from django.core.exceptions import ValidationError
from django.db import transaction
from django.http import QueryDict
from django.utils.functional import cached_property

from shop.assemblies.models import Assembly, Crimp, End
from shop.assemblies.points import At, Job, asked_of
from shop.assemblies.refusals import NotTheNextStep
from shop.assemblies.steps import Step, next_step
from shop.assemblies.submissions import once
from shop.catalogue.models import CrimpSpecification
from shop.core.refusals import Refusal
from shop.people.models import User
from shop.policy.services import policy_in_force
from shop.web.bench.gathering import Gathering
from shop.web.refusing import add_refusal, attempt

AT_AN_END = frozenset({Step.SET_UP, Step.CRIMP, Step.MEASURE})
ABOUT_A_CRIMP = frozenset({Step.MEASURE, Step.DECIDE, Step.INSPECT, Step.TEST})
ALREADY = "That was recorded already."
NOT_TYPED = frozenset({"csrfmiddlewaretoken", "nonce"})


class CrimpedSince(Refusal):
    rule = 9
    says = "{assembly} was crimped since this page was opened: what you send is about the crimp before."
    do = "Look at it as it is now, with the part in hand."


class StepForm(forms.Form):
    """What one step asks. The nonce makes a double tap, a resend and the back button harmless."""

    step: ClassVar[Step]
    button: ClassVar[str]
    is_of_one_piece: ClassVar[bool] = True

    nonce = forms.UUIDField(widget=forms.HiddenInput, initial=uuid4)
    # The end that was shown: a form sent late must not slip to the next one.
    end_shown = forms.ChoiceField(widget=forms.HiddenInput, choices=End, required=False)
    # The newest crimp that was shown: what was read or seen of it is not said of one that was made since.
    crimp_shown = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def __init__(self, data: QueryDict | None = None, *, assembly: Assembly, end: End | None) -> None:
        super().__init__(data, initial={"end_shown": end})
        self.sent = data or QueryDict()
        self.assembly = assembly
        shown = self.sent.get("end_shown")
        self.end = End(str(shown)) if shown in End.values else end
        if self.end is None and self.step in AT_AN_END:
            raise NotTheNextStep(assembly=assembly, done=self.step.done, next=next_step(assembly).words)
        self.initial["crimp_shown"] = self._newest_crimp()
        self.build()

    def build(self) -> None:
        """Add the fields that depend on the assembly."""

    @property
    def subject(self) -> str:
        """What the form is about, the same whenever it is sent."""
        return self.assembly.code

    @property
    def doing(self) -> str:
        """What the step does, in words, while it waits on a tablet that has no connection."""
        at = f" at {self.end.label}" if self.end is not None else ""
        return f"{self.step.done} {self.assembly}{at}"

    @cached_property
    def job(self) -> Job:
        """What decides which points are asked, by the policy of today."""
        return Job(self.assembly, policy_in_force(), self.end)

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
                subject=self.subject,
                payload=payload,
            ):
                return ALREADY
            said = attempt(self, lambda: self._take(actor, sure)) if self.is_valid() else None
            if said is None:
                transaction.set_rollback(True)
            return said

    def _take(self, actor: User, sure: frozenset[str]) -> str:
        shown = self.cleaned_data.get("crimp_shown")
        if shown is not None and shown != self._newest_crimp():
            raise CrimpedSince(assembly=self.assembly)
        return self.take(actor, sure)

    def _newest_crimp(self) -> int | None:
        """The key of the crimp that the step is about; None if it is about none, or about several."""
        if self.step not in ABOUT_A_CRIMP or not self.is_of_one_piece:
            return None
        crimps = Crimp.objects.filter(assembly=self.assembly)
        if self.step is Step.MEASURE:
            crimps = crimps.filter(end=self.end)
        return crimps.order_by("entry").values_list("pk", flat=True).last()

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
            attrs={
                "data-scan": True,
                "autofocus": True,  # a scanner types into whatever has the focus
                "autocomplete": "off",
                "autocapitalize": "characters",
            }
        ),
    )

    @property
    def had(self) -> str:
        """The codes of what is there already when the page opens."""
        return ""

    def build(self) -> None:
        self.gathering = Gathering(self.assembly, self.step, self.end)
        self.wrong: Refusal | None = None
        scanned = str(self.sent.get("pick") or self.sent.get("scan", ""))
        # What was taken in before is looked at again: it may have been blocked since.
        for code in (*str(self.sent.get("have", self.had)).split(), *scanned.split(maxsplit=0)):
            try:
                self.gathering.add(code)
            except Refusal as refusal:
                self.wrong = refusal
        self.fields["scan"].label = self.gathering.question

    def clean(self) -> None:
        super().clean()
        if "take" not in self.sent:
            # Only something was scanned: what the page asks from now on can't be lacking yet.
            self.errors.clear()
        if self.wrong is not None:
            add_refusal(self, self.wrong)
            self.add_error("scan", self.wrong.what)
        elif "take" in self.sent and not self.is_whole:
            self.add_error("scan", f"{self.gathering.question} first.")

    def suggest(self, name: str, value: str) -> None:
        """Answer a question that was not asked before everything was scanned."""
        if self.is_bound and name not in self.sent:
            answered = self.sent.copy()
            answered[name] = value
            self.data = answered

    @property
    def is_whole(self) -> bool:
        """Whether everything that the step needs has been scanned."""
        return not self.gathering.missing


class PointsField(forms.MultipleChoiceField):
    """The points that are asked of a job, in groups where they are many. The service says what is missing."""

    def __init__(self, at: At, job: Job, *, label: str = "Done and seen") -> None:
        choices: list[tuple[str, Any]] = []
        for group, points in groupby(asked_of(at, job), key=lambda point: point.group):
            pairs = [(point.code, point.words_for(job)) for point in points]
            choices += [(group, pairs)] if group else pairs
        super().__init__(label=label, choices=choices, widget=forms.CheckboxSelectMultiple, required=False)


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
