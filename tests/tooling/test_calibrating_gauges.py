"""The newest calibration counts, while it holds and if it passed (rule 5)."""

import datetime
from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError

from shop.people.refusals import NotAllowed
from shop.policy.services import today
from shop.tooling.models import Calibration
from shop.tooling.refusals import CalibrationNotDoneYet
from shop.tooling.services import record_calibration
from tests.world import World

DAY = datetime.timedelta(days=1)


def test_a_calibration_holds_up_to_and_on_the_day_it_is_due(world: World) -> None:
    calibration = world.caliper.calibration
    assert calibration is not None
    assert world.caliper.calibration_on(calibration.due_on) == calibration
    assert world.caliper.calibration_on(calibration.due_on + DAY) is None
    assert world.caliper.calibration_on(calibration.done_on - DAY) is None


def test_a_failed_calibration_ends_the_one_before(world: World) -> None:
    world.calibrate(world.caliper, done_on=today(), passed=False)
    assert world.caliper.calibration_on(today()) is None
    assert world.caliper.calibration_on(today() - DAY) is not None


def test_the_calibration_of_an_earlier_day_is_found_again_years_later(world: World) -> None:
    then = world.caliper.calibration
    world.calibrate(world.caliper, done_on=today(), due_on=today() + 365 * DAY)
    assert world.caliper.calibration_on(today() - DAY) == then
    assert world.caliper.calibration_on(today()) != then


def test_errors_of_a_gauge_may_be_negative(world: World) -> None:
    calibration = world.calibrate(
        world.caliper, error_as_found=Decimal("-0.03"), error_as_left=Decimal(0), done_on=today()
    )
    calibration.refresh_from_db()
    assert (calibration.error_as_found, calibration.error_as_left) == (Decimal("-0.03"), Decimal(0))


def test_a_calibration_that_ends_before_it_was_done_is_refused(world: World) -> None:
    with pytest.raises(ValidationError):
        world.calibrate(world.caliper, done_on=today(), due_on=today() - DAY)


def test_the_bench_does_not_calibrate_its_own_caliper(world: World) -> None:
    newest = world.caliper.calibration
    assert newest is not None
    with pytest.raises(NotAllowed):
        record_calibration(
            actor=world.bench,
            calibration=Calibration(
                gauge=world.caliper,
                done_on=today(),
                due_on=today() + 365 * DAY,
                error_as_found=newest.error_as_found,
                error_as_left=newest.error_as_left,
                expanded_uncertainty=newest.expanded_uncertainty,
                certificate="C-2",
            ),
        )


def test_a_calibration_is_recorded_once_it_is_done(world: World) -> None:
    with pytest.raises(CalibrationNotDoneYet):
        world.calibrate(world.caliper, done_on=today() + DAY, due_on=today() + 365 * DAY)
