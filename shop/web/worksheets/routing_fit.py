"""Routing the other way round: which bend results when this length lies between these ports."""

from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import Any

from shop.engineering.numbers import plain
from shop.engineering.routing import Layout
from shop.engineering.routing_fit import Fit, fit_bend, fit_offset, fit_straight, fit_u
from shop.engineering.routing_shapes import FixedEnd, Hose
from shop.web.worksheets.routing import GEOMETRY, SOURCES, drawn
from shop.web.worksheets.routing_form import FitForm, hose_of
from shop.web.worksheets.sheet import Fact, Sheet, Verdict, Working, Worksheet
from shop.web.worksheets.words import digits, rounded_length


def work(answers: Mapping[str, Any]) -> Sheet:
    """The radius, the straight runs or the slack that result, and whether hose and rules allow them."""
    hose = hose_of(answers)
    fit = _fit(hose, answers)
    verdicts = [Verdict("fail", "Not so:", objection) for objection in fit.objections]
    overall = rounded_length(answers["overall"])
    return Sheet(
        says="It can lie so." if fit.allowed else "It can't lie so.",
        verdicts=tuple(
            verdicts or [Verdict("pass", "It can lie so.", "Radius and straight runs are allowed.")]
        ),
        answers=tuple(_facts(fit, hose)),
        drawing=drawn(
            fit.paths, hose.outside_diameter_mm, fit.inside_radius_mm, f"{overall} of hose and ends"
        ),
        workings=tuple(_workings(fit, hose, answers)),
        assumptions=fit.assumptions,
        cautions=fit.cautions,
        basis=SOURCES,
    )


def _fit(hose: Hose, answers: Mapping[str, Any]) -> Fit:
    overall: Decimal = answers["overall"]
    match Layout(answers["layout"]):
        case Layout.STRAIGHT:
            return fit_straight(hose, overall, answers["distance"])
        case Layout.BEND:
            return fit_bend(hose, overall, answers["angle"], answers["corner_a"], answers["corner_b"])
        case Layout.U:
            fixed = FixedEnd(answers["fixed_end"] or FixedEnd.MIDDLE)
            return fit_u(hose, overall, answers["span"], answers["travel"] or Decimal(0), fixed)
        case Layout.OFFSET:
            return fit_offset(hose, overall, answers["distance"], answers["offset"])


def _facts(fit: Fit, hose: Hose) -> Iterator[Fact]:
    if fit.inside_radius_mm is not None:
        least = f"the hose needs {rounded_length(hose.minimum_radius_mm)}"
        yield Fact("Bend radius, inside", rounded_length(fit.inside_radius_mm), least)
    for end, run in (("A", fit.run_a_mm), ("B", fit.run_b_mm)):
        if run is not None:
            least = f"{rounded_length(hose.straight_run_mm)} are needed"
            yield Fact(f"Straight run at end {end}", rounded_length(run), least)
    if fit.slack_percent is not None:
        yield Fact("Slack", f"{digits(fit.slack_percent)} %", "of the hose between the ends")


def _workings(fit: Fit, hose: Hose, answers: Mapping[str, Any]) -> Iterator[Working]:
    overall, half = plain(answers["overall"]), f"{plain(hose.outside_diameter_mm)} / 2"
    if fit.slack_percent is not None:
        distance, metal = plain(answers["distance"]), plain(hose.metal_mm)
        yield Working(
            "Slack",
            "(overall − distance) / (distance − metal)",
            f"({overall} − {distance}) / ({distance} − {metal})",
            f"{digits(fit.slack_percent)} %",
            "Arithmetic",
        )
        return
    assert fit.inside_radius_mm is not None, "only a straight layout has no radius"
    match fit.layout:
        case Layout.U:
            formula, numbers = "span / 2 − outside diameter / 2", f"{plain(answers['span'])} / 2 − {half}"
        case Layout.BEND:
            corner = f"{plain(answers['corner_a'])} + {plain(answers['corner_b'])}"
            turn = plain(answers["angle"])
            formula = "(way round the corner − overall) / (2 tan(α / 2) − α) − outside diameter / 2"
            numbers = f"({corner} − {overall}) / (2 tan({turn}° / 2) − {turn}° × π / 180) − {half}"
        case _:
            distance, offset = plain(answers["distance"]), plain(answers["offset"])
            formula = (
                f"r − outside diameter / 2, where {distance} − 2 r sin α + 2 r α + the straight between is "
                f"{overall} mm and cos α = 1 − {offset} / (2 r)"
            )
            numbers = ""
    yield Working("Bend radius, inside", formula, numbers, rounded_length(fit.inside_radius_mm), GEOMETRY)


WORKSHEET = Worksheet(
    slug="routing_fit",
    title="Routing: which bend?",
    about="This length between these ports: which bend radius and straight runs result, and if they may.",
    form=FitForm,
    work=work,
    example={
        "overall": "1 m",
        "outside": "23 mm",
        "minimum": "180 mm",
        "metal_a": "60 mm",
        "metal_b": "60 mm",
        "layout": "U",
        "span": "400 mm",
    },
)
