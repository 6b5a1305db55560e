"""A genealogy is drawn whole: each box once, each line from a box to a box, and nothing over anything."""

import pytest

from shop.drawings.genealogy import BOX, Box, BoxColumn, GenealogyDrawing, draw_genealogy
from tests.drawings.reading import Drawn

LONG = "Quillmark Torrent 2 -8, batch TR-0117 of the second delivery in spring"
FAMILY = GenealogyDrawing(
    "What lot 7 led to",
    (
        BoxColumn("From", (Box("lot", LONG, is_subject=True),)),
        BoxColumn(
            "Pieces", (Box("reel", "reel 1"), Box("rest", "31 more pieces", "402 assemblies", is_group=True))
        ),
        BoxColumn("Runs", (Box("run", "order 4, line 1", "12 assemblies: all here", href="/here/"),)),
    ),
    (("lot", "reel"), ("lot", "rest"), ("reel", "run"), ("lot", "run")),
)


@pytest.fixture
def drawn() -> Drawn:
    return Drawn(draw_genealogy(FAMILY))


def test_each_thing_is_drawn_once_with_all_its_words(drawn: Drawn) -> None:
    assert len(drawn.all("fb-box")) == 4
    assert drawn.text("fb-title") == f"{LONG} reel 1 31 more pieces order 4, line 1"
    assert drawn.text("fb-note") == "402 assemblies 12 assemblies: all here"
    assert drawn.text("fb-heading") == "From Pieces Runs"


def test_each_line_leads_from_the_right_of_one_box_to_the_left_of_another(drawn: Drawn) -> None:
    lefts = {float(box.attrib["x"]) for box in drawn.all("fb-box")}
    lines = [line.attrib["d"] for line in drawn.all("fb-line")]
    assert len(lines) == len(FAMILY.lines)
    for d in lines:
        assert float(d[1:].split()[0]) - BOX in lefts
        assert float(d.split()[-2]) in lefts


def test_no_box_lies_over_another_or_over_the_edge(drawn: Drawn) -> None:
    sides = ("x", "y", "width", "height")
    boxes = [tuple(float(box.attrib[side]) for side in sides) for box in drawn.all("fb-box")]
    width, height = drawn.size
    for number, (x, y, wide, high) in enumerate(boxes):
        assert 0 <= x < x + wide <= width
        assert 0 <= y < y + high <= height
        for other_x, other_y, other_wide, other_high in boxes[number + 1 :]:
            apart = x + wide < other_x or other_x + other_wide < x
            assert apart or y + high < other_y or other_y + other_high < y


def test_a_group_has_a_second_outline_and_a_box_that_leads_somewhere_is_a_link(drawn: Drawn) -> None:
    assert len(drawn.all("fb-behind")) == 1
    [link] = [e for e in drawn.root.iter() if e.tag.endswith("}a")]
    assert link.attrib["href"] == "/here/"


def test_a_drawing_that_holds_links_is_no_picture_to_who_hears_the_page(drawn: Drawn) -> None:
    assert drawn.root.attrib["role"] == "group"


def test_what_is_only_a_subject_is_drawn_too() -> None:
    alone = GenealogyDrawing("What lot 8 led to", FAMILY.columns[:1], ())
    assert len(Drawn(draw_genealogy(alone)).all("fb-box")) == 1


def test_a_line_to_no_box_is_an_error_of_the_program() -> None:
    with pytest.raises(KeyError):
        draw_genealogy(GenealogyDrawing("", FAMILY.columns[:1], (("lot", "reel"),)))
