"""Whether a hose is for the duty, with its class, proof and burst."""

from shop.catalogue.services import save_hose
from tests.web.worksheets.conftest import Ask
from tests.world import World


def _facts(answer: str) -> dict[str, str]:
    """Each figure by its label, the note behind it."""
    rows = answer.partition('class="facts"')[2].partition("</dl>")[0].split("<dt>")[1:]
    return {row.partition("</dt>")[0]: row.partition("</dt>")[2] for row in rows}


def test_working_pressure_and_surge_are_within_together(page: Ask) -> None:
    answer = page("duty", working="210 bar", surge="50 bar", rating="275 bar")
    assert "#pass" in answer
    facts = _facts(answer)
    assert "260 bar" in facts["Peak"]
    assert "280 bar" in facts["Class of ISO 18752"]
    # ISO 6605:2017 5.2: proof is twice the working pressure.
    assert "550 bar" in facts["Proof pressure"]
    assert "1100 bar" in facts["Bursts at, least"]


def test_a_surge_over_the_rating_is_not_within(page: Ask) -> None:
    answer = page("duty", working="250 bar", surge="25.01 bar", rating="275 bar")
    assert "Not within." in answer
    assert "Choose a higher one, or limit the surge." in answer


def test_a_pressure_is_compared_in_the_unit_that_is_printed(page: Ask) -> None:
    assert "Not within." not in page("duty", working="2500 psi", rating="2500 psi")
    assert "Not within." in page("duty", working="2501 psi", rating="2500 psi")


def test_without_a_hose_it_says_the_peak_and_its_class_alone(page: Ask) -> None:
    facts = _facts(page("duty", working="351 bar"))
    assert set(facts) == {"Peak", "Class of ISO 18752"}
    assert "420 bar" in facts["Class of ISO 18752"]


def test_above_the_highest_class_there_is_none(page: Ask) -> None:
    assert "none: above the highest class" in _facts(page("duty", working="600 bar"))["Class of ISO 18752"]


def test_a_hose_of_the_catalogue_brings_its_own_figures(page: Ask, world: World) -> None:
    world.hose.proof_printed, world.hose.burst_printed = "560", "1120"
    world.hose.vacuum_printed, world.hose.vacuum_unit = "0.8", "bar"
    save_hose(actor=world.counter, hose=world.hose)
    answer = page("duty", working="200 bar", vacuum="0.7 bar", hose=str(world.hose))
    facts = _facts(answer)
    assert "275 bar" in facts["The hose&#x27;s rating"]
    assert "560 bar" in facts["Proof pressure"]
    assert "1120 bar" in facts["Bursts at, least"]
    assert answer.count("Within.") == 2


def test_a_vacuum_deeper_than_the_hoses_is_not_within(page: Ask) -> None:
    answer = page("duty", working="10 bar", vacuum="0.9 bar", rating="16 bar", rated_vacuum="0.8 bar")
    assert "deeper than the hose" in answer


def test_hose_without_a_vacuum_figure_is_not_for_suction(fragment: Ask, world: World) -> None:
    answer = fragment("duty", working="10 bar", vacuum="0.5 bar", hose=str(world.hose))
    assert "not for suction" in answer.partition('id="id_rated_vacuum_says"')[2].partition("</div>")[0]


def test_a_rating_that_nobody_confirmed_is_said_first(page: Ask, world: World) -> None:
    world.hose.printed_value = "280"
    save_hose(actor=world.counter, hose=world.hose)
    assert "Nobody has compared the rating" in page("duty", working="200 bar", hose=str(world.hose))


def test_a_hose_and_typed_figures_are_one_too_many(page: Ask, world: World) -> None:
    assert "not both" in page("duty", working="200 bar", hose=str(world.hose), rating="300 bar")
