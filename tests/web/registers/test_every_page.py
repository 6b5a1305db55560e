"""Every register's pages answer, for those who may and for those who may not."""

import pytest
from django.test import Client

from shop.web.reference.registers import REGISTERS as REFERENCE
from shop.web.registers.register import Register
from shop.web.tools.registers import REGISTERS as TOOLS
from tests.factories import CheckPieceFactory, HoseRatingFactory, PressureGaugeFactory, SealFactory
from tests.world import World

REGISTERS = [pytest.param(register, id=register.slug) for register in (*REFERENCE, *TOOLS)]


@pytest.fixture(autouse=True)
def _one_row_of_each(world: World) -> None:
    HoseRatingFactory()
    SealFactory()
    CheckPieceFactory()
    PressureGaugeFactory()


@pytest.mark.parametrize("register", REGISTERS)
def test_the_owner_sees_every_page_of_a_register(client: Client, world: World, register: Register) -> None:
    client.force_login(world.owner)
    row = register.all_rows().first()
    pages = ["", "new", "csv", "template", "export"] + (["labels"] if register.label else [])
    for page in pages:
        assert client.get(register.url(page)).status_code == 200, page
    for page in ["item", "change"] + (["confirm"] if register.confirm else []):
        assert client.get(register.url(page, row.pk)).status_code == 200, page


@pytest.mark.parametrize("register", REGISTERS)
def test_who_may_not_write_is_told_whom_to_ask(client: Client, world: World, register: Register) -> None:
    client.force_login(world.auditor)
    assert register.url("new") not in client.get(register.url()).content.decode()
    for page in ("new", "csv", "template"):
        refused = client.get(register.url(page))
        assert refused.status_code == 403
        assert "Ask someone who may" in refused.content.decode()


@pytest.mark.parametrize("register", REGISTERS)
def test_what_is_exported_can_be_taken_in_again_and_changes_nothing(
    client: Client, world: World, register: Register
) -> None:
    client.force_login(world.owner)
    text = client.get(register.url("export")).content.decode("utf-8-sig")
    page = client.post(register.url("csv"), {"text": text, "take": "yes"}, follow=True)
    count = register.all_rows().count()
    assert f"Taken in: {count} unchanged." in page.content.decode()
