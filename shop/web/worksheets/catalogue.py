"""All worksheets, in the order in which they are listed."""

from shop.web.worksheets import cleanliness, dates, flow, judging, length, routing, routing_fit, threads
from shop.web.worksheets.sheet import Worksheet

WORKSHEETS: tuple[Worksheet, ...] = (
    length.WORKSHEET,
    routing.WORKSHEET,
    routing_fit.WORKSHEET,
    flow.WORKSHEET,
    threads.WORKSHEET,
    judging.WORKSHEET,
    dates.WORKSHEET,
    cleanliness.WORKSHEET,
)
