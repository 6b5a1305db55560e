"""An arrangement as it is drawn: each part with what was typed of it, or of its type."""

from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError

from shop.catalogue.models import DieTapers
from shop.catalogue.services import save_die_type
from shop.drawings.setup import Labelled
from shop.engineering.lengths import LengthUnit
from shop.engineering.stop_geometry import Tapers
from shop.tooling.drawing import dies_drawn, drawing_of_arrangement
from shop.tooling.models import ArrangementPart, PartTool
from shop.tooling.services import save_arrangement
from tests.factories import DieTypeFactory
from tests.world import World

pytestmark = pytest.mark.django_db


def test_dies_and_stop_without_a_thickness_are_as_thick_as_their_types(world: World) -> None:
    world.die_type.length = Decimal(60)
    world.arrangement.die_type = save_die_type(actor=world.inspector, die_type=world.die_type)
    parts = [
        ArrangementPart(role="pusher", thickness=Decimal(22)),
        ArrangementPart(role="ring", tool=PartTool.STOP),
        ArrangementPart(role="dies", tool=PartTool.DIE_SET, outside_diameter=Decimal(84)),
    ]
    save_arrangement(actor=world.bench, arrangement=world.arrangement, parts=parts)
    drawn = drawing_of_arrangement(world.arrangement, LengthUnit.MM)
    assert [part.thickness_mm for part in drawn.in_order] == [22, 6, 60]
    assert [part.tool for part in drawn.in_order] == [Labelled.NEITHER, Labelled.STOP, Labelled.DIES]
    assert drawn.in_order[2].outside_mm == 84
    assert drawn.take_out == ("the spacer plate",)


def test_a_measured_thickness_goes_before_that_of_the_type(world: World) -> None:
    parts = [ArrangementPart(role="ring", tool=PartTool.STOP, thickness=Decimal("5.98"))]
    save_arrangement(actor=world.bench, arrangement=world.arrangement, parts=parts)
    [ring] = drawing_of_arrangement(world.arrangement, LengthUnit.MM).parts
    assert ring.thickness_mm == Decimal("5.98")


@pytest.mark.parametrize(
    ("typed", "has_cone", "tapers"),
    [
        (DieTapers.ONE, True, Tapers.ONE),
        (DieTapers.TWO, True, Tapers.TWO),
        (DieTapers.NONE, False, None),
        ("", None, None),
    ],
)
def test_what_dies_slide_in_is_drawn_as_typed(
    typed: str, has_cone: bool | None, tapers: Tapers | None
) -> None:
    dies = dies_drawn(DieTypeFactory(tapers=typed))
    assert (dies.has_cone, dies.tapers) == (has_cone, tapers)


@pytest.mark.parametrize(("tapers", "degrees"), [("none", "9"), ("", "9"), ("one", "0"), ("two", "45.5")])
def test_a_taper_is_half_the_angle_of_a_cone_that_is_there(world: World, tapers: str, degrees: str) -> None:
    die_type = DieTypeFactory.build(tapers=tapers, taper_deg=Decimal(degrees))
    with pytest.raises(ValidationError, match="slide in a cone"):
        save_die_type(actor=world.inspector, die_type=die_type)


@pytest.mark.parametrize(
    ("parts", "sentence"),
    [
        ([{"tool": "die_set"}, {"tool": "die_set"}], "scanned as the same tool"),
        ([{"outside_diameter": Decimal(40), "bore": Decimal(40)}], "larger outside than its opening"),
    ],
)
def test_parts_that_cannot_be_are_refused(
    world: World, parts: list[dict[str, object]], sentence: str
) -> None:
    with pytest.raises(ValidationError, match=sentence):
        save_arrangement(
            actor=world.bench,
            arrangement=world.arrangement,
            parts=[ArrangementPart(role="ring", **values) for values in parts],
        )
