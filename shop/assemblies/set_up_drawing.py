"""The set-up for an end as its drawing needs it: the parts in the crimper, and the end in the dies."""

from collections.abc import Collection

from shop.assemblies.models import Assembly, End
from shop.catalogue.models import StopKind
from shop.drawings.setup import EndInDies, Labelled, Light, SetUpDrawing, StopValue
from shop.engineering.lengths import LengthUnit
from shop.tooling.drawing import drawing_of_arrangement
from shop.tooling.models import Arrangement
from shop.tooling.scales import start_on_scale

CRIMPER = "crimper"
SCANNED_AS = {"die set": Labelled.DIES, "stop part": Labelled.STOP}


def set_up_drawing(
    assembly: Assembly,
    end: End,
    arrangement: Arrangement,
    unit: LengthUnit,
    *,
    there: Collection[str] = (),
    asked: str = "",
) -> SetUpDrawing:
    """The arrangement with that end in its dies.

    `there` are the roles that were scanned ('crimper', 'die set', 'stop part'), `asked` the next one.
    """
    specification = assembly.specification(end)

    def light(role: str) -> Light:
        if role in there:
            return Light.THERE
        return Light.ASKED if role == asked else Light.OFF

    start = start_on_scale(specification, arrangement.crimper)
    return drawing_of_arrangement(
        arrangement,
        unit,
        end=end_in_dies(assembly, end),
        stop=None if start is None else StopValue(start.kind == StopKind.DIAL, start.words),
        ram=light(CRIMPER),
        lights={tool: light(role) for role, tool in SCANNED_AS.items()},
    )


def end_in_dies(assembly: Assembly, end: End) -> EndInDies:
    """Hose, ferrule, insertion and crimp diameter of that end, as it was confirmed."""
    specification, hose = assembly.specification(end), assembly.resolution.hose
    return EndInDies(
        hose_od_mm=hose.outside_diameter,
        hose_bore_mm=hose.bore,
        ferrule_mm=None if specification.ferrule is None else specification.ferrule.length,
        insertion_mm=specification.insertion_depth or assembly.fitting(end).insertion_depth,
        crimp_mm=specification.target,
    )
