"""Deciding what becomes of what is held or failed: what this person may, and for each act what it needs."""

from collections.abc import Iterator
from dataclasses import dataclass

from django import forms
from django.forms import BoundField

from shop.assemblies.inspection import concede
from shop.assemblies.making import decide, refit_end
from shop.assemblies.models import CAUSES, Cause, DecisionKind, End
from shop.assemblies.offers import Offer, offers_for
from shop.assemblies.refitting import hose_left, least_cut_off
from shop.assemblies.remedies import Remedy, Wrong, what_is_wrong
from shop.assemblies.standing import standing_of
from shop.assemblies.steps import Step
from shop.core.refusals import Refusal
from shop.people.models import User
from shop.web.bench.forms.base import StepForm
from shop.web.fields import LengthField
from shop.web.templatetags.quantities import length

WITH_CAUSES = {remedy: CAUSES[DecisionKind(remedy.value)] for remedy in Remedy if remedy != Remedy.CONCEDE}
# What each act asks beside its cause and the person's own words.
ASKS: dict[Remedy, tuple[str, ...]] = {
    Remedy.REFIT: ("cut_end", "cut_off"),
    Remedy.CONCEDE: ("agreed_by", "paper"),
}


@dataclass(frozen=True)
class Asked:
    """What is asked if that act is chosen."""

    remedy: Remedy
    fields: tuple[BoundField, ...]


class DecideForm(StepForm):
    """An act, why, and what it needs; the page asks only what belongs to the act that is tapped."""

    step, button = Step.DECIDE, "Decide"
    refused: tuple[tuple[str, Refusal], ...] = ()

    kind = forms.ChoiceField(
        label="What is done about it",
        choices=[(remedy.value, remedy.label) for remedy in Remedy],
        widget=forms.RadioSelect,
    )
    cut_end = forms.ChoiceField(
        label="Which end is cut off", choices=End, widget=forms.RadioSelect, required=False
    )
    cut_off = LengthField(label="Hose that comes off", required=False)
    agreed_by = forms.CharField(label="Who agreed at the customer", max_length=120, required=False)
    paper = forms.CharField(
        label="In which paper",
        max_length=120,
        required=False,
        help_text="The letter, mail or order change, with its day.",
    )
    reason = forms.CharField(
        label="In your own words",
        max_length=300,
        required=False,
        help_text="Needed where no reason above fits, and for a concession.",
    )

    def build(self) -> None:
        for remedy, causes in WITH_CAUSES.items():
            self.fields[f"cause_{remedy}"] = forms.ChoiceField(
                label="Why",
                choices=[(cause.value, cause.label) for cause in causes],
                widget=forms.RadioSelect,
                required=False,
            )
        self.fields["cut_off"].help_text = self._at_least()

    def offer(self, person: User) -> None:
        """Show what the person may choose; `refused` says what could help, and why it is not to be had."""
        offers = offers_for(person, self.assembly)
        may = {offer.remedy for offer in offers if offer.refusal is None}
        self._choices("kind", [(remedy.value, remedy.label) for remedy in Remedy if remedy in may])
        if len(may) == 1:
            self.initial["kind"] = next(iter(may)).value
        self._choices("cut_end", [(end.value, end.label) for end in _ends(offers)])
        against = {offer.remedy: offer.refusal for offer in offers if offer.remedy not in may}
        self.refused = tuple((remedy.label, why) for remedy, why in against.items() if why is not None)

    @property
    def found_wrong(self) -> tuple[str, ...]:
        """What the inspection found that was not right; nothing if something else is the matter."""
        if what_is_wrong(standing_of(self.assembly)) is not Wrong.NOT_RIGHT:
            return ()
        return self.assembly.inspections.latest("entry").found_wrong

    @property
    def asked(self) -> Iterator[Asked]:
        """What each act that may be chosen asks."""
        choices = dict(self._shown("kind"))
        for remedy in (remedy for remedy in Remedy if remedy.value in choices):
            names = [*ASKS.get(remedy, ()), *([f"cause_{remedy}"] if remedy in WITH_CAUSES else [])]
            asks_end = bool(self._shown("cut_end"))
            yield Asked(remedy, tuple(self[name] for name in names if name != "cut_end" or asks_end))

    def take(self, actor: User, sure: frozenset[str]) -> str:
        typed = self.cleaned_data
        remedy, reason = Remedy(typed["kind"]), typed["reason"]
        if remedy is Remedy.CONCEDE:
            concede(
                actor=actor,
                assembly=self.assembly,
                agreed_by=typed["agreed_by"],
                paper=typed["paper"],
                reason=reason,
            )
            return "It passes under a concession: recorded."
        cause = Cause(typed[f"cause_{remedy}"] or Cause.OTHER)
        if remedy is Remedy.REFIT:
            decision = refit_end(
                actor=actor,
                assembly=self.assembly,
                end=End(typed["cut_end"]) if typed["cut_end"] else None,
                cut_off_mm=typed["cut_off"],
                cause=cause,
                reason=reason,
            )
            left = length(decision.length_left)
            return f"Cut off and refit: recorded. {left} of hose are left; the crimper is set up anew."
        decide(
            actor=actor,
            assembly=self.assembly,
            kind=DecisionKind(remedy.value),
            cause=cause,
            reason=reason,
        )
        return f"{remedy.label}: recorded."

    def clean(self) -> None:
        super().clean()
        is_refit = self.cleaned_data.get("kind") == Remedy.REFIT
        if is_refit and not self.cleaned_data.get("cut_off") and "cut_off" not in self.errors:
            self.add_error("cut_off", "Measure what comes off and type it.")

    def _at_least(self) -> str:
        ends = [self.end] if self.end is not None else list(End)
        least = "; ".join(f"{end.label} at least {length(least_cut_off(self.assembly, end))}" for end in ends)
        return f"Behind the ferrule, {least}. {length(hose_left(self.assembly))} of hose are on it now."

    def _choices(self, name: str, choices: list[tuple[str, str]]) -> None:
        """Change what is shown, while what was sent is still held to the whole list."""
        self.fields[name].widget.choices = choices

    def _shown(self, name: str) -> list[tuple[str, str]]:
        return list(self.fields[name].widget.choices)


def _ends(offers: tuple[Offer, ...]) -> list[End]:
    return [offer.end for offer in offers if offer.end is not None and offer.refusal is None]
