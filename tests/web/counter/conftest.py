"""The counter at its desk, and what it types."""

import pytest
from django.test import Client

from tests.world import World


@pytest.fixture
def desk(client: Client, world: World) -> Client:
    """A browser in which the counter is signed in."""
    client.force_login(world.counter)
    return client


@pytest.fixture
def typed(world: World) -> dict[str, str]:
    """A line as it is typed into the form: 930 mm, straight to straight, 250 bar."""
    return {
        "hose": str(world.hose),
        "fitting_a": str(world.fitting),
        "fitting_b": str(world.fitting),
        "overall_typed": "930",
        "angle_deg": "",
        "quantity": "2",
        "pressure_typed": "250 bar",
        "temperature_c": "80",
        "fluid": str(world.fluid.pk),
        "duty": "general",
        "engineer": "",
    }
