"""From an empty database to a hose with a tag that can be scanned, by everything that people see."""

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
from tests.browser.working import inspect, make_it, take_the_order

pytestmark = pytest.mark.browser


@pytest.mark.parametrize("size", SIZES)
def test_a_workshop_makes_its_first_hose(empty_workshop: str, sit_down: Sit, size: str) -> None:
    person = sit_down(empty_workshop, size)
    begin(person)
    sign_in(person, "marit")
    write_people(person)
    write_catalogue(person)
    sign_in(person, "radu")
    confirm_ratings(person)
    sign_in(person, "ilse")
    issue_chart(person, checker="radu")
    sign_in(person, "ilse")
    codes = fill_the_cabinet(person) | receive(person)
    sign_in(person, "radu")
    calibrate(person)
    sign_in(person, "marit")
    take_the_order(person)
    sign_in(person, "ilse")
    make_it(person, codes)
    sign_in(person, "radu")
    inspect(person, codes)
