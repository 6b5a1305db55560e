"""The bore for a flow by the line's duty, the velocity in it, and what the line loses."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import groupby
from typing import Any

from shop.drawings.curve import CurveDrawing, Stretch, draw_curve
from shop.engineering.errors import OffTheTable
from shop.engineering.flow import (
    LARGEST_FLOW_L_MIN,
    BoreChoice,
    Duty,
    VelocityLimit,
    choose_bore,
    velocity_m_s,
)
from shop.engineering.numbers import plain
from shop.engineering.pressure_loss import (
    CurvePoint,
    Passage,
    PressureLoss,
    Regime,
    loss_curve,
    pressure_loss,
)
from shop.engineering.quantities import Quantity, Unit
from shop.engineering.sizes import Size
from shop.policy.services import policy_in_force
from shop.standards.figures import Confirmations, confirmations
from shop.standards.loading import published_sizes
from shop.web.worksheets.flow_form import ASKS_LOSS, FlowForm, Line, line_of
from shop.web.worksheets.sheet import Fact, Sheet, Table, Verdict, Working, Worksheet
from shop.web.worksheets.tables import basis_of, velocity_limits
from shop.web.worksheets.words import digits

_BEYOND = Decimal("1.5")  # how far the curve is drawn past the flow
_FLOW_SOURCE = "Fluid Power Engineering (textbook) p. 64 eq. 3.2"
_NAMES = {
    Regime.LAMINAR: "laminar",
    Regime.TRANSITIONAL: "laminar or turbulent",
    Regime.TURBULENT: "turbulent",
}


@dataclass(frozen=True)
class _Velocity:
    """A flow in a bore, and the choice that the limits lead to."""

    flow_l_min: Decimal
    bore_mm: Decimal
    is_typed: bool
    choice: BoreChoice

    @property
    def m_s(self) -> Decimal:
        return velocity_m_s(self.flow_l_min, self.bore_mm)

    @property
    def is_within(self) -> bool:
        return self.m_s <= self.choice.limit.up_to_m_s


def work(answers: Mapping[str, Any]) -> Sheet:
    """The bore by the chosen limits and by all others; with the line's figures also what it loses."""
    flow: Decimal = answers["flow"].in_unit(Unit.L_MIN)
    duty = Duty(answers["duty"])
    confirmed = confirmations()
    choice = choose_bore(flow, confirmed.settled(velocity_limits()[answers["limits"]][duty]), _bores())
    typed: Decimal | None = answers["bore"]
    velocity = _Velocity(flow, typed or choice.bore_mm, typed is not None, choice)
    sheet = _of_the_bore(velocity, answers["flow"], confirmed)
    if answers["ask"] != ASKS_LOSS:
        return sheet
    return _with_loss(sheet, velocity, line_of(answers, velocity.bore_mm))


def _of_the_bore(velocity: _Velocity, typed: Quantity, confirmed: Confirmations) -> Sheet:
    choice = velocity.choice
    duty = choice.limit.duty
    return Sheet(
        says=f"{_size(choice.bore_mm).words} for {typed}; {digits(velocity.m_s)} m/s.",
        verdicts=(_verdict(velocity),),
        answers=tuple(_facts(velocity)),
        tables=(_by_all_limits(velocity.flow_l_min, duty, confirmed),),
        workings=tuple(_bore_workings(velocity)),
        assumptions=choice.assumptions,
        cautions=choice.cautions,
        basis=tuple(dict.fromkeys(basis_of(row, confirmed) for row in _limits(duty))),
    )


def _with_loss(sheet: Sheet, velocity: _Velocity, line: Line) -> Sheet:
    """The same sheet with what the line loses."""
    loss = pressure_loss(velocity.flow_l_min, **line)
    curve = loss_curve(min(velocity.flow_l_min * _BEYOND, LARGEST_FLOW_L_MIN), **line)
    lost = Fact("The line loses", f"{digits(loss.bar)} bar", loss.regime)
    return replace(
        sheet,
        answers=(*sheet.answers, lost, Fact("Heat", f"{digits(loss.heat_w)} W")),
        drawing=_drawn(loss, curve),
        tables=(*sheet.tables, _parts(loss)),
        workings=(*sheet.workings, *_loss_workings(loss, line["hose"])),
        assumptions=(*sheet.assumptions, *loss.assumptions),
        cautions=(*sheet.cautions, *loss.cautions),
    )


def _bores() -> list[Decimal]:
    return [size.nominal_bore_mm for size in published_sizes()]


def _size(bore_mm: Decimal) -> Size:
    return next(size for size in published_sizes() if size.nominal_bore_mm == bore_mm)


def _limits(duty: Duty) -> Iterator[VelocityLimit]:
    yield from (table[duty] for table in velocity_limits().values())


def _verdict(velocity: _Velocity) -> Verdict:
    limit = velocity.choice.limit
    found = f"{digits(velocity.m_s)} m/s in {plain(velocity.bore_mm)} mm; {limit.words}."
    if velocity.is_within:
        return Verdict("pass", "Within the chosen limit.", found)
    return Verdict("fail", "Faster than the chosen limit.", found)


def _facts(velocity: _Velocity) -> Iterator[Fact]:
    choice = velocity.choice
    yield Fact("Smallest bore", f"{choice.smallest_mm:.2f} mm", f"at {choice.limit.up_to}")
    yield Fact("Size that has it", _size(choice.bore_mm).words, f"nominal bore {plain(choice.bore_mm)} mm")
    which = "the bore that was typed" if velocity.is_typed else "that size"
    in_ft_s = Quantity(velocity.m_s, Unit.M_S).in_unit(Unit.FT_S)
    yield Fact(f"Velocity in {which}", f"{digits(velocity.m_s)} m/s", f"{digits(in_ft_s)} ft/s")


def _by_all_limits(flow: Decimal, duty: Duty, confirmed: Confirmations) -> Table:
    own = policy_in_force().velocity_limits
    rows = tuple(_row(flow, limit, confirmed, is_own=limit.limits == own) for limit in _limits(duty))
    head = ("Limits", "Up to", "Smallest bore", "Size", "Velocity in it", "Source")
    return Table(f"A {duty} line by all limits", head, rows, frozenset({2, 3, 4}))


def _row(flow: Decimal, limit: VelocityLimit, confirmed: Confirmations, *, is_own: bool) -> tuple[str, ...]:
    note = f" ({limit.note})" if limit.note else ""
    try:
        choice = choose_bore(flow, limit, _bores())
    except OffTheTable as none_as_large:
        size, velocity, smallest = "none is as large", "—", none_as_large.got
    else:
        size, velocity = _size(choice.bore_mm).words, f"{digits(choice.velocity_m_s)} m/s"
        smallest = f"{choice.smallest_mm:.2f}"
    return (
        f"{limit.limits} (this workshop's)" if is_own else limit.limits,
        f"{limit.up_to}{note}",
        f"{smallest} mm",
        size,
        velocity,
        confirmed.told(limit),
    )


def _parts(loss: PressureLoss) -> Table:
    rows = tuple(
        (part.name, f"{digits(part.velocity_m_s)} m/s", digits(part.reynolds), f"{digits(part.bar)} bar")
        for part in loss.parts
    )
    return Table("What is lost where", ("Part", "Velocity", "Reynolds", "Loss"), rows, frozenset({1, 2, 3}))


def _bore_workings(velocity: _Velocity) -> Iterator[Working]:
    limit = velocity.choice.limit
    yield Working(
        "Smallest bore",
        "√(4 Q / (π v))",
        f"√(4 × {digits(velocity.flow_l_min, 6)} l/min / (π × {digits(limit.up_to_m_s, 6)} m/s))",
        f"{velocity.choice.smallest_mm:.2f} mm",
        _FLOW_SOURCE,
    )
    yield Working(
        "Velocity",
        "4 Q / (π d²)",
        f"4 × {digits(velocity.flow_l_min, 6)} l/min / (π × ({plain(velocity.bore_mm)} mm)²)",
        f"{digits(velocity.m_s, 4)} m/s",
        _FLOW_SOURCE,
    )


def _loss_workings(loss: PressureLoss, hose: Passage) -> Iterator[Working]:
    viscosity, bore, rough = loss.viscosity, plain(hose.bore_mm), plain(hose.roughness_mm)
    velocity, nu = digits(loss.velocity_m_s, 4), digits(viscosity.mm2_s, 4)
    yield Working(
        "Viscosity",
        f"ν at {plain(viscosity.temperature_c)} °C, of lg lg (ν + 0.7) on a straight line over lg T",
        "",
        f"{nu} mm²/s",
        "ASTM D341, from memory",
    )
    yield Working(
        "Reynolds number",
        "v d / ν",
        f"{velocity} m/s × {bore} mm / {nu} mm²/s",
        digits(loss.reynolds, 4),
        "Definition",
    )
    laminar = loss.regime is Regime.LAMINAR
    yield Working(
        "Friction factor",
        "64 / Re" if laminar else f"f in 1/√f = −2 lg (ε/(3.7 d) + 2.51/(Re √f)), ε/d = {rough} / {bore}",
        f"64 / {digits(loss.reynolds, 4)}" if laminar else "",
        digits(loss.friction_factor, 4),
        "Hagen and Poiseuille" if laminar else "Colebrook and White",
    )
    friction = next(part for part in loss.parts if part.name == "hose, friction")
    yield Working(
        "Friction in the hose",
        "f (L / d) ρ v² / 2",
        f"{digits(loss.friction_factor, 4)} × ({plain(hose.length_mm)} / {bore}) × ρ × ({velocity} m/s)² / 2",
        f"{digits(friction.bar)} bar",
        "Darcy and Weisbach",
    )


def _drawn(loss: PressureLoss, curve: tuple[CurvePoint, ...]) -> str:
    at = f"{digits(loss.bar)} bar at {digits(loss.flow_l_min, 4)} l/min"
    stretches = tuple(
        Stretch(
            _NAMES[regime],
            tuple((point.flow_l_min, point.bar) for point in points),
            is_sure=regime is not Regime.TRANSITIONAL,
        )
        for regime, points in groupby(curve, key=lambda point: point.regime)
    )
    return draw_curve(
        CurveDrawing(
            title=f"Loss against flow: {at}",
            x_label="flow, l/min",
            y_label="loss, bar",
            stretches=stretches,
            at=(loss.flow_l_min, loss.bar),
            at_label=at,
        )
    )


WORKSHEET = Worksheet(
    slug="flow",
    title="Flow, bore and loss",
    about="The bore for a flow by the line's duty, the velocity, and what hose, bends and ends lose.",
    form=FlowForm,
    work=work,
    example={
        "ask": "loss",
        "flow": "16 gpm",
        "duty": "pressure",
        "limits": "inch fast",
        "length": "3 m",
        "temperature": "50",
        "density": "870",
        "cold_c": "40",
        "cold_mm2_s": "46",
        "warm_c": "100",
        "warm_mm2_s": "6.8",
        "bends": "2",
        "bend_angle": "90",
        "bend_radius": "200 mm",
        "inlet_bore": "12 mm",
        "outlet_bore": "12 mm",
        "end_length": "60 mm",
    },
)
