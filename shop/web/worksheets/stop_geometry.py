"""Crimp diameter against stop thickness, by crimps typed or the workshop's own, and where a stop leads."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django import forms

from shop.assemblies.stops import crimps_with
from shop.catalogue.models import DieType, FittingSeries
from shop.drawings.stop_line import Expected, StopLineDrawing, draw_stop_line
from shop.engineering.line_fit import Estimate, student_t
from shop.engineering.numbers import plain
from shop.engineering.stop_geometry import (
    CONFIDENCE,
    ONLY_A_CHECK,
    STEEPEST_DEG,
    StopCheck,
    StopCrimp,
    StopLine,
    Tapers,
    check_stop,
    diameter_per_mm,
    fit_stops,
)
from shop.tooling.models import Crimper
from shop.web.counter.named import HOSES, NamedField
from shop.web.fields import LengthField
from shop.web.worksheets.fields import NumberField
from shop.web.worksheets.forms import WorksheetForm
from shop.web.worksheets.pairs import PairsField
from shop.web.worksheets.sheet import Basis, Fact, Sheet, Verdict, Working, Worksheet

TYPED, OWN = "typed", "own"
_LEAST_SQUARES = "Least squares and their standard errors: any textbook of statistics"
_WEDGE = "A wedge that slides along its cone: geometry"


class StopForm(WorksheetForm):
    SWITCH = "source"
    GROUPS = {
        "Crimps": ("source", "crimps", "die_type", "crimper", "hose", "series"),
        "The crimper's taper": ("tapers", "angle"),
        "The chart's line": ("stop", "lower", "upper"),
    }
    ONLY = {"crimps": (TYPED,), **dict.fromkeys(("die_type", "crimper", "hose", "series"), (OWN,))}
    NEEDED = {TYPED: ("crimps",), OWN: ("die_type", "crimper")}
    ARGUMENTS = {
        "points": ("crimps", "die_type"),
        "stop thickness": ("stop",),
        "crimp diameter": ("crimps",),
        "taper angle": ("angle",),
        "crimp limits": ("lower",),
        "lower crimp limit": ("lower",),
        "upper crimp limit": ("upper",),
    }

    source = forms.ChoiceField(
        label="By", choices=[(TYPED, "the crimps typed here"), (OWN, "the workshop's own crimps")]
    )
    crimps = PairsField(
        label="Stop thickness and crimp diameter",
        required=False,
        help_text="A crimp to a line, like 12 20.92: the mean of its readings.",
    )
    die_type = forms.ModelChoiceField(DieType.objects.all(), label="Die type", required=False)
    crimper = forms.ModelChoiceField(Crimper.objects.all(), label="Crimper", required=False)
    hose = NamedField(HOSES, label="Hose", required=False, help_text="Empty: every hose with these dies.")
    series = forms.ModelChoiceField(
        FittingSeries.objects.all(), label="Fitting series", required=False, empty_label="every series"
    )
    tapers = forms.ChoiceField(
        label="The dies slide in",
        required=False,
        choices=[
            ("", "not known"),
            (Tapers.ONE.value, "one cone"),
            (Tapers.TWO.value, "a cone at each end"),
        ],
    )
    angle = NumberField(
        label="Taper to the axis",
        unit="°",
        required=False,
        help_text=f"Half the cone's angle, up to {STEEPEST_DEG}; from the crimper's papers.",
    )
    stop = LengthField(
        label="Its stop", required=False, help_text="Thickness; empty: only the line is found."
    )
    lower = LengthField(label="Lower limit", required=False)
    upper = LengthField(label="Upper limit", required=False)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        if cleaned.get("lower") is not None or cleaned.get("upper") is not None:
            self.require("stop", "lower", "upper")
        if cleaned.get("tapers"):
            self.require("angle")
        return cleaned


@dataclass(frozen=True)
class _Found:
    """The line, what it was fitted to, and what was asked of it."""

    crimps: Sequence[StopCrimp]
    stops: StopLine
    geometry: Decimal | None
    stop: Decimal | None
    limits: tuple[Decimal, Decimal] | None

    @property
    def expected(self) -> Estimate | None:
        return None if self.stop is None else self.stops.diameter_mm(self.stop)

    @property
    def check(self) -> StopCheck | None:
        if self.stop is None or self.limits is None:
            return None
        return check_stop(self.stops, self.stop, *self.limits)

    @property
    def t(self) -> Decimal:
        return student_t(CONFIDENCE, self.stops.line.degrees_of_freedom)


def work(answers: Mapping[str, Any]) -> Sheet:
    """The line through the crimps, and what is expected of the chart's stop."""
    found = _found(answers)
    check, slope = found.check, found.stops.slope
    says = f"{_shown(slope.value)} mm of diameter for each millimetre of stop."
    return Sheet(
        says=says if check is None else check.reason,
        verdicts=() if check is None else (_verdict(check),),
        answers=tuple(_facts(found)),
        drawing=draw_stop_line(_drawn(found, says)),
        workings=tuple(_workings(found, answers)),
        assumptions=found.stops.assumptions,
        cautions=found.stops.cautions if check is None else check.cautions,
        basis=(Basis("Simple linear regression, Student's t", "memory"),),
    )


def _found(answers: Mapping[str, Any]) -> _Found:
    geometry = None
    if answers["tapers"] and answers["angle"] is not None:
        geometry = diameter_per_mm(answers["angle"], Tapers(answers["tapers"]))
    crimps = _crimps(answers)
    of_one_hose = answers["source"] == TYPED or answers["hose"] is not None
    return _Found(
        crimps=crimps,
        stops=fit_stops(crimps, geometry, of_one_hose=of_one_hose),
        geometry=geometry,
        stop=answers["stop"],
        limits=None if answers["lower"] is None else (answers["lower"], answers["upper"]),
    )


def _crimps(answers: Mapping[str, Any]) -> Sequence[StopCrimp]:
    if answers["source"] == TYPED:
        return [StopCrimp(thickness, diameter) for thickness, diameter in answers["crimps"]]
    asked = {name: answers[name] for name in ("crimper", "hose", "series")}
    return [crimp for of_press in crimps_with([answers["die_type"]], **asked) for crimp in of_press.crimps]


def _verdict(check: StopCheck) -> Verdict:
    sign, word = ("note", "It agrees.") if check.agrees else ("care", "Look before you crimp.")
    return Verdict(sign, word, f"{check.reason} {ONLY_A_CHECK}")


def _facts(found: _Found) -> Iterator[Fact]:
    line = found.stops.line
    yield Fact("For each mm of stop", f"{_shown(line.slope.value)} mm", _error(line.slope))
    if found.geometry is not None:
        yield Fact("By the taper", f"{_shown(found.geometry)} mm", "for each mm of stop")
    if found.expected is not None and found.stop is not None:
        yield Fact(
            f"Expected with {plain(found.stop)} mm",
            f"{_shown(found.expected.value)} mm",
            _error(found.expected),
        )
        yield Fact("With 95 %", _range(found), "where the next crimp lies")
    yield Fact("Crimps", str(line.points), f"stops of {plain(line.lowest_x)} to {plain(line.highest_x)} mm")


def _range(found: _Found) -> str:
    low, high = _reach(found)
    return f"{_shown(low)} to {_shown(high)} mm"


def _reach(found: _Found) -> tuple[Decimal, Decimal]:
    """From where to where the next crimp is expected, mm."""
    expected = found.expected
    assert expected is not None, "only asked for a stop"
    reach = found.t * expected.standard_error
    return expected.value - reach, expected.value + reach


def _drawn(found: _Found, says: str) -> StopLineDrawing:
    line = found.stops.line
    expected = None
    if found.expected is not None and found.stop is not None:
        expected = Expected(found.stop, found.expected.value, *_reach(found))
    return StopLineDrawing(
        title=says,
        crimps=tuple((crimp.thickness_mm, crimp.diameter_mm) for crimp in found.crimps),
        line=(
            (line.lowest_x, line.at(line.lowest_x).value),
            (line.highest_x, line.at(line.highest_x).value),
        ),
        expected=expected,
        limits=found.limits,
    )


def _workings(found: _Found, answers: Mapping[str, Any]) -> Iterator[Working]:
    line = found.stops.line
    for what, formula, result in (
        (
            "Slope of the line through the crimps",
            "b = Σ(x − x̄)(y − ȳ) / Σ(x − x̄)²",
            f"{_shown(line.slope.value)} mm/mm",
        ),
        ("Where it begins, with no stop", "a = ȳ − b x̄", f"{_shown(line.intercept.value)} mm"),
        (
            "How far a crimp lies from it",
            "s = √(Σ(y − a − b x)² / (n − 2))",
            f"{_shown(line.residual_sd)} mm",
        ),
    ):
        yield Working(what, formula, "", result, _LEAST_SQUARES)
    if found.geometry is not None:
        sides = "2 " if answers["tapers"] == Tapers.ONE else ""
        yield Working(
            "By the taper",
            f"{sides}tan α",
            f"{sides}tan {plain(answers['angle'])}°",
            f"{_shown(found.geometry)} mm/mm",
            _WEDGE,
        )
    if found.expected is not None and found.stop is not None:
        yield Working(
            f"The next crimp with {plain(found.stop)} mm, with 95 %",
            "a + b x ± t s √(1 + 1/n + (x − x̄)² / Σ(x − x̄)²)",
            f"{_shown(found.expected.value)} ± {_shown(found.t)} × {_shown(found.expected.standard_error)}",
            _range(found),
            _LEAST_SQUARES,
        )


def _error(estimate: Estimate) -> str:
    return f"standard error {_shown(estimate.standard_error)} mm"


def _shown(value: Decimal) -> str:
    """To a thousandth, a tenth of what a caliper reads."""
    return plain(round(value, 3))


WORKSHEET = Worksheet(
    slug="stop_geometry",
    title="Stop and crimp diameter",
    about="What your own crimps say of a stop: the diameter that it leads to, beside the chart's limits.",
    form=StopForm,
    work=work,
    example={
        "source": TYPED,
        "crimps": "10 20.21; 12 20.92; 14 21.62; 16 22.36; 18 23.03; 20 23.77",
        "tapers": Tapers.ONE.value,
        "angle": "10",
        "stop": "14 mm",
        "lower": "21.55 mm",
        "upper": "21.75 mm",
    },
)
