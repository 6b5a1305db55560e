"""What an inspection found wrong, by codes: points of the list that were not seen right, length, angle."""

from decimal import Decimal

from shop.assemblies.inspection.points import ANGLE, LENGTH, PUT_RIGHT
from shop.assemblies.models import Inspection
from shop.assemblies.points import At, Job, Point, points_at
from shop.engineering.numbers import plain
from shop.engineering.orientation import angle_off, orientation_tolerance_deg
from shop.engineering.tolerance import LengthLimits
from shop.orders.models import Resolution

NOTED = "A fault was noted."
NOTED_CODE, OTHERWISE = "noted", "otherwise"


def codes_of(inspection: Inspection) -> frozenset[str]:
    """Codes of what it found wrong: none if it passed.

    `OTHERWISE` is among them if a sentence of it can't be told from its columns, since the list of points
    or the order has changed since.
    """
    if inspection.passed:
        return frozenset()
    job = Job(inspection.assembly, inspection.assembly.resolution.policy)
    by_words = {not_seen(point, job): point.code for point in points_at(At.INSPECT)}
    codes = {by_words[fault] for fault in inspection.faults if fault in by_words}
    if not inspection.length_lower <= inspection.finished_length <= inspection.length_upper:
        codes.add(LENGTH)
    if inspection.angle_deg is not None and angle_wrong(
        Decimal(inspection.angle_deg), inspection.assembly.resolution
    ):
        codes.add(ANGLE)
    if NOTED in inspection.faults:
        codes.add(NOTED_CODE)
    if len(codes) != len(inspection.faults):
        codes.add(OTHERWISE)
    return frozenset(codes)


def only_to_be_put_right(inspection: Inspection) -> bool:
    """Whether nothing was found that doesn't only have to be cleaned, capped or put on."""
    return codes_of(inspection) <= PUT_RIGHT


def not_seen(point: Point, job: Job) -> str:
    """That a point was not ticked, as a sentence."""
    return f"Not seen: {point.words_for(job)}"


def length_wrong(finished_mm: Decimal, limits: LengthLimits) -> list[str]:
    """What is wrong with that length (mm), as a sentence; none if nothing is."""
    if limits.lower_mm <= finished_mm <= limits.upper_mm:
        return []
    return [
        f"The finished length is {plain(finished_mm)} mm; {plain(limits.lower_mm)} to "
        f"{plain(limits.upper_mm)} mm is right."
    ]


def angle_wrong(angle: Decimal, resolution: Resolution) -> list[str]:
    """What is wrong with that angle (degrees), as a sentence; none if nothing is, or it doesn't matter.

    Raises as `angle_off`.
    """
    if resolution.angle_deg is None:
        return []
    off = angle_off(angle, Decimal(resolution.angle_deg))
    allowed = orientation_tolerance_deg(resolution.overall_length)
    if off <= allowed:
        return []
    return [f"The angle is {plain(angle)}°, {plain(off)}° off; {plain(allowed)}° is allowed."]
