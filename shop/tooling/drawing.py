"""An arrangement as its drawing needs it."""

from collections.abc import Mapping

from shop.catalogue.models import DieTapers, DieType
from shop.drawings.setup import Dies, EndInDies, Labelled, Light, PartDrawing, SetUpDrawing, StopValue
from shop.engineering.lengths import LengthUnit
from shop.engineering.stop_geometry import Tapers
from shop.tooling.models import Arrangement, ArrangementPart, PartTool

LABELLED = {PartTool.DIE_SET.value: Labelled.DIES, PartTool.STOP.value: Labelled.STOP, "": Labelled.NEITHER}


def drawing_of_arrangement(
    arrangement: Arrangement,
    unit: LengthUnit,
    *,
    end: EndInDies | None = None,
    stop: StopValue | None = None,
    ram: Light = Light.OFF,
    lights: Mapping[Labelled, Light] | None = None,
) -> SetUpDrawing:
    """The parts as they were typed, with the end that is crimped and what was scanned of them, if any."""
    lit = lights or {}
    return SetUpDrawing(
        parts=tuple(_part(part, lit) for part in arrangement.parts.all()),
        take_out=arrangement.taken_out,
        dies=dies_drawn(arrangement.die_type),
        end=end,
        stop=stop,
        ram=ram,
        unit=unit,
    )


def dies_drawn(die_type: DieType) -> Dies:
    """What is known of the dies; their measures across are those of the part that they are."""
    has_cone = die_type.tapers in (DieTapers.ONE, DieTapers.TWO)
    return Dies(
        has_cone=has_cone if die_type.tapers else None,
        tapers=Tapers(die_type.tapers) if has_cone else None,
        taper_deg=die_type.taper_deg,
        closed_mm=die_type.closed_diameter,
    )


def _part(part: ArrangementPart, lights: Mapping[Labelled, Light]) -> PartDrawing:
    """A die set or a stop part whose thickness was not typed is as thick as its type."""
    tool = LABELLED[part.tool]
    of_type = None
    if tool is Labelled.DIES:
        of_type = part.arrangement.die_type.length
    elif tool is Labelled.STOP and part.arrangement.stop_type is not None:
        of_type = part.arrangement.stop_type.thickness
    return PartDrawing(
        position=part.position,
        role=part.role,
        mark=part.mark,
        attitude=part.attitude,
        thickness_mm=part.thickness if part.thickness is not None else of_type,
        outside_mm=part.outside_diameter,
        bore_mm=part.bore,
        tool=tool,
        light=lights.get(tool, Light.OFF) if part.tool else Light.OFF,
    )
