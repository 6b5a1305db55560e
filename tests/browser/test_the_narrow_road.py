"""From an empty database to a hose with a tag that can be scanned, by everything that people see."""

from pathlib import Path

import pytest

from tests.browser.beginning import (
    begin,
    calibrate,
    confirm_ratings,
    fill_the_cabinet,
    issue_chart,
    receive,
    sign_in,
    write_catalogue,
    write_people,
)
from tests.browser.conftest import SIZES, Sit
from tests.browser.person import Person
from tests.browser.working import (
    downloaded,
    inspect,
    make_it,
    make_the_tag,
    on_the_paper,
    release,
    take_the_order,
)

pytestmark = pytest.mark.browser

HOST = "HTTPS://HOSE.EXAMPLE"


@pytest.mark.parametrize("size", SIZES)
def test_a_workshop_makes_its_first_hose(
    empty_workshop: str, sit_down: Sit, size: str, tmp_path: Path
) -> None:
    person = sit_down(empty_workshop, size)
    begin(person)
    write_everything_down(person)
    codes = fill_cabinet_and_stores(person, tmp_path)
    sign_in(person, "marit")
    take_the_order(person)
    sign_in(person, "ilse")
    make_it(person, codes)
    sign_in(person, "radu")
    inspect(person, codes)
    [tag] = on_the_paper(make_the_tag(person), tmp_path)
    assert tag.startswith(f"{HOST}/T/")
    passer_by = sit_down(empty_workshop, size)
    passer_by.goes_to(tag.removeprefix(HOST))
    passer_by.reads("DO NOT USE")
    passer_by.does_not_read("RELEASED")
    release(person, tag)
    see_it_released(person, passer_by, tag.removeprefix(HOST))


def write_everything_down(person: Person) -> None:
    """The owner writes people and catalogue; what is typed is confirmed and checked by somebody else."""
    sign_in(person, "marit")
    write_people(person)
    write_catalogue(person)
    sign_in(person, "radu")
    confirm_ratings(person)
    sign_in(person, "ilse")
    issue_chart(person, checker="radu")


def fill_cabinet_and_stores(person: Person, folder: Path) -> dict[str, str]:
    """The codes of all labels; that of the ferrules' bin also as it is printed."""
    sign_in(person, "ilse")
    codes = fill_the_cabinet(person) | receive(person)
    assert on_the_paper(downloaded(person, "Labels"), folder) == [codes["ferrules"].replace("-", "")]
    sign_in(person, "radu")
    calibrate(person)
    return codes


def see_it_released(person: Person, passer_by: Person, path: str) -> None:
    """Everybody sees that it may be used and what it is; only staff get from there to the record."""
    passer_by.goes_to(path)
    passer_by.reads("RELEASED", "275 bar (3988 psi)", "Quillmark Torrent 2 -8")
    passer_by.does_not_read("DO NOT USE", "Tidewater", "boom 3", "Novak", "Lindqvist", "Its whole record")
    person.goes_to(path)
    person.follows("Its whole record")
    person.reads(
        "Tidewater Cranes", "Ilse Novak", "Radu Lindqvist", "T-771", "dies 1", "C caliper 1", "24.19 mm"
    )
