"""How long a hose has to be, and which bend a length makes."""

import pytest

from tests.web.worksheets.conftest import Ask
from tests.world import World

# DN 12 two-wire hose, OD 23 mm, R 180 mm inside: 90° takes 300.8 mm and 180° takes 601.6 (geometry with
# R + OD/2; printed formulas with R alone say 282.7 and 565.5).
HOSE = {"outside": "23", "minimum": "180"}


@pytest.mark.parametrize(
    ("angle", "arc", "trap"), [("90", "300.8 mm", "282.7"), ("180", "601.6 mm", "565.5")]
)
def test_a_bend_is_as_long_as_its_centreline(page: Ask, angle: str, arc: str, trap: str) -> None:
    answer = page("routing", layout="bend", angle=angle, **HOSE)
    assert f'{angle} / 360 × 2π × (180 + 23 / 2) mm = <strong class="number">{arc}</strong>' in answer
    assert trap not in answer
    assert 'class="fb-routing"' in answer
    assert "R 180.0 mm inside" in answer


def test_a_u_adds_half_its_travel(page: Ask) -> None:
    answer = page("routing", layout="U", travel="300", metal_a="60", metal_b="60", **HOSE)
    # 601.6 + half of 300 + 2 × 1.5 × 23 + both ends' metal: the rule with T/2, from memory.
    assert '<span class="number">940.6 mm</span>' in answer
    assert "300 mm / 2" in answer


def test_a_straight_hose_has_five_per_cent_of_slack_unless_another_is_typed(page: Ask) -> None:
    # At least 5 % (Army AL0907); the metal has no part in it.
    assert '<span class="number">1044.0 mm</span>' in page(
        "routing", layout="straight", distance="1000", metal_a="60", metal_b="60", **HOSE
    )
    assert '<span class="number">1000.0 mm</span>' in page(
        "routing", layout="straight", distance="1000", slack="0", **HOSE
    )


def test_an_offset_shows_the_angle_of_both_bends(page: Ask) -> None:
    # cos α = 1 − 191.5 / 383 = 1/2.
    assert '<strong class="number">60°</strong>' in page("routing", layout="offset", offset="191.5", **HOSE)


def test_hose_and_ends_come_from_the_catalogue(page: Ask, world: World) -> None:
    answer = page(
        "routing",
        layout="bend",
        angle="90",
        hose=str(world.hose),
        fitting_a=str(world.fitting),
        fitting_b=str(world.fitting),
    )
    stiff = world.fitting.cut_off + world.fitting.insertion_depth
    assert f'<th scope="row">metal of end A</th><td class="number">{stiff:.1f} mm</td>' in answer
    assert f"R {world.hose.bend_radius:.1f} mm inside" in answer


def test_a_bend_that_is_too_sharp_is_refused_at_the_radius(fragment: Ask) -> None:
    answer = fragment("routing", layout="bend", angle="90", radius="100", **HOSE)
    assert "must be 180 mm or more" in answer.partition('id="id_radius_says"')[2].partition("</div>")[0]


def test_without_a_hose_its_figures_are_asked_for(fragment: Ask) -> None:
    assert "Still needed: Outside diameter, Least bend radius." in fragment(
        "routing", layout="bend", angle="90"
    )


def test_the_span_of_a_u_makes_its_radius(page: Ask) -> None:
    answer = page("routing-fit", layout="U", overall="1000", span="400", **HOSE)
    assert '400 / 2 − 23 / 2 = <strong class="number">188.5 mm</strong>' in answer
    assert "It can lie so." in answer


def test_a_u_that_is_too_narrow_is_told_by_word_and_drawn(page: Ask) -> None:
    answer = page("routing-fit", layout="U", overall="1000", span="200", **HOSE)
    assert "Not so:" in answer
    assert "the hose needs 180 mm" in answer
    assert 'class="fb-routing"' in answer


def test_the_length_that_a_bend_needs_makes_that_bend_again(page: Ask) -> None:
    # Corner of 90°: run 34.5 + centreline radius 191.5 from either end; 34.5 + 300.807 + 34.5 of hose.
    answer = page(
        "routing-fit", layout="bend", overall="369.807", angle="90", corner_a="226", corner_b="226", **HOSE
    )
    assert '<span class="number">180.0 mm</span>' in answer
    assert "It can lie so." in answer


def test_a_length_that_does_not_reach_is_refused_at_the_length(fragment: Ask) -> None:
    answer = fragment("routing-fit", layout="straight", overall="900", distance="1000", **HOSE)
    assert "lie so between these ports" in answer.partition('id="id_overall_says"')[2].partition("</div>")[0]
