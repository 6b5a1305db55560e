"""Readings of a crimp against its limits, by all three decision rules, and how sure the crimp is."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django import forms

from shop.drawings.judgement import JudgementDrawing, draw_judgement
from shop.engineering.conformity import probability_of_conformity
from shop.engineering.crimp import (
    CrimpLimits,
    DecisionRule,
    Judged,
    Judgement,
    MeasurementUncertainty,
    gauge_fits,
    implausible_reading,
    judge_crimp,
)
from shop.engineering.decision import ONE_SIDED_95
from shop.engineering.numbers import plain
from shop.policy.models import Policy
from shop.policy.services import policy_in_force
from shop.web.fields import LengthField
from shop.web.templatetags.quantities import diameter
from shop.web.worksheets.fields import NumberField, ReadingsField
from shop.web.worksheets.forms import WorksheetForm
from shop.web.worksheets.sheet import Basis, Fact, Sheet, Table, Verdict, Working, Worksheet
from shop.web.worksheets.words import percent

_RULES = {
    DecisionRule.PLAIN: "inside the limits",
    DecisionRule.GUARDED_U: "inside by U",
    DecisionRule.GUARDED_164U: "inside by 1.64 u",
}
_GUARDS = {DecisionRule.PLAIN: "0", DecisionRule.GUARDED_U: "U", DecisionRule.GUARDED_164U: "1.64 × U / k"}
_OUTCOMES = {"pass": "Passes", "held": "Held, not proven", "fail": "Fails"}
_GUARD_SOURCE = "Guard bands: ISO 14253-1 and JCGM 106, from memory"
_CAUTIONS = (
    "This page records nothing. A crimp is judged at the bench, with its gauge, by the chart in force.",
    "The chart's diameter governs. A crimp outside its limits is never accepted as it is.",
)


class JudgingForm(WorksheetForm):
    GROUPS = {
        "The chart's line": ("lower", "target", "upper", "judged", "ovality"),
        "What was read": ("readings",),
        "The gauge, from its calibration": ("expanded", "factor", "resolution"),
    }
    ARGUMENTS = {
        "lower crimp limit": ("lower",),
        "target crimp diameter": ("target",),
        "upper crimp limit": ("upper",),
        "crimp limits": ("target",),
        "ovality limit": ("ovality",),
        "number of readings": ("readings",),
        "reading": ("readings",),
        "expanded uncertainty": ("expanded",),
        "coverage factor": ("factor",),
        "resolution": ("resolution",),
    }

    lower = LengthField(label="Lower limit")
    target = LengthField(label="Target")
    upper = LengthField(label="Upper limit")
    judged = forms.ChoiceField(
        label="Judged", choices=[(Judged.MEAN.value, "the mean"), (Judged.EACH.value, "each reading")]
    )
    ovality = LengthField(label="Ovality, at most", required=False, help_text="Empty if the chart has none.")
    readings = ReadingsField(label="Readings", help_text="With spaces between, like 20.18 20.20 20.19.")
    expanded = LengthField(label="Expanded uncertainty U", required=False, help_text="Empty if not known.")
    factor = NumberField(label="Its coverage factor k", initial="2", required=False)
    resolution = LengthField(label="It reads to", initial="0.01 mm", required=False)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        if cleaned.get("expanded") is not None:
            self.require("factor", "resolution")
        return cleaned


@dataclass(frozen=True)
class _Judging:
    """What is judged, with what, and by which policy."""

    readings: Sequence[Decimal]
    limits: CrimpLimits
    uncertainty: MeasurementUncertainty | None
    policy: Policy

    def by(self, rule: DecisionRule) -> Judgement:
        share = self.policy.gauge_share
        return judge_crimp(self.readings, self.limits, self.uncertainty, rule, share)

    @property
    def own_rule(self) -> DecisionRule:
        return DecisionRule(self.policy.decision_rule)


def work(answers: Mapping[str, Any]) -> Sheet:
    """The outcome by each rule, drawn by the workshop's own."""
    judging = _judging(answers)
    own = judging.by(judging.own_rule)
    word = _OUTCOMES[own.outcome]
    return Sheet(
        says=f"{word} by the rule of {judging.policy}; the mean is {diameter(own.mean_mm)}.",
        verdicts=(
            *(Verdict("care", question) for question in _questions(judging)),
            Verdict(own.outcome, f"{word}, by the rule of {judging.policy}.", " ".join(own.reasons)),
        ),
        answers=tuple(_facts(judging, own)),
        drawing=_drawn(judging, own),
        tables=(_rules(judging),),
        workings=tuple(_workings(judging, own)),
        assumptions=(
            "The readings are across opposed flats, at the place that the chart names.",
            "U is that of what is judged: of the mean, or of one reading.",
            *_conformity_assumptions(judging, own),
        ),
        cautions=_CAUTIONS,
        basis=(Basis("Guard bands of ISO 14253-1, probability of JCGM 106", "memory"),),
    )


def _judging(answers: Mapping[str, Any]) -> _Judging:
    limits = CrimpLimits(
        target_mm=answers["target"],
        lower_mm=answers["lower"],
        upper_mm=answers["upper"],
        judged=Judged(answers["judged"]),
        ovality_mm=answers["ovality"],
        taper_mm=None,
        readings=1,
    )
    uncertainty = None
    if answers["expanded"] is not None:
        uncertainty = MeasurementUncertainty(
            expanded_mm=answers["expanded"],
            resolution_mm=answers["resolution"],
            coverage_factor=answers["factor"],
        )
    return _Judging(answers["readings"], limits, uncertainty, policy_in_force())


def _questions(judging: _Judging) -> Iterator[str]:
    asked = (implausible_reading(reading, judging.limits) for reading in judging.readings)
    yield from dict.fromkeys(question for question in asked if question)


def _facts(judging: _Judging, own: Judgement) -> Iterator[Fact]:
    yield Fact("Mean", diameter(own.mean_mm))
    yield Fact("Spread", diameter(own.spread_mm), "largest less smallest reading")
    fit = gauge_fits(judging.limits, judging.uncertainty, judging.own_rule, judging.policy.gauge_share)
    yield Fact("Gauge", "fine enough" if fit.fits else "not fine enough", fit.why)
    for value, conformity in _conformities(judging, own).items():
        yield Fact(
            "Probability of conformity", percent(conformity.probability), f"that {diameter(value)} is right"
        )


def _conformities(judging: _Judging, own: Judgement) -> dict[Decimal, Any]:
    """How likely it is within the limits: the mean, or the readings that are furthest out."""
    if judging.uncertainty is None:
        return {}
    standard = judging.uncertainty.expanded_mm / judging.uncertainty.coverage_factor
    limits = judging.limits
    return {
        value: probability_of_conformity(value, limits.lower_mm, limits.upper_mm, standard)
        for value in dict.fromkeys((own.judged_low, own.judged_high))
    }


def _conformity_assumptions(judging: _Judging, own: Judgement) -> tuple[str, ...]:
    found = _conformities(judging, own).values()
    return tuple(dict.fromkeys(said for each in found for said in (*each.assumptions, *each.cautions)))


def _rules(judging: _Judging) -> Table:
    rows = []
    for rule, words in _RULES.items():
        judged = judging.by(rule)
        accepted = f"{diameter(judged.acceptance_lower)} to {diameter(judged.acceptance_upper)}"
        nothing = judged.acceptance_lower > judged.acceptance_upper
        own = " (this workshop's)" if rule is judging.own_rule else ""
        rows.append(
            (
                words + own,
                _OUTCOMES[judged.outcome],
                "nothing" if nothing else accepted,
                " ".join(judged.reasons),
            )
        )
    return Table("By each decision rule", ("Right if", "Outcome", "Accepted", "Why"), tuple(rows))


def _drawn(judging: _Judging, own: Judgement) -> str:
    limits, uncertainty = judging.limits, judging.uncertainty
    return draw_judgement(
        JudgementDrawing(
            lower_mm=limits.lower_mm,
            target_mm=limits.target_mm,
            upper_mm=limits.upper_mm,
            acceptance_lower_mm=own.acceptance_lower,
            acceptance_upper_mm=own.acceptance_upper,
            readings_mm=own.readings,
            mean_mm=own.mean_mm,
            expanded_mm=None if uncertainty is None else uncertainty.expanded_mm,
            outcome=own.outcome,
            judged=limits.judged,
        )
    )


def _workings(judging: _Judging, own: Judgement) -> Iterator[Working]:
    limits, uncertainty = judging.limits, judging.uncertainty
    count = len(own.readings)
    added = " + ".join(map(plain, own.readings))
    yield Working(
        "Mean", "sum of the readings / n", f"({added}) / {count}", diameter(own.mean_mm), "Arithmetic"
    )
    if uncertainty is None:
        return
    u, k = plain(uncertainty.expanded_mm), plain(uncertainty.coverage_factor)
    guard = {
        DecisionRule.PLAIN: "",
        DecisionRule.GUARDED_U: f"{u} mm",
        DecisionRule.GUARDED_164U: f"{ONE_SIDED_95} × {u} / {k} mm",
    }[judging.own_rule]
    yield Working(
        "Guard inside each limit, by the workshop's rule",
        _GUARDS[judging.own_rule],
        guard,
        f"{plain(own.guard_mm)} mm",
        _GUARD_SOURCE,
    )
    for value, found in _conformities(judging, own).items():
        yield Working(
            f"Probability of conformity of {diameter(value)}",
            "Φ((upper − x) / u) − Φ((lower − x) / u), u = U / k",
            f"Φ(({plain(limits.upper_mm)} − {plain(value)}) / ({u} / {k})) − "
            f"Φ(({plain(limits.lower_mm)} − {plain(value)}) / ({u} / {k}))",
            percent(found.probability),
            "JCGM 106 7.4, from memory; rounded down",
        )


WORKSHEET = Worksheet(
    slug="judgement",
    title="Judging a crimp",
    about="Readings against the chart's limits by all three decision rules, and how sure the crimp is.",
    form=JudgingForm,
    work=work,
    example={
        "lower": "20.10 mm",
        "target": "20.20 mm",
        "upper": "20.30 mm",
        "judged": "mean",
        "readings": "20.26mm 20.28mm 20.27mm 20.27mm",
        "expanded": "0.03 mm",
        "factor": "2",
        "resolution": "0.01 mm",
    },
)
