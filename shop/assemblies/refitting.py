"""How much hose a cut-off end leaves, and whether it is enough (rules 3, 7 and 11).

Cutting behind the ferrule, so that nothing that was pressed is pressed again: common practice, no source.
"""

from collections.abc import Iterable
from decimal import Decimal

from shop.assemblies.models import Assembly, Decision, End
from shop.assemblies.refusals import (
    CutOffTooLittle,
    MeasureNotUsable,
    RefitTooLong,
    RefitTooShort,
)
from shop.assemblies.tolerances import finished_length_limits
from shop.engineering.cut_length import shortest_overall_mm
from shop.engineering.errors import EngineeringError
from shop.engineering.lengths import LengthUnit, parse_length, round_length, show_length, trim
from shop.engineering.numbers import require_positive
from shop.orders.lengths import least_free_hose
from shop.orders.models import Resolution
from shop.policy.models import Policy
from shop.policy.services import policy_in_force


def hose_left(assembly: Assembly) -> Decimal:
    """What is left of the hose as it was cut, mm, after all that was decided to be cut off."""
    cut: Decimal = assembly.cut.length
    return cut - _cut_off(assembly.decisions.all())


def least_cut_off(assembly: Assembly, end: End) -> Decimal:
    """The hose that was pressed at that end, mm: as deep as the fitting goes by the chart, or by itself."""
    own: Decimal = assembly.fitting(end).insertion_depth
    charted: Decimal | None = assembly.specification(end).insertion_depth
    return own if charted is None else charted


def require_length_allows(assembly: Assembly, end: End, cut_off_mm: Decimal) -> Decimal:
    """What is left of the hose, mm, once so much is cut off at that end.

    Raises `MeasureNotUsable`, `CutOffTooLittle`, `RefitTooShort` if the assembly would come out shorter
    than its order allows or with too little hose between the ferrules, `RefitTooLong` if it was cut too
    long and still would be, and `NoLengthTolerance`.
    """
    left = _left(assembly, cut_off_mm)
    least = least_cut_off(assembly, end)
    shown = as_ordered(cut_off_mm, assembly.resolution)
    if cut_off_mm < least:
        raise CutOffTooLittle(cut_off=shown, least=as_ordered(least, assembly.resolution))
    require_not_too_short(assembly, cut_off_mm)
    finished = _comes_out_at(assembly, cut_off_mm)
    most = finished_length_limits(assembly.resolution, policy_in_force()).upper_mm
    if finished > most:
        raise RefitTooLong(
            assembly=assembly,
            cut_off=shown,
            finished=as_ordered(finished, assembly.resolution),
            long=as_ordered(finished - most, assembly.resolution),
            most=as_ordered(most, assembly.resolution),
        )
    return left


def require_not_too_short(assembly: Assembly, cut_off_mm: Decimal) -> None:
    """Raise `RefitTooShort` if it would be, with so much cut off; `NoLengthTolerance`."""
    resolution, policy = assembly.resolution, policy_in_force()
    finished = _comes_out_at(assembly, cut_off_mm)
    for least, why in (
        (finished_length_limits(resolution, policy).lower_mm, "the order allows"),
        (shortest_mm(assembly, policy), "leave enough hose between the ferrules"),
    ):
        if finished < least:
            raise RefitTooShort(
                assembly=assembly,
                cut_off=as_ordered(cut_off_mm, resolution),
                finished=as_ordered(finished, resolution),
                short=as_ordered(least - finished, resolution),
                least=as_ordered(least, resolution),
                why=why,
            )


def shortest_mm(assembly: Assembly, policy: Policy) -> Decimal:
    """The shortest overall length, mm, that leaves enough hose between the ferrules."""
    resolution = assembly.resolution
    correction = resolution.cut_correction
    # A correction that cuts longer leaves no more hose free: that hose is squeezed into the ferrules.
    squeezed = Decimal(0) if correction is None else max(Decimal(0), correction.mean)
    cut_offs = (resolution.fitting_a.cut_off, resolution.fitting_b.cut_off)
    pressed = (least_cut_off(assembly, End.A), least_cut_off(assembly, End.B))
    least = least_free_hose(resolution.hose, policy)
    return trim(shortest_overall_mm(least, *cut_offs, *pressed) + squeezed)


def as_ordered(mm: Decimal, resolution: Resolution) -> str:
    """The length in the unit in which the order's was typed, with millimetres where that is not exact."""
    unit = parse_length(resolution.overall_typed).unit
    exact = show_length(mm, unit)
    is_exact = unit is LengthUnit.MM or not exact.endswith(" mm")
    return exact if is_exact else f"{exact} ({round_length(mm, LengthUnit.IN, 2)})"


def _left(assembly: Assembly, cut_off_mm: Decimal) -> Decimal:
    """Raise `MeasureNotUsable` unless so much can come off at all."""
    left = hose_left(assembly)
    try:
        require_positive(cut_off_mm, "length that is cut off", "mm")
        return require_positive(left - cut_off_mm, "hose that is left", "mm")
    except EngineeringError as error:
        raise MeasureNotUsable(why=str(error)) from error


def _comes_out_at(assembly: Assembly, cut_off_mm: Decimal) -> Decimal:
    """The finished length to expect, mm, from what was measured last, or else from what was cut.

    At least nought.
    """
    inspection = max(assembly.inspections.all(), key=lambda one: one.pk, default=None)
    resolution = assembly.resolution
    finished: Decimal
    if inspection is None:
        finished = resolution.overall_length - (resolution.cut_length - hose_left(assembly))
    else:
        decided_since = (d for d in assembly.decisions.all() if d.pk > inspection.pk)
        finished = inspection.finished_length - _cut_off(decided_since)
    return max(finished - cut_off_mm, Decimal(0))


def _cut_off(decisions: Iterable[Decision]) -> Decimal:
    return sum((d.cut_off for d in decisions if d.cut_off is not None), Decimal(0))
