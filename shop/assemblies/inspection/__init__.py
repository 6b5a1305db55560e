"""Looking at the finished assembly and measuring it."""

from shop.assemblies.inspection.inspecting import finished_length_limits, inspect
from shop.assemblies.inspection.points import INSPECTION_POINTS

__all__ = ["INSPECTION_POINTS", "finished_length_limits", "inspect"]
