"""A line of a crimp chart for the tests, and the two gauges at the bench."""

from decimal import Decimal

from shop.engineering.crimp import CrimpLimits, Judged, MeasurementUncertainty

CALIPER = MeasurementUncertainty(expanded_mm=Decimal("0.03"), resolution_mm=Decimal("0.01"))
MICROMETER = MeasurementUncertainty(expanded_mm=Decimal("0.005"), resolution_mm=Decimal("0.001"))


def limits(
    lower: str = "20.10",
    upper: str = "20.30",
    *,
    judged: Judged = Judged.EACH,
    ovality: str | None = None,
    taper: str | None = None,
    readings: int = 1,
) -> CrimpLimits:
    target = (Decimal(lower) + Decimal(upper)) / 2
    return CrimpLimits(
        target_mm=target,
        lower_mm=Decimal(lower),
        upper_mm=Decimal(upper),
        judged=judged,
        ovality_mm=None if ovality is None else Decimal(ovality),
        taper_mm=None if taper is None else Decimal(taper),
        readings=readings,
    )
