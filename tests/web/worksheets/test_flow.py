"""Bore, velocity and loss on the page."""

from decimal import Decimal
from math import pi

import pytest

from shop.policy.models import Policy
from shop.policy.services import set_policy, today
from shop.standards.figures import confirm_figures
from tests.web.worksheets.conftest import Ask
from tests.world import World

FLUID = {
    "temperature": "40",
    "density": "870",
    "cold_c": "40",
    "cold_mm2_s": "46",
    "warm_c": "100",
    "warm_mm2_s": "6.8",
}


@pytest.mark.parametrize(
    ("flow", "duty", "limits", "inches"),
    [
        # Printed to two or three figures on an open-hardware wiki, with its limits.
        ("13 gpm", "pressure", "inch fast", "0.515"),
        ("16 gpm", "pressure", "inch fast", "0.572"),
        ("16 gpm", "return", "inch fast", "0.660"),
        ("16 gpm", "return", "inch slow", "0.808"),
        ("16 gpm", "suction", "inch fast", "1.143"),
    ],
)
def test_the_smallest_bore_is_that_of_the_printed_table(
    page: Ask, flow: str, duty: str, limits: str, inches: str
) -> None:
    answer = page("flow", ask="bore", flow=flow, duty=duty, limits=limits)
    shown = answer.partition("<dt>Smallest bore</dt>")[2].partition("</span>")[0].rpartition(">")[2]
    assert Decimal(shown.removesuffix(" mm")) / Decimal("25.4") == pytest.approx(
        Decimal(inches), abs=Decimal("0.0006")
    )


def test_all_limits_stand_side_by_side_since_the_sources_disagree(page: Ask) -> None:
    answer = page("flow", ask="bore", flow="60", duty="pressure", limits="metric habit")
    assert all(name in answer for name in ("inch slow</th>", "inch fast</th>", "metric habit</th>"))
    assert "from memory" in answer.partition("metric habit</th>")[2].partition("</tr>")[0]


def test_a_bore_that_is_too_narrow_is_told_by_word(page: Ask) -> None:
    answer = page("flow", ask="bore", flow="100", duty="suction", limits="inch slow", bore="12.5")
    assert "Faster than the chosen limit." in answer


def test_laminar_loss_is_that_of_hagen_and_poiseuille(page: Ask) -> None:
    # Worked out by another road: 128 μ L Q / (π d⁴), without friction factor or Reynolds number.
    pascals = 128 * (46e-6 * 870) * 1.0 * (10e-3 / 60) / (pi * 0.012**4)
    answer = page(
        "flow", ask="loss", flow="10", duty="pressure", limits="inch slow", bore="12", length="1000", **FLUID
    )
    assert f"{pascals / 1e5:.3g} bar at 10 l/min" in answer
    assert 'class="fb-curve"' in answer


def test_a_warmer_fluid_that_is_thicker_is_refused_at_the_viscosity(fragment: Ask) -> None:
    typed = FLUID | {"warm_mm2_s": "60"}
    answer = fragment(
        "flow", ask="loss", flow="10", duty="pressure", limits="inch slow", length="1000", **typed
    )
    assert "has to be thinner" in answer.partition('id="id_cold_mm2_s_says"')[2].partition("</div>")[0]


def test_a_flow_that_no_size_carries_is_refused_at_the_bore(fragment: Ask) -> None:
    answer = fragment("flow", ask="bore", flow="9000", duty="suction", limits="inch slow")
    assert "there is none as large" in answer.partition('id="id_bore_says"')[2].partition("</div>")[0]


def test_uk_gallons_are_refused_at_the_flow(page: Ask) -> None:
    answer = page("flow", ask="bore", flow="10 igpm", duty="pressure", limits="inch slow")
    assert "UK gallons" in answer.partition('id="id_flow_says"')[2].partition("</div>")[0]


def test_for_the_bore_alone_nothing_is_asked_of_the_fluid(page: Ask) -> None:
    assert "errorlist" not in page("flow", ask="bore", flow="60", duty="pressure", limits="inch slow")


def test_the_limits_begin_with_those_of_the_policy_and_are_marked(page: Ask, world: World) -> None:
    assert '<option value="inch slow" selected>' in page("flow")
    policy = Policy(effective_from=today(), velocity_limits="metric habit")
    set_policy(actor=world.owner, policy=policy)
    assert '<option value="metric habit" selected>' in page("flow")
    answer = page("flow", ask="bore", flow="60", duty="pressure", limits="inch slow")
    assert "metric habit (this workshop&#x27;s)</th>" in answer


def test_a_limit_from_memory_that_was_confirmed_is_no_longer_warned_of(page: Ask, world: World) -> None:
    typed = {"ask": "bore", "flow": "60", "duty": "return", "limits": "metric habit"}
    warning = "written from memory and nobody has confirmed it"
    assert warning in page("flow", **typed)
    confirm_figures(
        actor=world.inspector,
        table="velocity_limits",
        row="metric habit, return line",
        document="pump maker's handbook, 2024",
        typed={"up to": "4", "at least": "2"},
    )
    answer = page("flow", **typed)
    assert warning not in answer
    assert "confirmed by 4 on" in answer.partition("metric habit</th>")[2].partition("</tr>")[0]
