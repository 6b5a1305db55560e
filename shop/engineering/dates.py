"""When a hose was made, as hoses and tags print it, and until when it may be fitted.

Forms in use: 2Q16 and 2Q2016 on hose; 06/16, 2016-06 and 1606 on assemblies (from memory). Quarters:
first is January to March (Navy training manual 14018).
"""

import re
from dataclasses import dataclass
from datetime import date, timedelta

from shop.engineering.errors import EngineeringError, NotUnderstood, OutOfRange

FORMS = "2Q16, 2Q2016, Q2 2016, 06/16, 06/2016 or 2016-06"
EARLIEST_YEAR = 1980  # so two digits mean 1980 to 2079
LATEST_YEAR = EARLIEST_YEAR + 99
MONTHS_IN_QUARTER = 3
MONTHS_IN_YEAR = 12
LONGEST_LIMIT_MONTHS = 100 * MONTHS_IN_YEAR
_FIRST_MONTH: dict[int | None, int] = {1: 1, 2: 4, 3: 7, 4: 10}


@dataclass(frozen=True, slots=True)
class Made:
    """The quarter or the month of manufacture, and the text it was read from.

    Raises `EngineeringError` unless there is just one of the two, or it does not exist.
    """

    year: int
    quarter: int | None
    month: int | None
    text: str

    def __post_init__(self) -> None:
        if not EARLIEST_YEAR <= self.year <= LATEST_YEAR:
            raise OutOfRange(
                f"“{self.text}” has {self.year} for the year a hose was made. Type it like {FORMS}.",
                argument="made",
                allowed=f"{EARLIEST_YEAR} to {LATEST_YEAR}",
                got=self.year,
            )
        if (self.quarter is None) is (self.month is None):
            raise EngineeringError(
                "A date of manufacture is a quarter or a month.", argument="made", allowed="one of the two"
            )
        self._check("quarter", self.quarter, len(_FIRST_MONTH))
        self._check("month", self.month, MONTHS_IN_YEAR)

    @property
    def first_day(self) -> date:
        return date(self.year, self.month or _FIRST_MONTH[self.quarter], 1)

    @property
    def last_day(self) -> date:
        """The last day on which it can have been made."""
        return self.counting_starts - timedelta(days=1)

    @property
    def counting_starts(self) -> date:
        """The first day after the quarter or month of manufacture (US Navy 14104 p. 9-37)."""
        return _add_months(self.first_day, MONTHS_IN_QUARTER if self.quarter else 1)

    def __str__(self) -> str:
        return f"{self.quarter}Q{self.year}" if self.quarter else f"{self.year}-{self.month:02}"

    def _check(self, what: str, number: int | None, last: int) -> None:
        if number is not None and not 1 <= number <= last:
            raise OutOfRange(
                f"There is no {what} {number}, as in “{self.text}”. Type it like {FORMS}.",
                argument="made",
                allowed=f"{what} 1 to {last}",
                got=number,
            )


_QUARTER_FIRST = re.compile(r"([0-9])Q\s*[-/ ]?\s*([0-9]{4}|[0-9]{2})")
_Q_FIRST = re.compile(r"Q([0-9])\s*[-/ ]?\s*([0-9]{4}|[0-9]{2})")
_YEAR_QUARTER = re.compile(r"([0-9]{4})\s*[-/ ]?\s*Q([0-9])")
_MONTH_YEAR = re.compile(r"([0-9]{1,2})\s*[-/.]\s*([0-9]{4}|[0-9]{2})")
_YEAR_MONTH = re.compile(r"([0-9]{4})\s*[-/.]\s*([0-9]{1,2})")
_FOUR_DIGITS = re.compile(r"([0-9]{2})([0-9]{2})")


def parse_made(text: str) -> Made:
    """Read a quarter or month of manufacture as it is printed.

    Two numbers with a separator are month and year. Four digits are year and month, and are taken only
    if they can't be month and year or a year alone: 1606 is June 2016, but 1206 may be June 2012 or
    December 2006, and 2012 may be a year. A maker who prints weeks must be typed as a month. Raises
    `NotUnderstood`, or `OutOfRange` for a quarter, month or year that does not exist.
    """
    typed = text.strip()
    tidy = typed.upper()
    if match := _QUARTER_FIRST.fullmatch(tidy) or _Q_FIRST.fullmatch(tidy):
        return Made(_year(match[2]), int(match[1]), None, typed)
    if match := _YEAR_QUARTER.fullmatch(tidy):
        return Made(int(match[1]), int(match[2]), None, typed)
    if match := _MONTH_YEAR.fullmatch(tidy):
        return Made(_year(match[2]), None, int(match[1]), typed)
    if match := _YEAR_MONTH.fullmatch(tidy):
        return Made(int(match[1]), None, int(match[2]), typed)
    if match := _FOUR_DIGITS.fullmatch(tidy):
        return _year_and_month(match[1], match[2], typed)
    raise NotUnderstood(
        f"“{typed}” is not a date of manufacture that can be read. Type it like {FORMS}.",
        argument="made",
        allowed=FORMS,
    )


def last_day_to_fit(made: Made, limit_months: int, count_own_quarter: bool) -> date:
    """The last day on which hose may be fitted that may be `limit_months` old at most.

    Counted from the start of its quarter (or month) of manufacture, or from the day after it if its own
    does not count (US Navy 14104 p. 9-37: 48 months, own quarter not counted). Raises `OutOfRange` for a
    limit below one month or above a century.
    """
    if not 1 <= limit_months <= LONGEST_LIMIT_MONTHS:
        raise OutOfRange(
            f"An age limit is from 1 to {LONGEST_LIMIT_MONTHS} months; {limit_months} is not.",
            argument="age limit",
            unit="months",
            allowed=f"1 to {LONGEST_LIMIT_MONTHS} months",
            got=limit_months,
        )
    starts = made.first_day if count_own_quarter else made.counting_starts
    return _add_months(starts, limit_months) - timedelta(days=1)


def month_made(day: date) -> str:
    """Year and month as tag and permanent mark carry them: 2026-11."""
    return f"{day.year:04}-{day.month:02}"


def _year(digits: str) -> int:
    if len(digits) == 4:
        return int(digits)
    century = EARLIEST_YEAR - EARLIEST_YEAR % 100
    year = century + int(digits)
    return year if year >= EARLIEST_YEAR else year + 100


def _year_and_month(first: str, second: str, typed: str) -> Made:
    if EARLIEST_YEAR <= int(first + second) <= LATEST_YEAR:
        raise NotUnderstood(
            f"“{typed}” may be a year alone. Type the quarter or the month too, like {FORMS}.",
            argument="made",
            allowed=FORMS,
        )
    if 1 <= int(first) <= MONTHS_IN_YEAR:
        raise NotUnderstood(
            f"“{typed}” can be read as year and month or as month and year. Type it like {FORMS}.",
            argument="made",
            allowed=FORMS,
        )
    return Made(_year(first), None, int(second), typed)


def _add_months(first_of_month: date, months: int) -> date:
    years, month = divmod(first_of_month.month - 1 + months, MONTHS_IN_YEAR)
    return date(first_of_month.year + years, month + 1, 1)
