"""Where a setter starts on a dial or a key pad: the chart's value, and what this crimper's scale is off.

A scale that reads 0.2 where it should read nought reads 0.2 more everywhere, so that the chart's 4.6
is 4.8 on it: the offset of a scale, as of any instrument. It is a start; the diameter governs.
"""

import re
from dataclasses import dataclass
from decimal import Decimal

from shop.catalogue.models import CrimpValues, StopKind
from shop.engineering.numbers import plain
from shop.tooling.models import Crimper

_FIGURE = re.compile(r"[+-]?\d+(?:[.,]\d+)?")


@dataclass(frozen=True, slots=True)
class Start:
    """A start on a scale: the chart's value as printed, and the offset in marks of that scale."""

    kind: StopKind
    chart: str
    offset: Decimal | None

    @property
    def value(self) -> str:
        """What to set first: the chart's value and the offset added, or the former if it is no figure."""
        if not self.offset or not _FIGURE.fullmatch(self.chart):
            return self.chart
        printed = self.chart.replace(",", ".")
        places = len(printed.partition(".")[2])
        total = Decimal(printed) + self.offset
        return f"{total:.{max(places, len(plain(total).partition('.')[2]))}f}"

    @property
    def words(self) -> str:
        """What to set and what that comes from, in words."""
        name = "dial" if self.kind == StopKind.DIAL else "set-point"
        return f"{name}: start at {self.value} ({self.comes_from})"

    @property
    def comes_from(self) -> str:
        """The chart's value, and what the scale reads at nought if somebody looked."""
        if self.offset is None:
            return "as the chart gives it"
        return f"the chart gives {self.chart}, this scale reads {plain(self.offset)} at nought"


def start_on_scale(specification: CrimpValues, crimper: Crimper | None) -> Start | None:
    """Where a setter starts on that crimper, or on any if it is not chosen yet; None for a stop part."""
    if specification.stop_kind == StopKind.PART:
        return None
    return Start(
        StopKind(specification.stop_kind),
        specification.stop_setting,
        None if crimper is None else crimper.offset,
    )
