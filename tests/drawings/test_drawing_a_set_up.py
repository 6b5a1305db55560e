"""The set-up in section: what is drawn equals what was typed, to one scale along and across the axis."""

import math
from dataclasses import replace
from decimal import Decimal
from itertools import combinations, pairwise
from typing import Any
from xml.etree import ElementTree

import pytest

from shop.drawings.setup import (
    Dies,
    EndInDies,
    Labelled,
    Light,
    PartDrawing,
    SetUpDrawing,
    StopValue,
    draw_setup,
    facing,
)
from shop.engineering.lengths import LengthUnit
from shop.engineering.stop_geometry import Tapers
from tests.drawings.reading import Drawn

Point = tuple[float, float]

PUSHER = PartDrawing(
    1, "pusher", "two notches", "flat side towards the ram", Decimal(22), Decimal(90), Decimal(44)
)
STOP = PartDrawing(2, "stop ring", "S 14", "", Decimal("6.2"), Decimal(110), Decimal(48), Labelled.STOP)
DIES = PartDrawing(
    3, "die set", "D 24 A", "stamped face to the hose", Decimal(60), Decimal(84), None, Labelled.DIES
)
END = EndInDies(
    hose_od_mm=Decimal("20.6"),
    hose_bore_mm=Decimal("12.7"),
    ferrule_mm=Decimal(38),
    insertion_mm=Decimal(31),
    crimp_mm=Decimal("23.8"),
)
ONE = Dies(has_cone=True, tapers=Tapers.ONE, taper_deg=Decimal(10))
TWO = Dies(has_cone=True, tapers=Tapers.TWO, taper_deg=Decimal(10))
STRAIGHT = Dies(has_cone=False)
WITH_A_PART = SetUpDrawing((PUSHER, STOP, DIES), dies=ONE, end=END)
DIAL = StopValue(True, "dial: start at 4.8 (the chart gives 4.6, this scale reads 0.2 at nought)")
NUMERIC = StopValue(False, "set-point: start at 34.6 (as the chart gives it)")
WITH_A_DIAL = SetUpDrawing((PUSHER, DIES), dies=ONE, end=END, stop=DIAL)
WITH_A_SET_POINT = SetUpDrawing((PUSHER, DIES), dies=ONE, end=END, stop=NUMERIC)
ALL_STOPS = pytest.mark.parametrize(
    "drawing", [WITH_A_PART, WITH_A_DIAL, WITH_A_SET_POINT], ids=["part", "dial", "set-point"]
)


def inside(group: ElementTree.Element, class_: str) -> list[ElementTree.Element]:
    return [e for e in group.iter() if class_ in e.get("class", "").split()]


def points(element: ElementTree.Element) -> list[Point]:
    """The corners of a path of straight strokes."""
    pairs = element.attrib["d"].strip("MZ").split("L")
    return [(float(x), float(y)) for x, y in (pair.split(" ") for pair in pairs)]


class Section:
    """The drawing read back into millimetres by its own scale, which the pusher's thickness gives."""

    def __init__(self, drawing: SetUpDrawing) -> None:
        self.drawn = Drawn(draw_setup(drawing))
        self.axis = self.drawn.number("fb-axis", "y1")
        first = drawing.in_order[0]
        assert first.thickness_mm is not None
        left, right = self._span(first.position)
        self.scale = (right - left) / float(first.thickness_mm)
        self.left = left

    def group(self, position: int) -> ElementTree.Element:
        return self.drawn.one(f"fb-stack-{position}")

    def _span(self, position: int) -> tuple[float, float]:
        xs = {float(face.attrib["x1"]) for face in inside(self.group(position), "fb-face")}
        left, right = sorted(xs)
        return left, right

    def span(self, position: int) -> tuple[float, float]:
        """From where to where the part reaches along the axis, mm from the first part's face."""
        left, right = self._span(position)
        return ((left - self.left) / self.scale, (right - self.left) / self.scale)

    def x(self, x: float) -> float:
        return (x - self.left) / self.scale

    def diameter(self, y: float) -> float:
        return 2 * abs(y - self.axis) / self.scale

    def outline(self, position: int) -> list[Point]:
        """Station and diameter of each corner of the part's outside, above the axis."""
        [above, below] = inside(self.group(position), "fb-outside") or inside(
            self.group(position), "fb-slide"
        )
        stations = [(self.x(x), self.diameter(y)) for x, y in points(above)]
        mirrored = [(self.x(x), self.diameter(y)) for x, y in points(below)]
        assert [c for point in stations for c in point] == pytest.approx([c for p in mirrored for c in p])
        return stations

    def opening(self, position: int) -> float:
        [above, below] = inside(self.group(position), "fb-opening")
        assert self.diameter(float(above.attrib["y1"])) == pytest.approx(
            self.diameter(float(below.attrib["y1"])), abs=1e-3
        )
        return self.diameter(float(above.attrib["y1"]))


@ALL_STOPS
def test_each_part_lies_where_the_thicknesses_before_it_put_it(drawing: SetUpDrawing) -> None:
    section, station = Section(drawing), 0.0
    for part in drawing.in_order:
        assert part.thickness_mm is not None
        end = station + float(part.thickness_mm)
        assert section.span(part.position) == pytest.approx((station, end), abs=2e-3)
        station = end


@ALL_STOPS
def test_diameters_are_to_the_scale_of_the_thicknesses(drawing: SetUpDrawing) -> None:
    section = Section(drawing)
    for part in drawing.in_order:
        assert part.outside_mm is not None
        widest = max(diameter for _, diameter in section.outline(part.position))
        assert widest == pytest.approx(float(part.outside_mm), abs=2e-3)
        opening = END.crimp_mm if part.tool is Labelled.DIES else part.bore_mm
        assert opening is not None
        assert section.opening(part.position) == pytest.approx(float(opening), abs=2e-3)


def test_dies_in_one_cone_narrow_away_from_the_ram_by_their_taper() -> None:
    (_, wide), (_, narrow) = Section(WITH_A_PART).outline(3)
    assert wide == pytest.approx(84, abs=2e-3)
    # A cone of 10° to the axis loses 2 · 60 mm · tan 10° = 21.159 mm of diameter over the die.
    assert narrow == pytest.approx(84 - 21.159, abs=3e-3)


@ALL_STOPS
def test_dies_in_two_cones_are_widest_in_the_middle(drawing: SetUpDrawing) -> None:
    position = drawing.in_order[-1].position
    left, middle, right = Section(replace(drawing, dies=TWO)).outline(position)
    assert middle[1] == pytest.approx(84, abs=2e-3)
    assert middle[0] == pytest.approx((left[0] + right[0]) / 2, abs=2e-3)
    fall = 2 * 30 * math.tan(math.radians(10))
    assert (left[1], right[1]) == pytest.approx((84 - fall, 84 - fall), abs=3e-3)


def test_what_the_dies_slide_on_is_drawn_heavy() -> None:
    section = Section(WITH_A_PART)
    assert len(inside(section.group(3), "fb-slide")) == 2
    assert not inside(Section(replace(WITH_A_PART, dies=STRAIGHT)).group(3), "fb-slide")


@ALL_STOPS
def test_the_ferrule_lies_in_the_middle_of_the_dies_and_the_hose_stops_in_it(drawing: SetUpDrawing) -> None:
    section = Section(drawing)
    dies = section.span(drawing.in_order[-1].position)
    above = section.drawn.all("fb-ferrule")[0]
    left = section.x(float(above.attrib["x"]))
    right = left + float(above.attrib["width"]) / section.scale
    # 60 mm of dies and 38 mm of ferrule leave 11 mm at each end.
    assert (left - dies[0], dies[1] - right) == pytest.approx((11, 11), abs=2e-3)
    hose_end = section.x(section.drawn.number("fb-hose-end", "x1"))
    assert right - hose_end == pytest.approx(31, abs=2e-3)
    for hose in section.drawn.all("fb-hose"):
        *_, (step, _), (_, outside) = points(hose)
        assert section.x(step) == pytest.approx(right, abs=2e-3)  # squeezed up to the ferrule's mouth
        assert section.diameter(outside) == pytest.approx(20.6, abs=2e-3)
    bores = {section.diameter(float(line.attrib["y1"])) for line in section.drawn.all("fb-bore")}
    assert [round(bore, 2) for bore in bores] == [12.7] * len(bores)
    assert section.diameter(float(above.attrib["y"])) == pytest.approx(23.8, abs=2e-3)


@pytest.mark.parametrize(
    ("drawing", "labels"),
    [
        (WITH_A_PART, ["stop 6.2 mm", "hose in 31 mm", "ferrule 38 mm", "dies 60 mm"]),
        (WITH_A_DIAL, ["hose in 31 mm", "ferrule 38 mm", "dies 60 mm"]),
        (replace(WITH_A_SET_POINT, end=None), ["dies 60 mm"]),
    ],
)
def test_the_measures_that_matter_are_written(drawing: SetUpDrawing, labels: list[str]) -> None:
    drawn = Drawn(draw_setup(drawing))
    assert [text for text in drawn.texts if text.endswith(" mm")] == labels


def test_a_measure_is_as_long_as_it_says() -> None:
    section = Section(WITH_A_PART)
    for name, mm in (("stop-thickness", 6.2), ("insertion", 31), ("ferrule-length", 38), ("dies-length", 60)):
        line = section.drawn.one(f"fb-{name}")
        assert float(line.attrib["x2"]) - float(line.attrib["x1"]) == pytest.approx(
            mm * section.scale, abs=2e-3
        )


def test_measures_are_in_the_unit_of_the_workshop() -> None:
    inches = replace(DIES, thickness_mm=Decimal("50.8"))
    drawn = Drawn(draw_setup(SetUpDrawing((PUSHER, inches), dies=TWO, unit=LengthUnit.IN)))
    assert "dies 2 in" in drawn.texts


def test_a_dial_and_a_key_pad_say_where_the_setter_starts() -> None:
    for drawing, sign in ((WITH_A_DIAL, "fb-dial"), (WITH_A_SET_POINT, "fb-key-pad")):
        drawn = Drawn(draw_setup(drawing))
        assert drawing.stop is not None
        assert drawn.text("fb-stop-value") == drawing.stop.words
        assert drawn.all(sign)
    assert not Drawn(draw_setup(WITH_A_PART)).all("fb-stop-value")


@pytest.mark.parametrize("missing", ["thickness_mm", "outside_mm", "bore_mm"])
def test_what_was_not_typed_is_a_broken_line_and_said_to_be(missing: str) -> None:
    lines = {"thickness_mm": "fb-face", "outside_mm": "fb-outside", "bore_mm": "fb-opening"}
    nothing: dict[str, Any] = {missing: None}
    drawing = replace(WITH_A_PART, parts=(PUSHER, replace(STOP, **nothing), DIES))
    drawn = Drawn(draw_setup(drawing))
    broken = {
        class_: all("stroke-dasharray" in e.attrib for e in inside(drawn.one("fb-stack-2"), class_))
        for class_ in lines.values()
    }
    assert [class_ for class_, is_broken in broken.items() if is_broken] == [lines[missing]]
    assert "broken outline: not known, not to scale" in drawn.texts
    assert "broken outline: not known, not to scale" not in Drawn(draw_setup(WITH_A_PART)).texts


@pytest.mark.parametrize("dies", [Dies(), Dies(True, Tapers.ONE), Dies(True, Tapers.TWO, Decimal(45))])
def test_a_taper_that_is_not_known_or_leaves_nothing_of_the_dies_is_no_measure(dies: Dies) -> None:
    slim = replace(DIES, outside_mm=Decimal(70))
    drawn = Drawn(draw_setup(SetUpDrawing((PUSHER, slim), dies=dies, end=END)))
    outside = inside(drawn.one("fb-stack-3"), "fb-slide") or inside(drawn.one("fb-stack-3"), "fb-outside")
    assert all("stroke-dasharray" in line.attrib for line in outside)


def test_a_ferrule_that_is_part_of_its_fitting_has_no_length_of_its_own() -> None:
    drawn = Drawn(draw_setup(replace(WITH_A_PART, end=replace(END, ferrule_mm=None))))
    assert "stroke-dasharray" in drawn.all("fb-ferrule")[0].attrib
    assert not drawn.all("fb-ferrule-length")
    assert not drawn.all("fb-ferrule-section")
    assert "ferrule, drawn without section: its length is not known" in drawn.texts
    assert "broken outline: not known, not to scale" not in drawn.texts


def test_an_end_is_drawn_in_the_dies_only_if_the_workshop_said_which_part_they_are() -> None:
    unnamed = replace(WITH_A_PART, parts=(PUSHER, replace(DIES, tool=Labelled.NEITHER)))
    drawn = Drawn(draw_setup(unnamed))
    assert not drawn.all("fb-hose-end")
    assert "hose" in drawn.texts


def test_parts_follow_each_other_from_the_ram_to_the_hose_whatever_the_order_given() -> None:
    section = Section(replace(WITH_A_PART, parts=(DIES, STOP, PUSHER)))
    starts = [section.span(n)[0] for n in (1, 2, 3)]
    assert all(one < other for one, other in pairwise(starts))
    ram = section.drawn.one("fb-ram")
    assert max(x for x, _ in points(ram)) < section.left


def test_only_what_was_scanned_is_lit_and_only_what_is_next_is_ringed() -> None:
    lit = replace(
        WITH_A_PART,
        parts=(PUSHER, replace(STOP, light=Light.ASKED), replace(DIES, light=Light.THERE)),
        ram=Light.THERE,
    )
    drawn = Drawn(draw_setup(lit))
    for position, filled, ticked, ringed in ((1, 0, 0, 0), (2, 0, 0, 1), (3, 2, 1, 0)):
        group = drawn.one(f"fb-stack-{position}")
        found = [len(inside(group, class_)) for class_ in ("fb-lit", "fb-tick", "fb-asked-ring")]
        assert found == [filled, ticked, ringed]
    assert inside(drawn.one("fb-press"), "fb-tick")
    assert "2: stop ring, S 14, 6.2 mm thick" in drawn.title
    assert "to be scanned now" in drawn.title
    assert not Drawn(draw_setup(WITH_A_PART)).all("fb-tick")


def test_balloons_of_thin_neighbours_do_not_cover_each_other() -> None:
    rings = tuple(
        replace(STOP, position=n, tool=Labelled.NEITHER, thickness_mm=Decimal(3)) for n in range(2, 6)
    )
    drawn = Drawn(draw_setup(replace(WITH_A_DIAL, parts=(PUSHER, *rings, replace(DIES, position=6)))))
    balloons = [(float(e.attrib["cx"]), float(e.attrib["cy"])) for e in drawn.all("fb-balloon")]
    assert len(balloons) == 6
    assert min(math.dist(one, other) for one, other in combinations(balloons, 2)) > 2 * 13
    assert min(y for _, y in balloons) - 13 > 40  # below the dial's value


def test_hatching_stays_inside_the_part() -> None:
    section = Section(WITH_A_PART)
    for position in (1, 2, 3):
        left, right = section.span(position)
        widest = max(diameter for _, diameter in section.outline(position))
        for hatch in inside(section.group(position), "fb-section"):
            for stroke in hatch.attrib["d"].strip("M").split("M"):
                for x, y in (map(float, point.split(" ")) for point in stroke.split("L")):
                    assert left - 1e-2 <= section.x(x) <= right + 1e-2
                    assert section.opening(position) - 1e-2 <= section.diameter(y) <= widest + 1e-2


def test_everything_is_on_the_sheet() -> None:
    thin = replace(PUSHER, thickness_mm=Decimal(400), outside_mm=Decimal(30), bore_mm=None)
    for drawing in (WITH_A_PART, WITH_A_DIAL, SetUpDrawing((thin,)), SetUpDrawing((DIES,), end=END)):
        drawn = Drawn(draw_setup(drawing))
        width, height = drawn.size
        for element in drawn.root.iter():
            for name, most in (("x1", width), ("x2", width), ("y1", height), ("y2", height)):
                assert 0 <= float(element.get(name, 0)) <= most


def test_the_title_says_role_mark_attitude_and_what_must_be_out() -> None:
    title = Drawn(draw_setup(replace(WITH_A_DIAL, take_out=("spacer R-1", "the back stop")))).title
    assert (
        "1: pusher, two notches, flat side towards the ram, 22 mm thick, 90 mm outside, 44 mm open" in title
    )
    assert "3: die set, D 24 A, stamped face to the hose, 60 mm thick" in title
    assert DIAL.words in title
    assert title.endswith("take out: spacer R-1, the back stop")


def test_an_arrow_shows_which_way_a_part_faces() -> None:
    drawn = Drawn(draw_setup(WITH_A_PART))
    assert drawn.number("fb-faces-ram", "x2") < drawn.number("fb-faces-ram", "x1")
    assert drawn.number("fb-faces-hose", "x2") > drawn.number("fb-faces-hose", "x1")


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


def test_parts_of_which_nothing_is_known_are_all_broken_lines() -> None:
    parts = (PartDrawing(1, "pusher", "", "", None), PartDrawing(2, "ring", "", "", None))
    drawn = Drawn(draw_setup(SetUpDrawing(parts)))
    assert all("stroke-dasharray" in line.attrib for line in drawn.all("fb-face"))
    assert not drawn.all("fb-section")


def test_a_set_up_without_parts_says_so() -> None:
    title = Drawn(draw_setup(SetUpDrawing(()))).title
    assert title == "Set-up of the crimper from the ram to the hose: no parts"
