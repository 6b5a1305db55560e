import math
from collections.abc import Callable
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from shop.engineering.errors import EngineeringError, OutOfRange
from shop.engineering.routing import bend_route, offset_route, u_route
from shop.engineering.routing_fit import fit_bend, fit_offset, fit_straight, fit_u
from shop.engineering.routing_shapes import FixedEnd, Hose
from tests.engineering.outside import outside

HOSE = Hose(Decimal(23), Decimal(180), Decimal(50), Decimal(70))
MILLIMETRE = Decimal(1)


def corner(angle: float, radius: float) -> tuple[Decimal, Decimal]:
    """How far both datums are from the corner of a bend with the least runs, by hand."""
    tangent = (radius + 11.5) * math.tan(math.radians(angle) / 2)
    return Decimal(f"{50 + 34.5 + tangent:.6f}"), Decimal(f"{70 + 34.5 + tangent:.6f}")


@pytest.mark.parametrize(
    ("angle", "radius"), [(30, 600), (45, 180), (90, 180), (90, 250), (135, 200), (170, 180)]
)
def test_the_length_of_a_bend_gives_its_radius_back(angle: int, radius: int) -> None:
    route = bend_route(HOSE, Decimal(angle), Decimal(radius))
    fit = fit_bend(HOSE, route.overall_mm, Decimal(angle), *corner(angle, radius))
    assert fit.inside_radius_mm == pytest.approx(Decimal(radius), abs=Decimal("0.1"))
    assert fit.paths[0].length == pytest.approx(float(route.overall_mm), abs=0.01)
    assert fit.allowed or angle == 30  # where a thousandth of length is a tenth of radius


def test_for_a_right_angle_it_is_the_formula_on_paper() -> None:
    # By hand: way round the corner 600, hose 500: r = 100 / (2 - π/2) = 232.99; inside 221.49.
    bare = Hose(Decimal(23), Decimal(180))
    fit = fit_bend(bare, Decimal(500), Decimal(90), Decimal(300), Decimal(300))
    assert fit.inside_radius_mm is not None
    assert round(fit.inside_radius_mm, 1) == Decimal("221.5")
    assert (fit.run_a_mm, fit.run_b_mm) == (fit.run_b_mm, fit.run_a_mm)
    assert "2.3 mm" in fit.cautions[-1]


def test_a_longer_hose_between_the_same_ports_bends_sharper_than_it_may() -> None:
    a, b = corner(90, 180)
    overall = bend_route(HOSE, Decimal(90), Decimal(180)).overall_mm
    fit = fit_bend(HOSE, overall + MILLIMETRE, Decimal(90), a, b)
    assert not fit.allowed
    assert "the hose needs 180 mm" in fit.objections[0]
    assert fit.run_a_mm is not None
    assert fit.run_a_mm > Decimal("34.5")


def test_a_shorter_hose_leaves_too_little_straight_at_both_ends() -> None:
    a, b = corner(90, 180)
    overall = bend_route(HOSE, Decimal(90), Decimal(180)).overall_mm
    fit = fit_bend(HOSE, overall - MILLIMETRE, Decimal(90), a, b)
    assert [said[:27] for said in fit.objections] == [
        "The straight run at end A c",
        "The straight run at end B c",
    ]


def test_a_length_that_can_not_lie_in_the_bend_is_told_those_that_can() -> None:
    a, b = corner(90, 180)
    with pytest.raises(OutOfRange) as refusal:
        fit_bend(HOSE, Decimal(1000), Decimal(90), a, b)
    assert (refusal.value.argument, refusal.value.unit) == ("overall length", "mm")
    low, high = refusal.value.allowed.removesuffix(" mm").split(" mm up to ")
    for length in (low, high):
        inside = Decimal(length) + (MILLIMETRE / 2 if length == low else -MILLIMETRE / 2)
        assert fit_bend(HOSE, inside, Decimal(90), a, b).inside_radius_mm is not None
        with pytest.raises(OutOfRange):
            fit_bend(HOSE, 2 * Decimal(length) - inside, Decimal(90), a, b)


def test_the_span_of_a_u_is_its_radius() -> None:
    # By hand: 383 mm between centres is 191.5 at the centreline and 180 on the inside of OD 23.
    overall = u_route(HOSE, Decimal(180)).overall_mm
    fit = fit_u(HOSE, overall, Decimal(383))
    assert fit.allowed
    assert fit.inside_radius_mm == 180
    assert fit.run_b_mm == pytest.approx(Decimal("34.5"), abs=Decimal("0.001"))
    assert not fit_u(HOSE, overall, Decimal(382)).allowed
    assert not fit_u(HOSE, overall - 2 * MILLIMETRE, Decimal(383)).allowed


@pytest.mark.parametrize("fixed_end", FixedEnd)
def test_a_u_that_travels_needs_its_length_where_it_is_shortest(fixed_end: FixedEnd) -> None:
    route = u_route(HOSE, Decimal(180), Decimal(400), fixed_end)
    fit = fit_u(HOSE, route.overall_mm, Decimal(383), Decimal(400), fixed_end)
    assert fit.allowed
    assert len(fit.paths) == 3
    assert not fit_u(HOSE, route.overall_mm, Decimal(383), Decimal(410), fixed_end).allowed
    with pytest.raises(OutOfRange, match="can't lie so"):
        fit_u(HOSE, route.overall_mm, Decimal(383), Decimal(2000), fixed_end)


@pytest.mark.parametrize("offset", ["60", "200", "383", "500", "900"])
@pytest.mark.parametrize("radius", ["180", "300"])
def test_the_length_of_an_offset_gives_its_radius_back(offset: str, radius: str) -> None:
    route = offset_route(HOSE, Decimal(offset), Decimal(radius))
    distance = Decimal(f"{route.paths[0].end.x:.6f}")
    fit = fit_offset(HOSE, route.overall_mm, distance, Decimal(offset))
    assert fit.inside_radius_mm == pytest.approx(Decimal(radius), abs=Decimal("0.2"))
    assert fit.paths[0].end == pytest.approx((float(distance), float(offset)), abs=1e-6)


@outside(
    fit_offset,
    source="SciPy's root of h = 2r (1 - cos θ) with the angle unknown",
    independent="another unknown, another solver",
)
def test_the_radius_of_an_offset_is_what_scipy_solves() -> None:
    # Independent: SciPy's root of the chord form h = 2r (1 - cos θ) with the angle as the unknown.
    fit = fit_offset(HOSE, Decimal(820), Decimal(780), Decimal(150))

    def surplus(theta: float) -> float:
        centreline = 150 / (2 * (1 - math.cos(theta)))
        return 2 * centreline * (theta - math.sin(theta)) - 40

    theta = brentq(surplus, 0.01, math.pi / 2)
    assert fit.inside_radius_mm is not None
    assert float(fit.inside_radius_mm) == pytest.approx(150 / (2 * (1 - math.cos(theta))) - 11.5, abs=0.001)


def test_how_much_a_millimetre_changes_the_radius_of_an_offset_is_as_told() -> None:
    fit, longer = (
        fit_offset(HOSE, Decimal(length), Decimal(780), Decimal(150)) for length in ("820", "820.01")
    )
    assert fit.inside_radius_mm is not None
    assert longer.inside_radius_mm is not None
    per_mm = (fit.inside_radius_mm - longer.inside_radius_mm) * 100
    told = Decimal(fit.cautions[-1].split(" about ")[1].split(" mm")[0])
    assert per_mm == pytest.approx(told, rel=Decimal("0.05"))


def test_a_gentle_or_a_wide_offset_is_refused_where_the_hose_does_not_reach() -> None:
    for offset in ("100", "900"):
        with pytest.raises(OutOfRange, match="can't lie so"):
            fit_offset(HOSE, Decimal(781), Decimal(780), Decimal(offset))
    with pytest.raises(OutOfRange) as refusal:
        fit_offset(HOSE, Decimal(200), Decimal(130), Decimal(60))
    assert refusal.value.allowed == "none between these ports"


def test_between_ports_that_face_each_other_the_slack_results() -> None:
    enough = fit_straight(HOSE, Decimal(1170), Decimal(1120))
    assert enough.slack_percent == 5
    assert enough.allowed
    assert fit_straight(HOSE, Decimal(1160), Decimal(1120)).allowed  # just what pressure takes
    tight = fit_straight(HOSE, Decimal(1150), Decimal(1120))
    assert tight.slack_percent == 3
    assert not tight.allowed
    assert "3.0 % of slack" in tight.objections[0]
    with pytest.raises(OutOfRange, match=r"1120\.0 mm or more"):
        fit_straight(HOSE, Decimal(1119), Decimal(1120))


@pytest.mark.parametrize("value", ["-1", "NaN", "Infinity", "1e9"])
def test_nonsense_is_refused_by_name(value: str) -> None:
    wrong, right = Decimal(value), Decimal(600)
    angle = Decimal(90)
    asking: dict[str, Callable[[], object]] = {
        "overall length": lambda: fit_u(HOSE, wrong, right),
        "distance": lambda: fit_straight(HOSE, right, wrong),
        "angle of the bend": lambda: fit_bend(HOSE, right, wrong, right, right),
        "distance from end A to the corner": lambda: fit_bend(HOSE, right, angle, wrong, right),
        "distance from end B to the corner": lambda: fit_bend(HOSE, right, angle, right, wrong),
        "span": lambda: fit_u(HOSE, right, wrong),
        "travel": lambda: fit_u(HOSE, right, Decimal(383), wrong),
        "offset": lambda: fit_offset(HOSE, right, Decimal(500), wrong),
    }
    for name, ask in asking.items():
        with pytest.raises(EngineeringError) as refusal:
            ask()
        assert (refusal.value.argument, refusal.value.unit) == (name, "°" if "angle" in name else "mm")


@given(st.integers(20, 170), st.decimals(20, 500, places=1))
def test_bend_forwards_and_back_is_the_same_radius(angle: int, radius: Decimal) -> None:
    hose = Hose(Decimal(23), Decimal(20), Decimal(50), Decimal(70))
    route = bend_route(hose, Decimal(angle), radius)
    fit = fit_bend(hose, route.overall_mm, Decimal(angle), *corner(angle, float(radius)))
    assert fit.inside_radius_mm == pytest.approx(radius, abs=Decimal("0.6"))


@given(st.integers(0, 900), st.integers(0, 900))
def test_a_longer_hose_never_bends_more_gently(a: int, b: int) -> None:
    shorter, longer = (Decimal(803) + Decimal(extra) / 10 for extra in sorted((a, b)))
    gentle, sharp = (fit_offset(HOSE, length, Decimal(780), Decimal(150)) for length in (shorter, longer))
    assert gentle.inside_radius_mm is not None
    assert sharp.inside_radius_mm is not None
    assert gentle.inside_radius_mm >= sharp.inside_radius_mm
