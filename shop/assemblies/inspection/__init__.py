"""Looking at the finished assembly and measuring it."""

from shop.assemblies.inspection.conceding import concede
from shop.assemblies.inspection.inspecting import bore_pin, correct_inspection, inspect
from shop.assemblies.inspection.points import CONCEDABLE, INSPECTION_POINTS
from shop.assemblies.tolerances import finished_length_limits

__all__ = [
    "CONCEDABLE",
    "INSPECTION_POINTS",
    "bore_pin",
    "concede",
    "correct_inspection",
    "finished_length_limits",
    "inspect",
]
