"""All worksheets, in the order in which they are listed."""

from shop.web.worksheets import cleanliness, dates
from shop.web.worksheets.sheet import Worksheet

WORKSHEETS: tuple[Worksheet, ...] = (dates.WORKSHEET, cleanliness.WORKSHEET)
