"""What a line would be confirmed as on a day, before anybody confirms it."""

import datetime
from dataclasses import dataclass
from decimal import Decimal

from shop.catalogue.models import CrimpSpecification, CutCorrection, Fitting
from shop.core.refusals import Refusal
from shop.engineering.elongation import LengthUnderPressure, length_under_pressure
from shop.engineering.orientation import orientation_tolerance_deg, takes_up_error
from shop.engineering.pressures import Pressure
from shop.engineering.proof_burst import ProofAndBurst
from shop.engineering.rating import AssemblyRating, RatedPart
from shop.engineering.tolerance import LengthLimits
from shop.orders.lengths import MeasuredLength
from shop.orders.models import OrderLine
from shop.orders.temperatures import TemperatureLimits, highest_c, lowest_c
from shop.policy.models import Policy
from shop.tooling.finding import OwnedTooling


@dataclass(frozen=True)
class EndProposal:
    """One end: the line of a chart that prescribes its crimp, and what the workshop has for it.

    `prescribed` are all lines that serve, of which that one was chosen.
    """

    end: str
    fitting: Fitting
    specification: CrimpSpecification | None
    tooling: OwnedTooling | None
    prescribed: tuple[CrimpSpecification, ...]

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
    are said and keep it from nothing. `parts` are all ratings that count, `rating` the lowest, `reasons`
    why. Lengths are in mm and None where the ends leave none; `cut_correction` is in `cut_length`.
    `unprovable` says why there is no `proof_and_burst` although there is a rating.
    """

    line: OrderLine
    day: datetime.date
    policy: Policy
    length_rules: str
    end_a: EndProposal
    end_b: EndProposal
    parts: tuple[RatedPart, ...]
    rating: AssemblyRating
    reasons: tuple[str, ...]
    proof_and_burst: ProofAndBurst | None
    unprovable: str
    measured: MeasuredLength
    cut_correction: CutCorrection | None
    cut_length: Decimal | None
    finished_length: LengthLimits | None
    bend_radius: Decimal
    temperatures: tuple[TemperatureLimits, ...]
    refusals: tuple[Refusal, ...] = ()
    open_points: tuple[Refusal, ...] = ()
    notes: tuple[Refusal, ...] = ()

    @property
    def ends(self) -> tuple[EndProposal, EndProposal]:
        return self.end_a, self.end_b

    @property
    def overall_length(self) -> Decimal | None:
        """Between the datums, mm."""
        return self.measured.between_datums_mm

    @property
    def temperature_min_c(self) -> int:
        """The narrowest of hose, standard, fluid and seals, as the tag carries it."""
        return lowest_c(self.temperatures)

    @property
    def temperature_max_c(self) -> int:
        """The narrowest of hose, standard, fluid and seals, as the tag carries it."""
        return highest_c(self.temperatures)

    @property
    def proof(self) -> Pressure | None:
        return None if self.proof_and_burst is None else self.proof_and_burst.proof

    @property
    def burst(self) -> Pressure | None:
        return None if self.proof_and_burst is None else self.proof_and_burst.burst

    @property
    def free_hose(self) -> Decimal | None:
        """The hose between the ferrules, mm; None if they would meet."""
        if self.cut_length is None:
            return None
        free = self.cut_length - self.end_a.insertion_mm() - self.end_b.insertion_mm()
        return free if free > 0 else None

    @property
    def under_pressure(self) -> LengthUnderPressure | None:
        """How long it may be under pressure: only the free hose changes."""
        if self.overall_length is None or self.free_hose is None:
            return None
        return length_under_pressure(self.overall_length, self.overall_length - self.free_hose)

    @property
    def angle_matters(self) -> bool:
        """Whether the angle between the ends decides if it fits: both face one way and stay as crimped."""
        return all(end.fitting.faces for end in self.ends)

    @property
    def angle_allowed_deg(self) -> Decimal | None:
        """How far off the angle may be, degrees either way."""
        return None if self.overall_length is None else orientation_tolerance_deg(self.overall_length)

    @property
    def can_twist(self) -> bool:
        """Whether the free hose is long enough to take up an error of the angle."""
        free = self.free_hose
        return free is None or takes_up_error(free, self.line.hose.outside_diameter)

    @property
    def can_be_confirmed(self) -> bool:
        return not self.refusals and not self.open_points
