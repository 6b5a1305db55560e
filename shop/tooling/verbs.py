"""What people do to the tools."""

from shop.ledger.registry import register_verb
from shop.tooling.models import Calibration, GaugeCheck, PressureCalibration, ToolCheck

CRIMPER_SAVED = register_verb("tooling.crimper_saved", "wrote a crimper")
DIE_SET_SAVED = register_verb("tooling.die_set_saved", "wrote a die set")
STOP_PART_SAVED = register_verb("tooling.stop_part_saved", "wrote a stop part")
GAUGE_SAVED = register_verb("tooling.gauge_saved", "wrote a gauge")
ARRANGEMENT_SAVED = register_verb("tooling.arrangement_saved", "wrote an arrangement")
GAUGE_CALIBRATED = register_verb("tooling.gauge_calibrated", "recorded a calibration", record=Calibration)
CHECK_PIECE_SAVED = register_verb("tooling.check_piece_saved", "wrote a check piece")
GAUGE_CHECKED = register_verb("tooling.gauge_checked", "tried a gauge on a check piece", record=GaugeCheck)
TOOL_CHECKED = register_verb("tooling.checked", "looked at the condition of a tool", record=ToolCheck)
BLOCKED = register_verb("tooling.blocked", "took a tool out of use")
PRESSURE_GAUGE_SAVED = register_verb("tooling.pressure_gauge_saved", "wrote a pressure gauge")
PRESSURE_GAUGE_CALIBRATED = register_verb(
    "tooling.pressure_gauge_calibrated",
    "recorded a calibration of a pressure gauge",
    record=PressureCalibration,
)
