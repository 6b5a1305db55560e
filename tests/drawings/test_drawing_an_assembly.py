import math
from dataclasses import replace
from decimal import Decimal

import pytest

from shop.drawings.assembly import AssemblyDrawing, EndDrawing, draw_assembly
from tests.drawings.reading import Drawn

STRAIGHT = EndDrawing(
    label="swivel nut",
    form="straight",
    angle_deg=Decimal(0),
    drop_mm=Decimal(0),
    cut_off_mm=Decimal(30),
    insertion_mm=Decimal(28),
    datum="seat",
    connection="37° flare -8",
    ferrule_length_mm=Decimal(32),
)
ELBOW = replace(
    STRAIGHT,
    form="90° bend",
    angle_deg=Decimal(90),
    drop_mm=Decimal(48),
    cut_off_mm=Decimal(38),
    datum="centreline",
)
SHORT = AssemblyDrawing(
    hose_od_mm=Decimal(23),
    bore_mm=Decimal("12.7"),
    overall_mm=Decimal(310),
    cut_mm=Decimal(250),
    end_a=STRAIGHT,
    end_b=STRAIGHT,
    orientation_deg=None,
    overall_label="310 mm",
    cut_label="250 mm",
)
BENT = replace(SHORT, end_a=ELBOW, end_b=ELBOW, cut_mm=Decimal(234), orientation_deg=Decimal(90))


def drawn(assembly: AssemblyDrawing) -> Drawn:
    return Drawn(draw_assembly(assembly))


def length_of(drawing: Drawn, class_: str) -> float:
    return abs(drawing.number(class_, "x2") - drawing.number(class_, "x1"))


def gap_between(drawing: Drawn, class_: str) -> float:
    heights = {float(line.attrib["y1"]) for line in drawing.all(class_)}
    return max(heights) - min(heights)


def hand_deg(drawing: Drawn, class_: str) -> float:
    """Degrees counter-clockwise from six o'clock, read off the hand's ends."""
    across = drawing.number(class_, "x2") - drawing.number(class_, "x1")
    down = drawing.number(class_, "y2") - drawing.number(class_, "y1")
    return math.degrees(math.atan2(across, down)) % 360


def test_hose_bore_ferrules_and_lengths_are_to_one_scale() -> None:
    drawing = drawn(SHORT)
    scale = gap_between(drawing, "fb-hose") / 23
    assert gap_between(drawing, "fb-bore") / scale == pytest.approx(12.7, abs=0.01)
    for ferrule in ("fb-ferrule-a", "fb-ferrule-b"):
        assert drawing.number(ferrule, "width") / scale == pytest.approx(32, abs=0.01)
    assert length_of(drawing, "fb-overall") / scale == pytest.approx(310, abs=0.01)
    assert length_of(drawing, "fb-cut") / scale == pytest.approx(250, abs=0.01)


def test_the_hose_ends_where_its_cut_length_says_hidden_in_the_ferrule() -> None:
    drawing = drawn(SHORT)
    for end, edge in (("a", "x1"), ("b", "x2")):
        assert drawing.number(f"fb-hose-end-{end}", "x1") == drawing.number("fb-cut", edge)
        ferrule = drawing.number(f"fb-ferrule-{end}", "x")
        assert (
            ferrule < drawing.number("fb-cut", edge) < ferrule + drawing.number(f"fb-ferrule-{end}", "width")
        )


def test_the_hose_comes_into_sight_an_insertion_depth_from_its_end() -> None:
    drawing = drawn(SHORT)
    scale = gap_between(drawing, "fb-hose") / 23
    start = min(float(line.attrib["x1"]) for line in drawing.all("fb-hose"))
    assert (start - drawing.number("fb-cut", "x1")) / scale == pytest.approx(28, abs=0.01)


def test_the_figures_are_the_labels_as_given() -> None:
    drawing = drawn(replace(SHORT, overall_label="12 13/64 in", cut_label='9 27/32 "'))
    assert drawing.text("fb-overall-label") == "12 13/64 in"
    assert drawing.text("fb-cut-label") == 'cut 9 27/32 "'


def test_a_long_hose_is_broken_and_says_so_but_its_ends_stay_to_scale() -> None:
    drawing = drawn(replace(SHORT, overall_mm=Decimal(2310), cut_mm=Decimal(2250)))
    scale = gap_between(drawing, "fb-hose") / 23
    assert drawing.number("fb-ferrule-a", "width") / scale == pytest.approx(32, abs=0.01)
    assert len(drawing.all("fb-break")) == 2
    assert "not to length" in drawing.texts
    assert drawing.title.endswith("not to length")


@pytest.mark.parametrize(("overall", "is_broken"), [(322, False), (323, True)])
def test_fourteen_diameters_are_still_drawn_to_length(overall: int, is_broken: bool) -> None:
    assembly = replace(SHORT, overall_mm=Decimal(overall), cut_mm=Decimal(overall - 60))
    assert bool(drawn(assembly).all("fb-break")) is is_broken


@pytest.mark.parametrize("angle", [0, 45, 90, 135, 180, 270, 345])
def test_the_clock_shows_the_angle_counter_clockwise_from_six(angle: int) -> None:
    drawing = drawn(replace(BENT, orientation_deg=Decimal(angle)))
    assert hand_deg(drawing, "fb-hand-near") == pytest.approx(0, abs=0.01)
    assert hand_deg(drawing, "fb-hand-far") == pytest.approx(angle, abs=0.01)
    assert drawing.text("fb-orientation-label") == f"{angle}°"


def test_90_points_to_three_o_clock_and_270_to_nine() -> None:
    right, left = (drawn(replace(BENT, orientation_deg=Decimal(angle))) for angle in (90, 270))
    assert right.number("fb-hand-far", "x2") > right.number("fb-hand-far", "x1")
    assert left.number("fb-hand-far", "x2") < left.number("fb-hand-far", "x1")


def test_at_90_the_far_end_faces_the_onlooker_and_at_270_it_is_behind() -> None:
    towards, away = (drawn(replace(BENT, orientation_deg=Decimal(angle))) for angle in (90, 270))
    assert towards.all("fb-outlet-bore")
    assert "stroke-dasharray" not in towards.one("fb-outlet-b").attrib
    assert not away.all("fb-outlet-bore")
    assert "stroke-dasharray" in away.one("fb-outlet-b").attrib


def test_0_and_360_are_the_same_drawing_but_for_the_figure() -> None:
    nought, full = (draw_assembly(replace(BENT, orientation_deg=Decimal(angle))) for angle in (0, 360))
    assert full.replace("360°", "0°") == nought


@pytest.mark.parametrize(("angle", "side"), [(0, 1), (180, -1)])
def test_the_drop_is_to_scale_below_or_above_the_axis(angle: int, side: int) -> None:
    drawing = drawn(replace(BENT, orientation_deg=Decimal(angle)))
    scale = gap_between(drawing, "fb-hose") / 23
    drop = (drawing.number("fb-outlet-b", "y1") - drawing.number("fb-axis", "y1")) / scale
    assert drop == pytest.approx(side * 48, abs=0.01)


def test_a_bend_turns_by_its_angle() -> None:
    bend = replace(ELBOW, form="45° bend", angle_deg=Decimal(45), drop_mm=Decimal(25), cut_off_mm=Decimal(60))
    d = drawn(replace(BENT, end_a=bend)).one("fb-centreline-a").attrib["d"]
    *_, before, last = [tuple(map(float, point.split())) for point in d.removeprefix("M").split("L")]
    assert math.degrees(math.atan2(last[1] - before[1], before[0] - last[0])) == pytest.approx(45, abs=0.1)


def test_the_overall_length_of_bent_ends_runs_between_their_centrelines() -> None:
    drawing = drawn(replace(BENT, orientation_deg=Decimal(0)))
    for end, edge in (("a", "x1"), ("b", "x2")):
        outlet = drawing.one(f"fb-outlet-{end}").attrib
        middle = (float(outlet["x1"]) + float(outlet["x2"])) / 2
        assert middle == pytest.approx(drawing.number("fb-overall", edge), abs=0.01)


@pytest.mark.parametrize(
    ("datum", "class_"), [("seat", "fb-seat"), ("thread_end", "fb-thread"), ("face", "fb-tip")]
)
def test_each_datum_has_its_own_form(datum: str, class_: str) -> None:
    assert drawn(replace(SHORT, end_a=replace(STRAIGHT, datum=datum), end_b=ELBOW)).all(class_)


def test_an_assembly_without_an_angle_has_no_clock() -> None:
    assert not drawn(SHORT).all("fb-clock")


def test_names_typed_by_the_workshop_are_only_ever_text() -> None:
    end = replace(STRAIGHT, label="<b>&\"'", connection="</text><script>")
    drawing = drawn(replace(SHORT, end_a=end))
    assert drawing.text("fb-end-a") == "<b>&\"' </text><script> straight"


def test_the_title_says_all_that_is_drawn() -> None:
    assert drawn(BENT).title == (
        "Hose assembly, 310 mm overall, hose cut to 250 mm; "
        "end A: swivel nut, 90° bend, 37° flare -8; end B: swivel nut, 90° bend, 37° flare -8; "
        "end B 90° counter-clockwise from end A, seen from A"
    )


@pytest.mark.parametrize("od", ["6", "23", "80"])
@pytest.mark.parametrize("overall", ["120", "400", "9000"])
def test_the_drawing_stays_on_its_sheet(od: str, overall: str) -> None:
    assembly = replace(
        BENT, hose_od_mm=Decimal(od), bore_mm=Decimal(od) / 2, overall_mm=Decimal(overall), cut_mm=Decimal(10)
    )
    drawing = drawn(assembly)
    width, height = drawing.size
    for line in drawing.root.iter("{http://www.w3.org/2000/svg}line"):
        assert all(0 <= float(line.attrib[x]) <= width for x in ("x1", "x2"))
        assert all(0 <= float(line.attrib[y]) <= height for y in ("y1", "y2"))


def test_the_same_data_give_the_same_drawing() -> None:
    assert draw_assembly(BENT) == draw_assembly(replace(BENT))


@pytest.mark.parametrize("drop", [None, Decimal(0)])
def test_a_bend_whose_drop_nobody_entered_is_still_a_bend_and_says_so(drop: Decimal | None) -> None:
    drawing = drawn(replace(BENT, end_a=replace(ELBOW, drop_mm=drop)))
    assert drawing.all("fb-centreline-a")
    assert "37° flare -8, drop not known; end B" in drawing.title


@pytest.mark.parametrize("angle", [15, 120, 150, 169, 171, 180])
def test_a_bend_of_any_angle_ends_at_its_datum_and_its_drop(angle: int) -> None:
    drawing = drawn(replace(BENT, end_a=replace(ELBOW, angle_deg=Decimal(angle))))
    scale = gap_between(drawing, "fb-hose") / 23
    d = drawing.one("fb-centreline-a").attrib["d"]
    points = [tuple(map(float, point.split())) for point in d.removeprefix("M").split("L")]
    x, y = points[-1]
    assert x == pytest.approx(drawing.number("fb-overall", "x1"), abs=0.01)
    assert (y - drawing.number("fb-axis", "y1")) / scale == pytest.approx(48, abs=0.01)
    assert all(0 < px < drawing.size[0] and 0 < py < drawing.size[1] for px, py in points)
