"""The registers of the tool cabinet."""

from collections.abc import Mapping
from functools import partial
from typing import Any

from django.db.models import Count
from django.utils.safestring import mark_safe

from shop.assemblies.wear import with_wear
from shop.drawings.setup import draw_setup
from shop.engineering.lengths import LengthUnit
from shop.people.permissions import Permission
from shop.tooling.drawing import drawing_of_arrangement
from shop.tooling.models import Arrangement, CheckPiece, Crimper, DieSet, Gauge, StopPart
from shop.web.access import StaffRequest
from shop.web.registers.register import Register
from shop.web.tools import filters, forms, tables
from shop.web.tools.calibrations import gauges
from shop.web.tools.gauge_page import more_of_gauge
from shop.web.tools.pressure_gauges import PRESSURE_GAUGES
from shop.web.tools.wear import more_of_tool
from shop.web.workshop import workshop_or_default


def _lines_of_tool(tool: Any) -> tuple[str, str]:
    return tool.number, tool.mark


def _more_of_arrangement(request: StaffRequest, arrangement: Any) -> Mapping[str, Any]:
    """Its parts, listed and drawn."""
    unit = LengthUnit(workshop_or_default().length_unit)
    # The drawing escapes what people typed.
    drawing = mark_safe(draw_setup(drawing_of_arrangement(arrangement, unit)))  # noqa: S308
    return {"parts": arrangement.parts.all(), "drawing": drawing}


def _more_of_crimper(request: StaffRequest, crimper: Any) -> Mapping[str, Any]:
    """Its wear and its arrangements."""
    arrangements = crimper.arrangements.select_related("crimper", "die_type", "stop_type")
    return {**more_of_tool(request, crimper), "arrangements": arrangements}


register = partial(Register, place="tools", write=Permission.KEEP_TOOLS)
tool = partial(register, label=True, label_lines=_lines_of_tool)

CRIMPERS = tool(
    slug="crimpers",
    title="Crimpers",
    noun="crimper",
    about="The machines, each with its kind of stop. Add the first.",
    model=Crimper,
    form=forms.CrimperForm,
    table=tables.CrimperTable,
    filterset=filters.CrimperFilter,
    rows=lambda: with_wear(Crimper.objects.all()),
    item_template="web/tools/crimper.html",
    more_of_row=_more_of_crimper,
)
DIE_SETS = tool(
    slug="die-sets",
    title="Die sets",
    noun="die set",
    about="The sets of dies in the cabinet, each with its number and its mark. Add the first.",
    model=DieSet,
    form=forms.DieSetForm,
    table=tables.DieSetTable,
    filterset=filters.DieSetFilter,
    rows=lambda: with_wear(DieSet.objects.select_related("die_type")),
    item_template="web/tools/worn.html",
    more_of_row=more_of_tool,
)
STOP_PARTS = tool(
    slug="stop-parts",
    title="Stop parts",
    noun="stop part",
    about="The stop parts in the cabinet; crimpers with a dial or a set-point need none. Add the first.",
    model=StopPart,
    form=forms.StopPartForm,
    table=tables.StopPartTable,
    filterset=filters.StopPartFilter,
    rows=lambda: with_wear(StopPart.objects.select_related("stop_type")),
    item_template="web/tools/worn.html",
    more_of_row=more_of_tool,
)
GAUGES = tool(
    slug="gauges",
    title="Gauges",
    noun="gauge",
    about="Calipers and tapes. One without a calibration in force can't judge a crimp. Add the first.",
    model=Gauge,
    form=forms.GaugeForm,
    table=tables.GaugeTable,
    filterset=filters.GaugeFilter,
    rows=gauges,
    item_template="web/tools/gauge.html",
    more_of_row=more_of_gauge,
)
CHECK_PIECES = Register(
    place="tools",
    slug="check-pieces",
    title="Check pieces",
    noun="check piece",
    about="Pieces of known size on which gauges are tried between their calibrations: a setting ring, a "
    "gauge block, an old crimp that was measured elsewhere. Add the first.",
    model=CheckPiece,
    form=forms.CheckPieceForm,
    table=tables.CheckPieceTable,
    filterset=filters.CheckPieceFilter,
    write=Permission.CALIBRATE,
    label=True,
    label_lines=_lines_of_tool,
)
ARRANGEMENTS = register(
    slug="arrangements",
    title="Arrangements",
    noun="arrangement",
    about="What must be in a crimper together for a die type and a stop, part by part, and what must be out. "
    "Stand before the crimper and add the first.",
    model=Arrangement,
    form=forms.ArrangementForm,
    table=tables.ArrangementTable,
    filterset=filters.ArrangementFilter,
    rows=lambda: (
        Arrangement.objects.select_related("crimper", "die_type", "stop_type")
        .prefetch_related("parts")
        .annotate(count=Count("parts", distinct=True))
    ),
    item_template="web/tools/arrangement.html",
    more_of_row=_more_of_arrangement,
)
WORN = (CRIMPERS, DIE_SETS, STOP_PARTS)
REGISTERS = (CRIMPERS, DIE_SETS, STOP_PARTS, GAUGES, PRESSURE_GAUGES, CHECK_PIECES, ARRANGEMENTS)
