"""The numbered things in the tool cabinet: crimpers, die sets, stop parts, gauges."""

from shop.tooling.models.arrangements import Arrangement, ArrangementPart, PartTool
from shop.tooling.models.gauges import Calibration, CheckPiece, Gauge, GaugeCheck, GaugeKind
from shop.tooling.models.pressure_gauges import PressureCalibration, PressureGauge
from shop.tooling.models.tools import Crimper, DieSet, StopPart, Tool, ToolCheck, WornTool

__all__ = [
    "Arrangement",
    "ArrangementPart",
    "Calibration",
    "CheckPiece",
    "Crimper",
    "DieSet",
    "Gauge",
    "GaugeCheck",
    "GaugeKind",
    "PartTool",
    "PressureCalibration",
    "PressureGauge",
    "StopPart",
    "Tool",
    "ToolCheck",
    "WornTool",
]
