"""All worksheets, in the order in which they are listed."""

from shop.web.worksheets import (
    cleanliness,
    cut_correction,
    dates,
    duty,
    flow,
    judging,
    length,
    routing,
    routing_fit,
    stop_geometry,
    threads,
)
from shop.web.worksheets.sheet import Worksheet

WORKSHEETS: tuple[Worksheet, ...] = (
    length.WORKSHEET,
    cut_correction.WORKSHEET,
    routing.WORKSHEET,
    routing_fit.WORKSHEET,
    flow.WORKSHEET,
    duty.WORKSHEET,
    threads.WORKSHEET,
    judging.WORKSHEET,
    stop_geometry.WORKSHEET,
    dates.WORKSHEET,
    cleanliness.WORKSHEET,
)
