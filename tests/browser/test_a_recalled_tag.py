"""Whoever scans the tag of a recalled hose with a phone reads first that it is not to be used."""

import pytest
from playwright.sync_api import expect

from shop.assemblies.models import Assembly
from shop.assemblies.recalls import close_recall
from shop.trace.recalling import recall_suspected
from shop.trace.suspicion import Suspicion
from tests.assemblies import bench
from tests.browser.conftest import Doors, Sit
from tests.world import World

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture(params=["open", "closed"])
def recalled(world: World, request: pytest.FixtureRequest) -> Assembly:
    """Shipped, and recalled since; a recall that was closed before anybody looked at it protects as well."""
    assembly = bench.shipped(world)
    suspicion = Suspicion(things={"die_set": (world.die_set.pk,)})
    recall = recall_suspected(actor=world.inspector, suspicion=suspicion, reason="Two blew off.")
    if request.param == "closed":
        close_recall(actor=world.owner, recall=recall, reason="The customer can't be reached.")
    return assembly


def test_a_phone_that_scans_it_reads_do_not_use_first(
    recalled: Assembly, open_the_doors: Doors, sit_down: Sit
) -> None:
    passer_by = sit_down(open_the_doors(), "phone")
    passer_by.goes_to(f"/T/{recalled.code}")
    first = passer_by.page.get_by_role("heading").first
    expect(first).to_have_text("DO NOT USE")
    expect(first).to_be_in_viewport()
    passer_by.reads("It is recalled: it may have a weakness that can hurt you.")
    passer_by.does_not_read("RELEASED")
