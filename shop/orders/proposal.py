"""What a line would be confirmed as on a day, before anybody confirms it."""

import datetime
from dataclasses import dataclass
from decimal import Decimal

from shop.catalogue.models import CrimpSpecification, Fitting
from shop.core.refusals import Refusal
from shop.engineering.pressures import Pressure
from shop.engineering.rating import AssemblyRating, PartRole, RatedPart, proof_pressure
from shop.engineering.tolerance import LengthLimits
from shop.orders.models import OrderLine
from shop.policy.models import Policy
from shop.tooling.finding import OwnedTooling


@dataclass(frozen=True)
class EndProposal:
    """One end: the line of a chart that prescribes its crimp, and what the workshop has for it."""

    end: str
    fitting: Fitting
    specification: CrimpSpecification | None
    tooling: OwnedTooling | None

    def insertion_mm(self) -> Decimal:
        """The insertion depth: the chart's, or else the fitting's own."""
        depth: Decimal = self.fitting.insertion_depth
        if self.specification is not None and self.specification.insertion_depth is not None:
            depth = self.specification.insertion_depth
        return depth


@dataclass(frozen=True)
class Proposal:
    """What a line would be confirmed as on that day.

    `refusals` keep the line from being written at all, `open_points` from being confirmed; `notes`
    are said and keep it from nothing. `parts` are all ratings that count, `rating` the lowest.
    """

    line: OrderLine
    day: datetime.date
    policy: Policy
    end_a: EndProposal
    end_b: EndProposal
    parts: tuple[RatedPart, ...]
    rating: AssemblyRating
    cut_length: Decimal | None
    finished_length: LengthLimits | None
    bend_radius: Decimal
    temperature_min_c: int
    temperature_max_c: int
    refusals: tuple[Refusal, ...] = ()
    open_points: tuple[Refusal, ...] = ()
    notes: tuple[Refusal, ...] = ()

    @property
    def ends(self) -> tuple[EndProposal, EndProposal]:
        return self.end_a, self.end_b

    @property
    def proof(self) -> Pressure | None:
        """The hose document's own proof pressure where the hose governs and prints one, else by policy."""
        rating = self.rating.pressure
        if rating is None or self.rating.governing is None:
            return None
        hose = self.line.hose
        # Where its standard's figure governs, the maker's proof belongs to a rating that doesn't count.
        if self.rating.governing.role is PartRole.HOSE and rating == hose.rating and hose.proof_printed:
            return Pressure(Decimal(hose.proof_printed), rating.unit)
        return proof_pressure(rating, Decimal(self.policy.proof_factor_percent) / 100)

    @property
    def can_be_confirmed(self) -> bool:
        return not self.refusals and not self.open_points
