"""The tag as it comes out of the printer."""

import re
from pathlib import Path

import pytest

from shop.assemblies.models import Tag
from shop.documents.tag import render_tag
from shop.ledger.services import save_noted
from shop.policy import verbs as policy_verbs
from tests import factories
from tests.assemblies import bench
from tests.documents.reading import edge_mm, pages_of, printed, symbols, text_of, thermal
from tests.world import World


@pytest.fixture
def tag(world: World) -> Tag:
    return bench.tagged(world).tags.get()


def test_it_is_100_by_50_mm_on_one_page(tag: Tag) -> None:
    assert [(round(w, 1), round(h, 1)) for w, h in pages_of(render_tag(tag))] == [(100, 50)]


def test_its_qr_is_read_from_the_dots_of_a_label_printer(tag: Tag, tmp_path: Path) -> None:
    image = printed(render_tag(tag), tmp_path)
    for seen in (image, thermal(image)):
        [symbol] = symbols(seen)
        assert symbol.text == f"HTTPS://HOSE.EXAMPLE/T/{tag.assembly.code}"
        assert symbol.ec_level == "Q"
        assert edge_mm(symbol) >= 20


def test_its_qr_is_read_at_the_longest_address_for_tags(world: World, tmp_path: Path) -> None:
    world.workshop.base_address = "HTTPS://" + "H" * 19 + ".HOSE.EXAMPLE"
    assert len(world.workshop.base_address) == 40
    save_noted(actor=world.owner, verb=policy_verbs.WORKSHOP_SAVED, instance=world.workshop)
    tag = bench.tagged(world).tags.get()
    [symbol] = symbols(thermal(printed(render_tag(tag), tmp_path)))
    assert symbol.text == tag.address
    assert edge_mm(symbol) >= 20


def test_it_says_what_the_record_says(tag: Tag, world: World) -> None:
    text = text_of(render_tag(tag))
    first, second, third, fourth = tag.assembly.printed_code.split("-")
    for words in (
        f"{first}-{second}-",
        f"{third}-{fourth}",
        "Pennant Hose Works",
        "275 bar",
        "3988 psi",
        "highest working pressure, surges included",
        "-40 to 100 °C",
        f"made {tag.made}",
        str(world.hose),
        "930 mm",
        str(world.fitting.connection),
        f"No {tag.assembly.serial}",
        "Never feel for a leak",
        "makers' instructions, local codes and",
    ):
        assert words in text.replace("’", "'"), words


def test_it_carries_the_rating_and_not_what_the_customer_asked_for(tag: Tag) -> None:
    assert tag.assembly.resolution.demand_typed == "250"
    assert "250" not in re.findall(r"\w+", text_of(render_tag(tag)))


def test_a_rating_printed_in_megapascals_stands_beside_bar_and_psi(world: World) -> None:
    tag = Tag(
        assembly=bench.tagged(world),
        number=2,
        address="HTTPS://HOSE.EXAMPLE/T/X",
        is_demo=False,
        rating_value="41.5",
        rating_unit="MPa",
        temperature_words="-40 to 100 °C",
        made="2026-11",
    )
    text = text_of(render_tag(tag))
    assert "415 bar" in text
    assert "6019 psi" in text  # 41.5 MPa are 6019.07 psi, rounded down
    assert "printed 41.5 MPa" in text


def test_without_a_real_address_it_prints_demo_across(world: World, tmp_path: Path) -> None:
    world.workshop.base_address = ""
    save_noted(actor=world.owner, verb=policy_verbs.WORKSHOP_SAVED, instance=world.workshop)
    tag = bench.tagged(world).tags.get()
    pdf = render_tag(tag)
    assert "DEMO" in text_of(pdf)
    [symbol] = symbols(thermal(printed(pdf, tmp_path)))
    assert symbol.text.startswith("HTTPS://DEMO.INVALID/T/")


def test_a_real_one_does_not_print_demo(tag: Tag) -> None:
    assert "DEMO" not in text_of(render_tag(tag))


def test_the_same_tag_gives_the_same_bytes(tag: Tag) -> None:
    assert render_tag(tag) == render_tag(tag)


def test_long_names_leave_its_cautions_and_its_figures_where_they_are(world: World, tmp_path: Path) -> None:
    """Printed with names as long as they may be, the lower edge of the tag looks the same."""
    short = render_tag(bench.tagged(world).tags.get())
    world.workshop.name = (
        "Pennant Hose Works and Hydraulic Services of the Northern Harbour and its Docks Ltd"[:80]
    )
    save_noted(actor=world.owner, verb=policy_verbs.WORKSHOP_SAVED, instance=world.workshop)
    factories.ConnectionFactory._meta.model.objects.update(
        system="Flat-faced swivel with O-ring " * 2 + "(a standard)"
    )
    type(world.hose).objects.filter(pk=world.hose.pk).update(
        designation="Torrent of the long designation " + "x" * 20
    )
    long = render_tag(Tag.objects.select_related("assembly").get())
    # The lowest 9 mm on the right: the cautions.
    box = (270, 330, 799, 399)
    assert printed(short, tmp_path).crop(box).tobytes() == printed(long, tmp_path).crop(box).tobytes()
