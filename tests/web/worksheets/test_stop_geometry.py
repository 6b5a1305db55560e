"""What crimps say of a stop: those typed, and the workshop's own."""

from decimal import Decimal

from tests.assemblies.bench import crimped
from tests.assemblies.test_stops import crimps_of_three_stops
from tests.web.worksheets.conftest import Ask
from tests.world import World

CRIMPS = "10 20.21; 12 20.92; 14 21.62; 16 22.36; 18 23.03; 20 23.77"


def test_a_stop_that_agrees_with_the_chart(page: Ask) -> None:
    answer = page("stop-geometry", source="typed", crimps=CRIMPS, stop="14", lower="21.55", upper="21.75")
    assert "which agrees with the chart&#x27;s 21.55 to 21.75 mm" in answer
    assert "The crimp chart prescribes the stop. This only checks it" in answer


def test_a_stop_that_leads_away_asks_to_look_first(page: Ask) -> None:
    answer = page("stop-geometry", source="typed", crimps=CRIMPS, stop="16", lower="21.55", upper="21.75")
    assert "Look before you crimp." in answer


def test_a_taper_is_set_beside_what_the_crimps_say(page: Ask) -> None:
    # 2 tan 10° is 0.3527; the crimps change by about 0.356 mm for each millimetre.
    answer = page("stop-geometry", source="typed", crimps=CRIMPS, tapers="one", angle="10")
    assert "0.353 mm" in answer
    assert "Check the taper" not in answer
    assert "Check the taper" in page("stop-geometry", source="typed", crimps=CRIMPS, tapers="two", angle="10")


def test_beyond_the_stops_that_were_used_nothing_is_known(fragment: Ask) -> None:
    answer = fragment("stop-geometry", source="typed", crimps=CRIMPS, stop="25")
    assert "nothing is known" in answer.partition('id="id_stop_says"')[2].partition("</div>")[0]


def test_two_crimps_give_no_error(fragment: Ask) -> None:
    answer = fragment("stop-geometry", source="typed", crimps="10 20.2; 12 20.9")
    assert "Measure more" in answer.partition('id="id_crimps_says"')[2].partition("</div>")[0]


def test_the_workshops_own_crimps_are_taken_by_die_and_press(page: Ask, world: World) -> None:
    crimps_of_three_stops(world)
    own = {"source": "own", "die_type": str(world.die_type.pk), "crimper": str(world.crimper.pk)}
    answer = page("stop-geometry", **own, stop="6", lower="24.0", upper="24.4")
    assert "which agrees with the chart" in answer
    assert "stops of 5.5 to 6.5 mm" in answer
    assert "Different hose springs back differently" in answer
    of_the_hose = page("stop-geometry", **own, hose=str(world.hose), stop="6")
    assert "Different hose springs back differently" not in of_the_hose


def test_too_few_own_crimps_are_said_at_the_die(fragment: Ask, world: World) -> None:
    world.stop_part.thickness = Decimal(6)
    crimped(world)
    own = {"source": "own", "die_type": str(world.die_type.pk), "crimper": str(world.crimper.pk)}
    answer = fragment("stop-geometry", **own)
    assert "Measure more" in answer.partition('id="id_die_type_says"')[2].partition("</div>")[0]
