"""At the bench: cutting, setting up, crimping, measuring, deciding."""

from shop.assemblies.making.correcting_lots import correct_lots
from shop.assemblies.making.crimping import crimp_end
from shop.assemblies.making.cutting import cut_hose
from shop.assemblies.making.deciding import decide, refit_end
from shop.assemblies.making.measuring import correct_measurement, measure_crimp
from shop.assemblies.making.setting_up import arrangement_points, check_tool, find_arrangement, set_up

__all__ = [
    "arrangement_points",
    "check_tool",
    "correct_lots",
    "correct_measurement",
    "crimp_end",
    "cut_hose",
    "decide",
    "find_arrangement",
    "measure_crimp",
    "refit_end",
    "set_up",
]
