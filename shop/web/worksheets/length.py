"""From the overall length to the cut length and back, and how far each may be off."""

from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import Any

from django import forms

from shop.catalogue.models import Fitting
from shop.engineering.cut_length import Datum, cut_length_mm, overall_length_mm, shortest_overall_mm
from shop.engineering.elongation import (
    LONGEST_PERCENT,
    SHORTEST_PERCENT,
    LengthUnderPressure,
    length_under_pressure,
)
from shop.engineering.errors import OffTheTable
from shop.engineering.numbers import plain
from shop.engineering.tolerance import LengthLimits, length_limits_mm
from shop.policy.models import Policy
from shop.policy.services import policy_in_force
from shop.standards.figures import Confirmations, confirmations
from shop.web.counter.named import FITTINGS, NamedField
from shop.web.fields import LengthField
from shop.web.reference.sizes import SizeField
from shop.web.templatetags.quantities import length
from shop.web.worksheets.forms import WorksheetForm
from shop.web.worksheets.sheet import Basis, Fact, Sheet, Table, Working, Worksheet
from shop.web.worksheets.tables import length_rules
from shop.web.worksheets.words import rounded_length

OF_THE_CUT = "IP-2 cut length"
_BUILT_IN = "IP-2 built to length"
_CUT_SOURCE = "TM 1-1500-204-23-2; the allowance is per one fitting (Navy 14018 Table 5-2)"


class LengthForm(WorksheetForm):
    SWITCH = "known"
    GROUPS = {
        "What is known": ("known", "overall", "cut", "size"),
        "End A": ("fitting_a", "cut_off_a", "insertion_a"),
        "End B": ("fitting_b", "cut_off_b", "insertion_b"),
        "Between the ferrules": ("between",),
    }
    ONLY = {"overall": ("overall",), "cut": ("cut",)}
    NEEDED = {"overall": ("overall",), "cut": ("cut",)}
    ARGUMENTS = {
        "overall length": ("overall",),
        "cut length": ("cut",),
        "cut-off allowance at end A": ("cut_off_a",),
        "cut-off allowance at end B": ("cut_off_b",),
        "minimum between ferrules": ("between",),
        "length of both ends": ("overall", "cut"),
    }

    known = forms.ChoiceField(
        label="Known", choices=[("overall", "the overall length"), ("cut", "the cut length")]
    )
    overall = LengthField(label="Overall length", required=False)
    cut = LengthField(label="Cut length", required=False)
    size = SizeField(label="Size of the hose", max_length=30, help_text="Like -8, 1/2 in or DN 12.")
    fitting_a = NamedField(FITTINGS, label="Fitting A", required=False, help_text="Of the catalogue, or:")
    cut_off_a = LengthField(label="Cut-off allowance A", required=False)
    insertion_a = LengthField(label="Insertion depth A", required=False)
    fitting_b = NamedField(FITTINGS, label="Fitting B", required=False, help_text="Of the catalogue, or:")
    cut_off_b = LengthField(label="Cut-off allowance B", required=False)
    insertion_b = LengthField(label="Insertion depth B", required=False)
    between = LengthField(
        label="Least free hose", required=False, help_text="To learn the shortest assembly; empty: not asked."
    )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        for end in ("a", "b"):
            self._complete(cleaned, end)
        return cleaned

    def _complete(self, cleaned: dict[str, Any], end: str) -> None:
        """What was not typed of an end is taken from its fitting, and asked for if there is none."""
        fitting: Fitting | None = cleaned.get(f"fitting_{end}")
        if fitting is not None:
            for name, value in (("cut_off", fitting.cut_off), ("insertion", fitting.insertion_depth)):
                if cleaned.get(f"{name}_{end}") is None:
                    cleaned[f"{name}_{end}"] = value
        elif f"fitting_{end}" not in self.errors:
            self.require(f"cut_off_{end}", *([f"insertion_{end}"] if cleaned.get("between") else []))


def work(answers: Mapping[str, Any]) -> Sheet:
    """Both lengths with their limits by every rule set."""
    a, b = answers["cut_off_a"], answers["cut_off_b"]
    overall, cut = answers["overall"], answers["cut"]
    if overall is not None:
        cut = cut_length_mm(overall, a, b)
    else:
        overall = overall_length_mm(cut, a, b)
    dash, policy = answers["size"].dash, policy_in_force()
    pressed = _under_pressure(answers, overall)
    confirmed = confirmations()
    rows = tuple(
        _row(name, overall, cut, dash, policy, confirmed) for name in length_rules() if name != _BUILT_IN
    )
    return Sheet(
        says=f"Overall {length(overall)}, cut to {length(cut)}.",
        answers=tuple(_facts(answers, overall, cut, pressed)),
        tables=(
            Table("How far it may be off", ("Rule", "Of", "From", "To", "Source"), rows, frozenset({2, 3})),
        ),
        workings=tuple(_workings(answers, overall, cut)),
        assumptions=(
            "Overall length is measured between the datums of the two ends, along the hose laid straight.",
            *_datums(answers),
            "The lengths are of hose without pressure.",
            *(() if pressed is None else pressed.assumptions),
        ),
        cautions=(
            "Sources disagree on tolerances. What the order or the customer's drawing says goes before them.",
            "Rows from memory were not compared with their documents.",
            "Cut one, make it and measure it before you cut the rest: crimping changes the length.",
            *(() if pressed is None else pressed.cautions),
        ),
        basis=(Basis("Cut length: TM 1-1500-204-23-2", "read"),),
    )


def _under_pressure(answers: Mapping[str, Any], overall: Decimal) -> LengthUnderPressure | None:
    """What pressure may make of it, where it is known how much of it is metal."""
    stiff = [answers[name] for name in ("cut_off_a", "insertion_a", "cut_off_b", "insertion_b")]
    return None if None in stiff else length_under_pressure(overall, sum(stiff, Decimal(0)))


def _facts(
    answers: Mapping[str, Any], overall: Decimal, cut: Decimal, pressed: LengthUnderPressure | None
) -> Iterator[Fact]:
    yield Fact("Overall length", length(overall))
    yield Fact("Cut length", length(cut))
    if pressed is not None:
        between = f"{rounded_length(pressed.shortest_mm)} to {rounded_length(pressed.longest_mm)}"
        yield Fact(
            "Under pressure",
            between,
            f"{SHORTEST_PERCENT} to +{LONGEST_PERCENT} % (FAA AC 43.13-1B Fig. 9-9)",
        )
    if answers["between"] is not None:
        shortest = shortest_overall_mm(
            answers["between"],
            answers["cut_off_a"],
            answers["cut_off_b"],
            answers["insertion_a"],
            answers["insertion_b"],
        )
        fits = "this one is long enough" if overall >= shortest else "this one is too short"
        yield Fact("Shortest overall length", length(shortest), fits)


def _datums(answers: Mapping[str, Any]) -> Iterator[str]:
    for end in ("a", "b"):
        fitting: Fitting | None = answers[f"fitting_{end}"]
        if fitting is not None:
            yield f"End {end.upper()}, {fitting}, is measured to {Datum(fitting.datum).words}."


def _row(
    name: str, overall: Decimal, cut: Decimal, dash: int, policy: Policy, confirmed: Confirmations
) -> tuple[str, ...]:
    is_of_the_cut = length_rules()[name][0].applies_to.startswith("bulk hose")
    measured, what = (cut, "cut length") if is_of_the_cut else (overall, "overall length")
    used = " (this workshop's)" if name in {policy.length_rules, policy.cut_rules} else ""
    try:
        limits: LengthLimits = length_limits_mm(measured, dash, length_rules()[name])
    except OffTheTable:
        return (name + used, what, "no row", "no row", f"none for {length(measured)} in size -{dash}")
    told = confirmed.told(limits.row)
    return (name + used, what, length(limits.lower_mm), length(limits.upper_mm), told)


def _workings(answers: Mapping[str, Any], overall: Decimal, cut: Decimal) -> Iterator[Working]:
    a, b = plain(answers["cut_off_a"]), plain(answers["cut_off_b"])
    if answers["overall"] is not None:
        yield Working(
            "Cut length",
            "overall − allowance A − allowance B",
            f"{plain(overall)} − {a} − {b} mm",
            f"{plain(cut)} mm",
            _CUT_SOURCE,
        )
    else:
        yield Working(
            "Overall length",
            "cut + allowance A + allowance B",
            f"{plain(cut)} + {a} + {b} mm",
            f"{plain(overall)} mm",
            _CUT_SOURCE,
        )


WORKSHEET = Worksheet(
    slug="length",
    title="Overall and cut length",
    about="From the overall length to the cut and back, and how far each may be off by every rule set.",
    form=LengthForm,
    work=work,
    example={  # Navy 14018 Table 5-2: 0.94 in for one fitting of -8
        "known": "overall",
        "overall": "24 in",
        "size": "-8",
        "cut_off_a": "0.94 in",
        "cut_off_b": "0.94 in",
    },
)
