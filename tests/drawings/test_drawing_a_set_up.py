from decimal import Decimal

import pytest

from shop.drawings.setup import PartDrawing, draw_setup, facing
from tests.drawings.reading import Drawn

PARTS = [
    PartDrawing(1, "pusher", "two notches", "flat side towards the ram", Decimal(40)),
    PartDrawing(2, "stop part", "S 14", "", Decimal("12.5")),
    PartDrawing(3, "ring", "R-2", "chamfer away from the hose", None),
    PartDrawing(4, "die set", "D 24 A", "stamped face towards the hose", Decimal(70)),
]


def widths(drawing: Drawn) -> list[float]:
    return [float(drawing.all(f"fb-part-{n}")[0].attrib["width"]) for n in (1, 2, 3, 4)]


def test_known_thicknesses_are_to_one_scale() -> None:
    pusher, stop, _, die = widths(Drawn(draw_setup(PARTS)))
    assert stop / pusher == pytest.approx(12.5 / 40, abs=1e-3)
    assert die / pusher == pytest.approx(70 / 40, abs=1e-3)


def test_a_part_of_unknown_thickness_is_dashed_and_said_to_be() -> None:
    drawing = Drawn(draw_setup(PARTS))
    dashed = [n for n in (1, 2, 3, 4) if "stroke-dasharray" in drawing.all(f"fb-part-{n}")[0].attrib]
    assert dashed == [3]
    assert "thickness not known" in drawing.text("fb-list")
    assert len(drawing.all("fb-section")) == 2 * 3  # the hatched ones: above and below the axis


def test_parts_follow_each_other_from_the_ram_to_the_hose_whatever_the_order_given() -> None:
    drawing = Drawn(draw_setup(list(reversed(PARTS))))
    starts = [float(drawing.all(f"fb-part-{n}")[0].attrib["x"]) for n in (1, 2, 3, 4)]
    assert starts == sorted(starts)
    assert [e.text for e in drawing.all("fb-list-number")] == ["1", "2", "3", "4"]
    assert "ram" in drawing.texts
    assert "hose" in drawing.texts


def test_role_mark_and_attitude_are_shown_as_the_workshop_typed_them() -> None:
    shown = Drawn(draw_setup(PARTS)).text("fb-list")
    assert "pusher, two notches, flat side towards the ram, 40 mm thick" in shown
    assert "die set, D 24 A, stamped face towards the hose, 70 mm" in shown


def test_an_arrow_shows_which_way_a_part_faces() -> None:
    drawing = Drawn(draw_setup(PARTS))
    assert drawing.number("fb-faces-ram", "x2") < drawing.number("fb-faces-ram", "x1")
    assert drawing.number("fb-faces-hose", "x2") > drawing.number("fb-faces-hose", "x1")


@pytest.mark.parametrize(
    ("attitude", "side"),
    [
        ("towards the hose", "hose"),
        ("small end toward the ram.", "ram"),
        ("Chamfer to the hose", "hose"),
        ("", None),
        ("either way", None),
        ("chamfer away from the hose", None),
        ("not towards the hose", None),
        ("towards the hose or the ram, as it comes", None),
    ],
)
def test_no_arrow_is_guessed_from_words_that_leave_a_doubt(attitude: str, side: str | None) -> None:
    assert facing(attitude) == side


def test_what_must_be_taken_out_is_listed() -> None:
    drawing = Drawn(draw_setup(PARTS, ("spacer R-1", "the back stop")))
    assert drawing.text("fb-take-out") == "Take out: spacer R-1 Take out: the back stop"
    assert drawing.title.endswith("take out: spacer R-1, the back stop")


def test_parts_without_any_known_thickness_are_all_dashed() -> None:
    unknown = [PartDrawing(part.position, part.role, part.mark, "", None) for part in PARTS]
    drawing = Drawn(draw_setup(unknown))
    assert len(set(widths(drawing))) == 1
    assert not drawing.all("fb-section")


def test_a_set_up_without_parts_says_so() -> None:
    assert Drawn(draw_setup([])).title == "Set-up of the crimper from the ram to the hose: no parts"
