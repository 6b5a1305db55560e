"""The set-up at the bench: its drawing, in which each part lights up as it is scanned, and its list."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django.urls import reverse

from shop.assemblies.models import Assembly, End
from shop.assemblies.occasion import occasion
from shop.assemblies.sampling import require_run_goes_on, require_set_up_holds
from shop.assemblies.set_up_drawing import CRIMPER, SCANNED_AS, set_up_drawing
from shop.assemblies.steps import Step, newest_set_up
from shop.core.labels import Labelled
from shop.core.refusals import Refusal
from shop.drawings.setup import Light, PartDrawing, draw_setup
from shop.engineering.lengths import LengthUnit
from shop.people.models import User
from shop.policy.services import policy_in_force
from shop.tooling.finding import arrangement_for
from shop.tooling.models import Arrangement
from shop.web.bench.forms import GatheringForm, StepForm
from shop.web.workshop import workshop_or_default

SIGNS = {Light.THERE: "pass", Light.ASKED: "road", Light.OFF: "rest"}


@dataclass(frozen=True)
class Row:
    """A part in the list beside the drawing: its number and words, and what was scanned for it."""

    number: int
    words: str
    sign: str
    thing: Labelled | None
    is_labelled: bool


@dataclass(frozen=True)
class ShownSetUp:
    """What the page shows of an arrangement."""

    arrangement: Arrangement
    svg: str
    rows: list[Row]


def shown_set_up(assembly: Assembly, end: End | None, form: StepForm | None) -> ShownSetUp | None:
    """The arrangement of the scanned crimper, or of the first that serves; None if it isn't asked for."""
    if end is None or not isinstance(form, GatheringForm) or form.step != Step.SET_UP:
        return None
    there: dict[str, Any] = dict(form.gathering.things)
    arrangement = arrangement_for(assembly.specification(end), there.get(CRIMPER))
    if arrangement is None:
        return None
    unit = LengthUnit(workshop_or_default().length_unit)
    asked = "".join(form.gathering.missing[:1])
    drawing = set_up_drawing(assembly, end, arrangement, unit, there=there, asked=asked)
    return ShownSetUp(arrangement, draw_setup(drawing), list(_rows(drawing.in_order, there, unit)))


def why_no_crimp_yet(assembly: Assembly, form: StepForm | None, person: User) -> Refusal | None:
    """Why the crimper is set up, or a piece measured, before the crimp that the form is about; else None."""
    set_up = newest_set_up(assembly, form.at_end) if form and form.step == Step.CRIMP else None
    if set_up is None:
        return None
    try:
        require_set_up_holds(set_up, occasion(person, None), policy_in_force())
        require_run_goes_on(assembly, End(set_up.end), set_up)
    except Refusal as refusal:
        return refusal
    return None


def _rows(parts: list[PartDrawing], there: dict[str, Any], unit: LengthUnit) -> Iterator[Row]:
    roles = {tool: role for role, tool in SCANNED_AS.items()}
    for part in parts:
        role = roles.get(part.tool)
        thing = there.get(role) if role else None
        yield Row(part.position, part.words(unit), SIGNS[part.light], thing, role is not None)


def sheet_address(assembly: Assembly, end: End | None) -> str:
    """Where the set-up sheet of that end is; empty without one."""
    return "" if end is None else reverse("web:bench_set_up_sheet", args=[assembly.code, end.value])
