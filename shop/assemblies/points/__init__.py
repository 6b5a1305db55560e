"""What hands and eyes are asked at each step, in one table: bench, inspection and papers read it here.

What safety needs is always asked. The rest is asked if the line orders it, the chart or the angle wants it,
or the workshop's policy chose it.
"""

from shop.assemblies.points.kinds import At, Job, Point
from shop.assemblies.points.table import POINTS
from shop.assemblies.points.ticking import asked_of, points_at, require_ticked, ticked_of, told_of

__all__ = [
    "POINTS",
    "At",
    "Job",
    "Point",
    "asked_of",
    "points_at",
    "require_ticked",
    "ticked_of",
    "told_of",
]
