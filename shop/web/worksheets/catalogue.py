"""All worksheets, in the order in which they are listed."""

from shop.web.worksheets import cleanliness, dates, flow, judging, length, threads
from shop.web.worksheets.sheet import Worksheet

WORKSHEETS: tuple[Worksheet, ...] = (
    length.WORKSHEET,
    flow.WORKSHEET,
    threads.WORKSHEET,
    judging.WORKSHEET,
    dates.WORKSHEET,
    cleanliness.WORKSHEET,
)
