"""Fluids have a range of their own, and seals stand some fluids and not others."""

import pytest
from django.core.exceptions import ValidationError

from shop.catalogue.models import Fluid, Seal
from shop.catalogue.services import save_fitting, save_fluid, save_seal
from shop.ledger.services import history
from shop.people.refusals import NotAllowed
from tests.world import World


def test_water_has_a_range_whatever_the_hose(world: World) -> None:
    # EN 857: water 0 to 70 °C.
    water = save_fluid(
        actor=world.counter, fluid=Fluid(name="water", temperature_min_c=0, temperature_max_c=70)
    )
    assert (water.temperature_min_c, water.temperature_max_c) == (0, 70)


def test_a_seal_is_written_with_the_fluids_that_it_stands(world: World) -> None:
    seal = save_seal(
        actor=world.counter,
        seal=Seal(name="nitrile", temperature_min_c=-30, temperature_max_c=100, source="seal sheet 1"),
        fluids=[world.fluid],
    )
    assert list(seal.fluids.all()) == [world.fluid]
    [entry] = history(seal)
    assert (entry.verb, entry.actor_number) == ("catalogue.seal_saved", world.counter.number)
    save_seal(actor=world.counter, seal=seal)
    assert list(seal.fluids.all()) == [world.fluid]


def test_a_seal_whose_temperatures_are_the_wrong_way_round_is_refused(world: World) -> None:
    with pytest.raises(ValidationError, match="The highest temperature of a seal is above the lowest"):
        save_seal(actor=world.counter, seal=Seal(name="x", temperature_min_c=100, temperature_max_c=-30))


def test_a_fitting_names_what_it_seals_with(world: World) -> None:
    seal = save_seal(actor=world.counter, seal=Seal(name="nitrile"))
    world.fitting.seal = seal
    save_fitting(actor=world.counter, fitting=world.fitting)
    assert list(seal.fittings.all()) == [world.fitting]


def test_the_bench_keeps_no_seals(world: World) -> None:
    with pytest.raises(NotAllowed):
        save_seal(actor=world.bench, seal=Seal(name="nitrile"))
