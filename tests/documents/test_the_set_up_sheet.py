"""The set-up sheet: what it says is what the chart and the arrangement say today; one page of A4."""

from decimal import Decimal

import pytest

from shop.assemblies.models import Assembly, End
from shop.assemblies.refusals import ChartMovedOn
from shop.catalogue.models import DieTapers, Skive, StopKind
from shop.catalogue.services import save_die_type, save_ferrule
from shop.documents.refusals import NothingToSetUp
from shop.documents.set_up_sheet import SetUpSheet, render_set_up_sheet, set_up_sheet
from shop.tooling.models import Arrangement, ArrangementPart, Crimper, PartTool
from shop.tooling.services import save_arrangement, save_crimper
from tests.assemblies.bench import plan, reissue
from tests.documents.reading import pages_of, text_of
from tests.world import World

pytestmark = pytest.mark.django_db

STACK = (
    {"role": "pusher", "mark": "two notches", "attitude": "chamfer to the ram", "thickness": Decimal(22)},
    {"role": "stop ring", "attitude": "flat side to the hose", "tool": PartTool.STOP},
    {"role": "die set", "attitude": "narrow end to the hose", "tool": PartTool.DIE_SET},
)


def measure_the_tools(world: World, tapers: DieTapers = DieTapers.ONE) -> None:
    """The workshop types how long its dies are, and which parts are scanned."""
    world.die_type.length, world.die_type.tapers = Decimal(60), tapers
    save_die_type(actor=world.inspector, die_type=world.die_type)
    save_arrangement(
        actor=world.bench, arrangement=world.arrangement, parts=[ArrangementPart(**part) for part in STACK]
    )


def sheet_of(assembly: Assembly, crimper: Crimper | None = None) -> SetUpSheet:
    return set_up_sheet(assembly=Assembly.objects.get(pk=assembly.pk), end=End.A, crimper=crimper)


def with_a_value(world: World, kind: StopKind, offset: str | None) -> Assembly:
    """An assembly whose chart gives a value, and a crimper of that kind."""
    crimper = save_crimper(
        actor=world.bench,
        crimper=Crimper(number="press 8", stop_kind=kind, offset=None if offset is None else Decimal(offset)),
    )
    save_arrangement(
        actor=world.bench,
        arrangement=Arrangement(crimper=crimper, die_type=world.die_type),
        parts=[ArrangementPart(**part) for part in (STACK[0], STACK[2])],
    )
    reissue(world, "2", stop_kind=kind, stop_type=None, stop_setting="4.6")
    return plan(world)


def test_it_says_what_goes_in_what_comes_out_and_where_to_measure(world: World) -> None:
    measure_the_tools(world)
    text = " ".join(text_of(render_set_up_sheet(sheet_of(plan(world)))).split())
    for words in (
        "Set-up sheet, end A",
        str(world.crimper),
        f"stop part {world.stop_type}",
        "1 pusher, two notches chamfer to the ram 22 mm thick look and tick",
        "2 stop ring flat side to the hose 6 mm thick scan its label",
        "3 die set narrow end to the hose 60 mm thick scan its label",
        "Take out: the spacer plate",
        "Crimp diameter 24.20 mm",
        "Limits 24.00 mm to 24.40 mm",
        "Where mid-length, across the flats",
        "How 4 readings",
        "Judged the mean of the readings",
        "Crimp again no: the chart doesn't allow it",
        "local codes and licensed practice govern",
    ):
        assert words in text, words


@pytest.mark.parametrize(
    ("kind", "offset", "told"),
    [
        (StopKind.DIAL, "0.2", "dial: start at 4.8 (the chart gives 4.6, this scale reads 0.2 at nought)"),
        (StopKind.NUMERIC, None, "set-point: start at 4.6 (as the chart gives it)"),
    ],
)
def test_a_value_is_a_start_and_said_to_be(
    world: World, kind: StopKind, offset: str | None, told: str
) -> None:
    measure_the_tools(world, DieTapers.TWO)
    sheet = sheet_of(with_a_value(world, kind, offset))
    assert sheet.stop_words == told
    assert f"Set the {told}." in sheet.steps
    assert sheet.steps[-1].startswith("If it is off, correct the value for the next end")
    assert any("only what the caliper reads" in sentence for sentence in sheet.unsafe)
    assert sheet.drawing.stop is not None
    assert sheet.drawing.stop.words == told


def test_with_a_stop_part_nobody_is_told_to_change_the_stop(world: World) -> None:
    measure_the_tools(world)
    sheet = sheet_of(plan(world))
    assert not any("correct the value" in step for step in sheet.steps)
    assert any("The chart prescribes the stop" in sentence for sentence in sheet.unsafe)


def test_it_tells_how_far_the_hose_goes_in_and_how_much_die_stands_beside_the_ferrule(world: World) -> None:
    measure_the_tools(world)
    world.ferrule.length = Decimal(34)
    save_ferrule(actor=world.inspector, ferrule=world.ferrule)
    sheet = sheet_of(plan(world))
    insertion = sheet.show(world.fitting.insertion_depth)
    assert sheet.drawing.end is not None
    assert sheet.drawing.end.ferrule_mm == 34
    assert any(f"Mark the hose {insertion} from its end" in step for step in sheet.steps)
    # (60 − 34) / 2
    assert any("13 mm of die beside it at each end" in step for step in sheet.steps)


def test_a_ferrule_longer_than_the_dies_is_warned_of(world: World) -> None:
    measure_the_tools(world)
    world.ferrule.length = Decimal(61)
    save_ferrule(actor=world.inspector, ferrule=world.ferrule)
    [warning] = sheet_of(plan(world)).warnings
    assert "The ferrule is 61 mm long and the dies are 60 mm" in warning


def test_dies_that_nobody_named_are_said_to_be_missing_from_the_drawing(world: World) -> None:
    [warning] = sheet_of(plan(world)).warnings
    assert "doesn't say which part is the die set" in warning


def test_skiving_is_a_step_of_its_own_only_where_the_chart_says_so(world: World) -> None:
    assert not any("Skive" in step for step in sheet_of(plan(world)).steps)
    reissue(world, "2", skive=Skive.OUTSIDE, skive_length=Decimal(30))
    assert "Skive outside over 30 mm, no more." in sheet_of(plan(world)).steps


def test_it_is_one_page_of_a4_however_much_is_typed(world: World) -> None:
    measure_the_tools(world)
    assembly = plan(world)
    assert [(round(w), round(h)) for w, h in pages_of(render_set_up_sheet(sheet_of(assembly)))] == [
        (210, 297)
    ]
    long = {"mark": "two file strokes on the rim, painted band", "attitude": "deep chamfer to the hose"}
    world.arrangement.take_out = "; ".join(["the protection sleeve of the last job"] * 4)
    parts = [
        ArrangementPart(
            role=f"pusher ring {n}", thickness=Decimal("12.35"), outside_diameter=Decimal("101.65"),
            bore=Decimal("60.35"), tool=PartTool.DIE_SET if n == 8 else "", **long,
        )
        for n in range(1, 9)
    ]  # fmt: skip
    save_arrangement(actor=world.bench, arrangement=world.arrangement, parts=parts)
    assert len(pages_of(render_set_up_sheet(sheet_of(assembly)))) == 1


def test_there_is_no_sheet_to_a_chart_that_has_moved_on(world: World) -> None:
    assembly = plan(world)
    reissue(world, "2", target=Decimal("24.3"))
    with pytest.raises(ChartMovedOn):
        sheet_of(assembly)


def test_there_is_no_sheet_for_a_crimper_that_may_not_be_used(world: World) -> None:
    assembly = plan(world)
    world.crimper.blocked_because = "it leaks"
    save_crimper(actor=world.bench, crimper=world.crimper)
    with pytest.raises(NothingToSetUp):
        sheet_of(assembly)
    with pytest.raises(NothingToSetUp):
        sheet_of(assembly, world.crimper)


def test_another_crimper_that_serves_has_its_own_sheet(world: World) -> None:
    other = save_crimper(actor=world.bench, crimper=Crimper(number="press 9", stop_kind=StopKind.PART))
    arrangement = Arrangement(crimper=other, die_type=world.die_type, stop_type=world.stop_type)
    save_arrangement(actor=world.bench, arrangement=arrangement, parts=[ArrangementPart(role="long pusher")])
    assembly = plan(world)
    assert [part.role for part in sheet_of(assembly, other).parts] == ["long pusher"]
    assert set(sheet_of(assembly).crimpers) == {world.crimper, other}
