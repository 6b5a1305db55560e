"""A proof test on the page of its assembly: in words, and with its curve drawn."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.utils.safestring import SafeString, mark_safe
from django.views.decorators.http import require_GET

from shop.assemblies.models import ProofTest
from shop.assemblies.points import At, Job, told_of
from shop.assemblies.refusals import CurveDamaged
from shop.assemblies.testing import FOUND, kept_curve
from shop.drawings.curve import CurveDrawing, Pair, Stretch, draw_curve
from shop.engineering.numbers import plain
from shop.engineering.proof_test import PressureCurve, read_curve
from shop.people.permissions import Permission
from shop.trace.story import Written, corrected_number
from shop.web.access import StaffRequest, needs
from shop.web.files import download

MOST_DRAWN = 400  # points: more than the drawing has room for


@dataclass(frozen=True)
class ShownTest:
    """A test, what was ticked and found in words, and its curve: drawn, or why it can't be."""

    written: Written[ProofTest]
    ready: tuple[str, ...]
    seen: tuple[str, ...]
    found: tuple[str, ...]
    note: str
    curve: SafeString | str
    damage: str
    replaces: int | None = None  # number of the test that it corrects


def shown_test(written: Written[ProofTest], job: Job, every: Iterable[Written[ProofTest]]) -> ShownTest:
    """What the page shows of a test of these."""
    test, curve, damage = written.record, "", ""
    if test.curve_sha256:
        try:
            # The drawing escapes its words, and they are ours.
            curve = mark_safe(draw_test(test, read_curve(kept_curve(test).decode())))  # noqa: S308
        except CurveDamaged as refusal:
            damage = f"{refusal.what} {refusal.what_to_do}"
    return ShownTest(
        written=written,
        ready=tuple(told_of(At.BEFORE_TEST, job, test.ready)),
        seen=tuple(told_of(At.AFTER_TEST, job, test.seen)),
        found=tuple(words for code, words in FOUND.items() if code in test.found),
        note=written.told.private("words"),
        curve=curve,
        damage=damage,
        replaces=corrected_number(test.corrects_id, every),
    )


def draw_test(test: ProofTest, curve: PressureCurve) -> str:
    """The curve in three stretches, raised, held at or above proof pressure, let off; and its peak."""
    start = curve.points[0][0]
    points = [(seconds - start, max(pressure, Decimal(0))) for seconds, pressure in curve.points]
    held = curve.held(test.required_pressure)
    first = curve.points.index(held[0]) if held else len(points) - 1
    last = curve.points.index(held[-1]) if held else len(points) - 1
    parts = (
        ("raised", points[: first + 1]),
        ("held", points[first : last + 1]),
        ("let off", points[last:]),
    )
    peak = max(points, key=lambda point: point[1])
    required = test.required_pressure.in_unit(curve.unit)
    return draw_curve(
        CurveDrawing(
            title=f"Proof test {test.number}: pressure over time",
            x_label="seconds",
            y_label=str(curve.unit),
            stretches=(
                *(Stretch(name, _thinned(part)) for name, part in parts if len(part) > 1),
                Stretch("proof", ((Decimal(0), required), (points[-1][0], required)), is_sure=False),
            ),
            at=peak,
            at_label=f"{plain(peak[1])} {curve.unit}",
        )
    )


@require_GET
@needs(Permission.READ)
def curve(request: StaffRequest, code: str, number: int) -> HttpResponse:
    """The curve of a test as it came, to be looked at with other programs."""
    test = get_object_or_404(ProofTest.objects.exclude(curve_sha256=""), assembly__code=code, number=number)
    try:
        content = kept_curve(test)
    except CurveDamaged as refusal:
        return HttpResponse(str(refusal), status=409, content_type="text/plain; charset=utf-8")
    return download(content, f"proof-test-{test.assembly.serial}-{number}.csv", "text/csv; charset=utf-8")


def _thinned(points: list[Pair]) -> tuple[Pair, ...]:
    """As many points as can be drawn: the highest of each few, the first and the last as they are."""
    few = -(-len(points) // MOST_DRAWN)
    inner = [points[at : at + few] for at in range(1, len(points) - 1, few)]
    return (points[0], *(max(part, key=lambda point: point[1]) for part in inner), points[-1])
