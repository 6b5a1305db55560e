"""Naming a thread, and what it is confused with."""

from tests.web.worksheets.conftest import Ask

FLARE = "37° flare (SAE J514 / ISO 8434-2) -6"
FACE_SEAL = "O-ring face seal (SAE J1453 / ISO 8434-3) -4"


def test_nine_sixteenths_18_is_a_flare_of_6_and_a_face_seal_of_4(page: Ask) -> None:
    answer = page("threads", gender="male", diameter="14.2 mm", per_inch="18")
    rows = answer.partition("<tbody>")[2].partition("</tbody>")[0]
    assert FLARE in rows
    assert FACE_SEAL in rows
    assert f"9/16-18 UN is {FLARE} and also" in answer


def test_the_seat_decides_between_them(page: Ask) -> None:
    answer = page(
        "threads", gender="male", diameter="14.2 mm", per_inch="18", seat="flat face with an O-ring"
    )
    assert f'<span class="number">{FACE_SEAL}</span>' in answer


def test_a_british_thread_is_named_by_its_published_diameter(page: Ask) -> None:
    # G 1/2: 14 threads per inch, major diameter 20.955 mm (read, two sources agree on the pitch).
    answer = page("threads", gender="male", diameter="20.9 mm", per_inch="14", seat="60° cone")
    assert "G or R 1/2-14" in answer.partition("It comes to")[2].partition("</section>")[0]


def test_a_diameter_that_no_connection_has_is_refused_at_its_question(fragment: Ask) -> None:
    answer = fragment("threads", gender="male", diameter="190 mm")
    assert "Measure again" in answer.partition('id="id_diameter_says"')[2].partition("</div>")[0]


def test_a_pitch_of_nothing_is_refused_at_its_question(fragment: Ask) -> None:
    answer = fragment("threads", gender="male", diameter="14.2 mm", per_inch="0")
    assert "must be more than zero" in answer.partition('id="id_per_inch_says"')[2].partition("</div>")[0]


def test_pitch_and_threads_per_inch_together_are_one_too_many(page: Ask) -> None:
    assert "not both" in page("threads", gender="male", diameter="14.2 mm", per_inch="18", pitch="1.5")


CODE_61, CODE_62 = (
    "split flange code 61 (SAE J518-1 / ISO 6162-1)",
    "split flange code 62 (SAE J518-2 / ISO 6162-2)",
)


def test_a_flange_is_named_by_its_head_with_the_other_code_beside_it(page: Ask) -> None:
    answer = page("threads", gender="flange", head="38.1 mm")
    assert f'<span class="number">{CODE_61} -12</span>' in answer
    assert f"{CODE_62} -12 has a head of 41.3 mm, only 3.2 mm wider, and is for 6000 psi" in answer


def test_between_two_codes_the_lower_pressure_is_what_may_be_counted_on(page: Ask) -> None:
    answer = page("threads", gender="flange", head="31.1 mm")
    facts = answer.partition('class="facts"')[2].partition("</dl>")[0]
    until_known = facts.partition("Until the code is known")[2]
    assert "5000 psi" in until_known
    assert f"{CODE_62} -8" in facts


def test_a_flange_is_asked_for_its_head_and_for_no_thread(fragment: Ask) -> None:
    assert "Still needed: Diameter of the head." in fragment("threads", gender="flange", per_inch="0")
    answer = fragment("threads", gender="flange", head="200 mm")
    assert "No flange in the table" in answer.partition('id="id_head_says"')[2].partition("</div>")[0]
