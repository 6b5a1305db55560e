"""All worksheets, in the order in which they are listed."""

from shop.web.worksheets import cleanliness, dates, judging, length, threads
from shop.web.worksheets.sheet import Worksheet

WORKSHEETS: tuple[Worksheet, ...] = (
    length.WORKSHEET,
    threads.WORKSHEET,
    judging.WORKSHEET,
    dates.WORKSHEET,
    cleanliness.WORKSHEET,
)
