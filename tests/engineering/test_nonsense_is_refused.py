"""Every public calculation that takes a number is given nonsense in the place of each of its numbers.

What is new in `shop.engineering` and takes a number fails here until a right call of it is among the `CALLS`.
"""

import ast
import inspect
import re
import typing
from collections.abc import Callable
from decimal import Decimal
from enum import Enum
from pathlib import Path
from typing import Any

import pytest

import shop.engineering
from shop.engineering import (
    cleanliness,
    common_factors,
    conformity,
    crimp,
    cut_correction,
    duty,
    editions,
    elongation,
    flange_identification,
    flow,
    lengths,
    line_fit,
    pressure_loss,
    proof_burst,
    proof_test,
    rating,
    routing,
    routing_fit,
    routing_shapes,
    sizes,
    stop_geometry,
    thread_identification,
    tolerance,
    viscosity,
)
from shop.engineering.errors import EngineeringError, OffTheTable
from tests.engineering import right_calls_of_hose_and_flow, right_calls_of_lengths_and_crimps
from tests.engineering.asking import Call, name_of, nonsense_for, numbers_of, public_callables
from tests.engineering.right_calls_of_hose_and_flow import FLANGES, PRINTED, RATINGS, SIZES, TUBE_SIZED, bar
from tests.engineering.right_calls_of_lengths_and_crimps import RULES, SCALE

D = Decimal
CALLS = [*right_calls_of_lengths_and_crimps.CALLS, *right_calls_of_hose_and_flow.CALLS]

# What functions hand out: nobody hands it in, so its numbers are none that were typed or read.
RESULTS: set[type] = {
    common_factors.OddsRatio,
    conformity.AcceptanceZone,
    conformity.Conformity,
    conformity.MeanUncertainty,
    conformity.ReadingPlan,
    crimp.Judgement,
    cut_correction.CutCorrection,
    editions.EditionRating,
    elongation.LengthChange,
    elongation.LengthUnderPressure,
    flange_identification.FlangeCandidate,
    flow.BoreChoice,
    lengths.TypedLength,
    line_fit.Estimate,
    line_fit.Line,
    pressure_loss.CurvePoint,
    pressure_loss.Part,
    pressure_loss.PressureLoss,
    proof_test.PressureCurve,
    rating.AssemblyRating,
    routing.Route,
    routing.Stretch,
    routing_fit.Fit,
    sizes.Bore,
    stop_geometry.StopCheck,
    thread_identification.Candidate,
    tolerance.LengthLimits,
    viscosity.Viscosity,
}
# Every number makes sense to them.
TAKE_ANY = {
    "numbers.exact_decimal": "a fraction is always finite",
    "paths.Point": "a place in a drawing; what is drawn from it is checked where it is drawn",
    "routing_shapes.at_least": "makes a refusal out of a number that was checked",
}


# Sizes that no table has, and what is not there for other reasons.
UNKNOWN: list[tuple[Callable[[], object], str]] = [
    (lambda: sizes.size_by_dash(7, SIZES), "size"),
    (lambda: sizes.size_by_dn(D(9), SIZES), "size"),
    (lambda: sizes.parse_size("-7", SIZES), "size"),
    (lambda: sizes.true_bore("SAE 100R5", 7, SIZES, TUBE_SIZED), "dash number"),
    (lambda: editions.rate_by_edition(RATINGS, "SAE 100R2AT", 7, 2010), "size"),
    (lambda: proof_burst.printed_row([PRINTED], "invented", 7), "size"),
    (lambda: tolerance.length_limits_mm(D(930), 7, [r for r in RULES if r.dash_from]), "overall length"),
    (lambda: duty.upper_temperature_c("ZZ"), "grade and type"),
    (lambda: duty.lowest_class_for(bar("561")), "pressure"),
    (lambda: flange_identification.identify_flange(D(10), FLANGES), "diameter of the head"),
    (lambda: cleanliness.scale_number(D(10) ** 9, SCALE), "particle count"),
]

ENDINGS = {
    "_mm": "mm",
    "_deg": "°",
    "_c": "°C",
    "_l_min": "l/min",
    "_m_s": "m/s",
    "_percent": "%",
    "_per_ml": "per ml",
    "_kg_m3": "kg/m³",
    "mm2_s": "mm²/s",
}


# What is refused, and how: they calculate nothing.
SOURCES = [
    path
    for path in sorted(Path(shop.engineering.__file__).parent.glob("*.py"))
    if path.stem not in {"__init__", "errors", "ranges"}
]
TAKING_NUMBERS = {name_of(f): f for f in public_callables() if f not in RESULTS and numbers_of(f)}


EVERY_NONSENSE = [
    pytest.param(asked, name, wrong, id=f"{name_of(asked.function)} {name} {wrong}")
    for asked in CALLS
    for name, wrong in nonsense_for(asked)
]


def test_every_public_calculation_that_takes_a_number_is_here() -> None:
    here = {name_of(asked.function) for asked in CALLS}
    assert set(TAKING_NUMBERS) - set(TAKE_ANY) == here
    assert set(TAKING_NUMBERS) >= set(TAKE_ANY)


def test_results_are_never_handed_in() -> None:
    # A line is fitted and a candidate found; who makes one by hand is answerable for its numbers.
    for function in public_callables():
        if inspect.isfunction(function):
            hints = typing.get_type_hints(function)
            handed_in = {hint for name, hint in hints.items() if name != "return"}
            assert not handed_in & RESULTS, name_of(function)


@pytest.mark.parametrize("asked", CALLS, ids=lambda asked: name_of(asked.function))
def test_the_call_that_is_right_is_taken(asked: Call) -> None:
    asked.function(**asked.right)
    given = [name for name in numbers_of(asked.function) if name not in asked.right]
    assert given == [], "every number has to be given, or nothing is put in its place"


@pytest.mark.parametrize(("asked", "name", "wrong"), EVERY_NONSENSE)
def test_nonsense_is_refused_with_argument_unit_and_what_is_allowed(
    asked: Call, name: str, wrong: Any
) -> None:
    with pytest.raises(EngineeringError) as refusal:
        asked.function(**asked.right | {name: wrong})
    ending = next((unit for end, unit in ENDINGS.items() if name.endswith(end)), "")
    assert refusal.value.argument
    assert refusal.value.unit == asked.units.get(name, ending)
    assert refusal.value.allowed
    assert str(refusal.value).endswith((".", "?"))


@pytest.mark.parametrize(("ask", "argument"), UNKNOWN)
def test_what_is_in_no_table_is_refused_with_what_there_is(ask: Callable[[], object], argument: str) -> None:
    with pytest.raises(OffTheTable) as refusal:
        ask()
    assert refusal.value.argument == argument
    assert refusal.value.allowed


def test_methods_of_choices_are_looked_at_too() -> None:
    assert issubclass(routing_shapes.FixedEnd, Enum)
    assert "routing_shapes.FixedEnd.difference_mm" in TAKING_NUMBERS


@pytest.mark.parametrize("asked", CALLS, ids=lambda asked: name_of(asked.function))
def test_every_calculation_says_what_it_refuses(asked: Call) -> None:
    assert "Raise" in (inspect.getdoc(asked.function) or "")


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: path.stem)
def test_every_refusal_names_its_argument_and_what_is_allowed(path: Path) -> None:
    refusals = {"NotANumber", "OutOfRange", "OffTheTable", "NotUnderstood", "EngineeringError"}
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in refusals:
            assert {"argument", "allowed"} <= {keyword.arg for keyword in node.keywords}, node.lineno


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: path.stem)
def test_every_module_says_where_its_figures_and_formulas_are_from(path: Path) -> None:
    said = ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))) or ""
    assert re.search(r"[Ss]ource|from memory|Weisbach|\b(?:ISO|EN|MIL|SAE|FAA|Navy|ASTM)\b", said)
