"""Temperatures, flows, torques and velocities: kept as typed, converted exactly.

Every factor is a fraction, so a conversion there and back is the same number. The figures that the
factors are made of are all exact by definition: 25.4 mm to the inch, 4.4482216152605 N to the
pound-force, 231 in³ to the US gallon, 32 °F at 0 °C and 180 °F from there to 100 °C (from memory).
"""

import re
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from shop.engineering.errors import EngineeringError, NotUnderstood, OutOfRange
from shop.engineering.numbers import plain, require_number, rounded, trim


class Kind(StrEnum):
    """What is measured, in the words that stand in a sentence."""

    TEMPERATURE = "temperature"
    FLOW = "flow"
    TORQUE = "torque"
    VELOCITY = "velocity"


class Unit(StrEnum):
    CELSIUS = "°C"
    FAHRENHEIT = "°F"
    L_MIN = "l/min"
    M3_H = "m³/h"
    GPM_US = "gpm (US)"
    NM = "N·m"
    LBF_FT = "lbf·ft"
    LBF_IN = "lbf·in"
    M_S = "m/s"
    FT_S = "ft/s"

    @property
    def kind(self) -> Kind:
        return _SCALES[self].kind


@dataclass(frozen=True, slots=True)
class _Scale:
    """How a unit is counted in the base unit of its kind: base = value × factor + zero."""

    kind: Kind
    factor: Fraction
    zero: Fraction = Fraction(0)


_MM_PER_INCH = Fraction("25.4")
_METRES_PER_FOOT = 12 * _MM_PER_INCH / 1000
_NEWTONS_PER_POUND_FORCE = Fraction("4.4482216152605")
_SCALES = {
    Unit.CELSIUS: _Scale(Kind.TEMPERATURE, Fraction(1)),
    Unit.FAHRENHEIT: _Scale(Kind.TEMPERATURE, Fraction(5, 9), Fraction(-160, 9)),
    Unit.L_MIN: _Scale(Kind.FLOW, Fraction(1)),
    Unit.M3_H: _Scale(Kind.FLOW, Fraction(1000, 60)),
    Unit.GPM_US: _Scale(Kind.FLOW, 231 * _MM_PER_INCH**3 / 10**6),
    Unit.NM: _Scale(Kind.TORQUE, Fraction(1)),
    Unit.LBF_FT: _Scale(Kind.TORQUE, _NEWTONS_PER_POUND_FORCE * _METRES_PER_FOOT),
    Unit.LBF_IN: _Scale(Kind.TORQUE, _NEWTONS_PER_POUND_FORCE * _MM_PER_INCH / 1000),
    Unit.M_S: _Scale(Kind.VELOCITY, Fraction(1)),
    Unit.FT_S: _Scale(Kind.VELOCITY, _METRES_PER_FOOT),
}


@dataclass(frozen=True, slots=True)
class _Bounds:
    """What a quantity can be at all, in its base unit; beyond it a number or a unit is mistyped."""

    base: Unit
    over: Fraction | None
    at_least: Fraction | None
    up_to: Fraction
    allowed: str
    forms: str


_BOUNDS = {
    Kind.TEMPERATURE: _Bounds(
        base=Unit.CELSIUS,
        over=None,
        at_least=Fraction("-273.15"),
        up_to=Fraction(1000),
        allowed="-273.15 to 1000 °C",
        forms="80, 80 °C, -40 C or 176 °F",
    ),
    Kind.FLOW: _Bounds(
        base=Unit.L_MIN,
        over=Fraction(0),
        at_least=None,
        up_to=Fraction(100_000),
        allowed="more than 0, up to 100000 l/min",
        forms="60, 60 l/min, 3.6 m³/h or 16 gpm",
    ),
    Kind.TORQUE: _Bounds(
        base=Unit.NM,
        over=Fraction(0),
        at_least=None,
        up_to=Fraction(100_000),
        allowed="more than 0, up to 100000 N·m",
        forms="60, 60 N·m, 44 lbf·ft or 530 lbf·in",
    ),
    Kind.VELOCITY: _Bounds(
        base=Unit.M_S,
        over=Fraction(0),
        at_least=None,
        up_to=Fraction(1000),
        allowed="more than 0, up to 1000 m/s",
        forms="4.5, 4.5 m/s or 15 ft/s",
    ),
}


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number in the unit in which it was typed or printed.

    Two are equal only if printed alike; `same_amount` compares what they come to. Raises `NotANumber`,
    or `OutOfRange` for what the quantity can't be: below absolute zero, no flow at all.
    """

    value: Decimal
    unit: Unit

    def __post_init__(self) -> None:
        bounds = _BOUNDS[self.unit.kind]
        require_number(self.value, self.unit.kind, bounds.base, bounds.allowed)
        base = self.exact_base
        if (
            base > bounds.up_to
            or (bounds.over is not None and base <= bounds.over)
            or (bounds.at_least is not None and base < bounds.at_least)
        ):
            raise OutOfRange(
                f"{self} is not a {self.unit.kind} that can be: {bounds.allowed}. Check the number and "
                "its unit.",
                argument=self.unit.kind,
                unit=bounds.base,
                allowed=bounds.allowed,
                got=self,
            )

    @property
    def exact_base(self) -> Fraction:
        """In °C, l/min, N·m or m/s, exactly."""
        scale = _SCALES[self.unit]
        return Fraction(self.value) * scale.factor + scale.zero

    def exact_in(self, unit: Unit) -> Fraction:
        """In `unit`, exactly. Raises `EngineeringError` for a unit of another kind of quantity."""
        if unit.kind is not self.unit.kind:
            others = ", ".join(_units_of(self.unit.kind))
            raise EngineeringError(
                f"{self} is a {self.unit.kind} and can't be said in {unit}.",
                argument="unit",
                unit=self.unit,
                allowed=others,
                got=unit,
            )
        scale = _SCALES[unit]
        return (self.exact_base - scale.zero) / scale.factor

    def in_unit(self, unit: Unit) -> Decimal:
        """In `unit`: as typed in its own, else to 28 digits where they never end."""
        if unit is self.unit:
            return self.value
        exact = self.exact_in(unit)
        return trim(Decimal(exact.numerator) / Decimal(exact.denominator))

    def same_amount(self, other: "Quantity") -> bool:
        """Whether both come to the same, compared exactly: 212 °F and 100 °C do."""
        return self.exact_base == other.exact_in(_BOUNDS[self.unit.kind].base)

    def __str__(self) -> str:
        return f"{plain(self.value)} {self.unit}"


def round_quantity(quantity: Quantity, unit: Unit, places: int) -> str:
    """In `unit` for reading only: rounded once to `places` decimals, a half to the even digit.

    Raises `EngineeringError` for a unit of another kind, `OutOfRange` for less than no decimals.
    """
    return f"{rounded(quantity.exact_in(unit), places):f} {unit}"


_UNIT_WORDS = {
    **dict.fromkeys(["c", "°c", "degc", "celsius"], Unit.CELSIUS),
    **dict.fromkeys(["f", "°f", "degf", "fahrenheit"], Unit.FAHRENHEIT),
    **dict.fromkeys(["l/min", "lpm", "litre/min", "litres/min", "liter/min", "liters/min"], Unit.L_MIN),
    **dict.fromkeys(["m3/h", "m3/hr", "cbm/h"], Unit.M3_H),
    **dict.fromkeys(["gpm", "usgpm", "gpm(us)", "gal/min", "usgal/min"], Unit.GPM_US),
    **dict.fromkeys(["nm", "n.m", "n·m", "newtonmetre", "newtonmetres"], Unit.NM),
    **dict.fromkeys(["lbf·ft", "lbf.ft", "lbfft", "lb·ft", "lb.ft", "lbft", "ft·lbf", "ft.lbf"], Unit.LBF_FT),
    **dict.fromkeys(["ftlbf", "ft·lb", "ft.lb", "ftlb", "lb-ft", "lbf-ft", "ft-lb", "ft-lbf"], Unit.LBF_FT),
    **dict.fromkeys(["lbf·in", "lbf.in", "lbfin", "lb·in", "lb.in", "lbin", "in·lbf", "in.lbf"], Unit.LBF_IN),
    **dict.fromkeys(["inlbf", "in·lb", "in.lb", "inlb", "lb-in", "lbf-in", "in-lb", "in-lbf"], Unit.LBF_IN),
    **dict.fromkeys(["m/s", "m/sec"], Unit.M_S),
    **dict.fromkeys(["ft/s", "ft/sec", "fps"], Unit.FT_S),
}
# A UK gallon is a fifth larger, and both are called gpm; who means it has to say it in litres.
_UK_GALLONS = re.compile(r"(?:imp\.?|imperial|uk)(?:gpm|gal[a-z]*/min)|igpm|gpm\((?:uk|imp)\)")
_LOOK_ALIKES = str.maketrans(
    {
        **dict.fromkeys("‐‑‒–—−", "-"),
        **dict.fromkeys("\u00a0\u2009\u202f\t", " "),
        **dict.fromkeys("⋅•∙*", "·"),
        **dict.fromkeys("º˚", "°"),
        "³": "3",
        "℃": "°c",
        "℉": "°f",
    }
)
_TYPED = re.compile(r"(-?\s*[0-9]{1,9}(?:[.,][0-9]{1,9})?)\s*([a-z°][a-z0-9/·.()\s-]*)?")
_THOUSANDS_OR_DECIMALS = re.compile(r"-?[1-9][0-9]{0,2}[.,][0-9]{3}")


def parse_temperature(text: str, default_unit: Unit = Unit.CELSIUS) -> Quantity:
    """Read a temperature; see `parse_quantity`."""
    return parse_quantity(text, Kind.TEMPERATURE, default_unit)


def parse_flow(text: str, default_unit: Unit = Unit.L_MIN) -> Quantity:
    """Read a flow; gpm is the US gallon, and UK gallons are refused. See `parse_quantity`."""
    return parse_quantity(text, Kind.FLOW, default_unit)


def parse_torque(text: str, default_unit: Unit = Unit.NM) -> Quantity:
    """Read a torque, pounds before feet or after; see `parse_quantity`."""
    return parse_quantity(text, Kind.TORQUE, default_unit)


def parse_velocity(text: str, default_unit: Unit = Unit.M_S) -> Quantity:
    """Read a velocity; see `parse_quantity`."""
    return parse_quantity(text, Kind.VELOCITY, default_unit)


def parse_quantity(text: str, kind: Kind, default_unit: Unit) -> Quantity:
    """Read a quantity as people write it; a number without a unit is in `default_unit`.

    Comma and point are both decimal. Raises `NotUnderstood` for text that has no reading or two (1,200
    may be twelve hundred or one and a fifth) and for a unit of another kind, `OutOfRange` for a number
    that the quantity can't be.
    """
    typed = text.strip()
    match = _TYPED.fullmatch(typed.translate(_LOOK_ALIKES).lower())
    if match is None:
        raise _not_understood(f"“{typed}” is not a {kind} that can be read.", kind)
    number = re.sub(r"\s", "", match[1])
    if _THOUSANDS_OR_DECIMALS.fullmatch(number):
        raise NotUnderstood(
            f"“{typed}” can be read as thousands or as decimals. Type it without a separator, like "
            f"{re.sub('[.,]', '', number)}, or with other decimals.",
            argument=kind,
            unit=_BOUNDS[kind].base,
            allowed=_BOUNDS[kind].forms,
        )
    unit = default_unit if match[2] is None else _unit(match[2], kind, typed)
    return Quantity(trim(Decimal(number.replace(",", "."))), unit)


def _unit(words: str, kind: Kind, typed: str) -> Unit:
    word = re.sub(r"\s", "", words)
    if _UK_GALLONS.fullmatch(word):
        raise _not_understood(
            f"“{typed}” is in UK gallons, which are a fifth larger than US ones. Give it in l/min.", kind
        )
    unit = _UNIT_WORDS.get(word)
    if unit is None or unit.kind is not kind:
        raise _not_understood(f"“{words.strip()}” in “{typed}” is not a unit of {kind}.", kind)
    return unit


def _units_of(kind: Kind) -> list[Unit]:
    return [unit for unit in Unit if unit.kind is kind]


def _not_understood(sentence: str, kind: Kind) -> NotUnderstood:
    forms = _BOUNDS[kind].forms
    return NotUnderstood(
        f"{sentence} Type it like {forms}.", argument=kind, unit=_BOUNDS[kind].base, allowed=forms
    )
