"""What the pages of finished lengths show."""

from dataclasses import dataclass
from decimal import Decimal

from django.urls import reverse

from shop.assemblies.lengths import LengthFinding
from shop.catalogue.models import CutCorrection
from shop.drawings.strip import draw_strip
from shop.people.models import User
from shop.people.names import names_of
from shop.people.permissions import Permission
from shop.web.templatetags.quantities import clock
from shop.web.worksheets.cut_correction import cut_words, signed, strip_of
from shop.web.worksheets.sheet import Fact, Verdict
from shop.web.worksheets.words import rounded_length

TOO_FEW, CHANCE, PROVEN, CORRECTED = "too few pieces", "may be chance", "proven", "cut by it"


@dataclass(frozen=True)
class LengthRow:
    """A hose with a series at both ends, as the list of all shows it."""

    hose: str
    hose_pk: int
    series: str
    series_pk: int
    pieces: int
    over: Decimal | None
    says: str
    in_force: Decimal | None

    @property
    def url(self) -> str:
        """The page of its own."""
        return reverse("web:finished_lengths_of", args=[self.hose_pk, self.series_pk])


def length_row(finding: LengthFinding) -> LengthRow:
    """A finding as a line of the list."""
    return LengthRow(
        hose=str(finding.hose),
        hose_pk=finding.hose.pk,
        series=str(finding.series),
        series_pk=finding.series.pk,
        pieces=len(finding.pieces),
        over=None if finding.found is None else finding.found.mean_mm,
        says=says_of(finding),
        in_force=None if finding.in_force is None else finding.in_force.mean,
    )


def says_of(finding: LengthFinding) -> str:
    """What the pieces come to, in a word or two."""
    if finding.found is None:
        return TOO_FEW
    if finding.is_in_force:
        return CORRECTED
    return PROVEN if finding.found.proven else CHANCE


@dataclass(frozen=True)
class LengthPage:
    """One hose with one series at both ends."""

    finding: LengthFinding
    viewer: User

    @property
    def may_decide(self) -> bool:
        return self.viewer.may(Permission.DECIDE)

    @property
    def may_adopt(self) -> bool:
        """Whether there is something to adopt, and who looks may do it."""
        found = self.finding.found
        return self.may_decide and found is not None and found.proven and not self.finding.is_in_force

    @property
    def verdict(self) -> Verdict:
        found = self.finding.found
        if found is None:
            return Verdict("rest", "Too few to tell.", self.finding.why_not)
        if self.finding.is_in_force:
            return Verdict("pass", "Cut by it.", found.reason)
        if found.proven:
            return Verdict("note", "It may be corrected.", found.reason)
        return Verdict("held", "Not proven.", f"{found.reason} Cut by the chart as it is.")

    @property
    def overtaken(self) -> str:
        """Why the correction in force may no longer be right; empty while the newest pieces agree with it."""
        found, in_force = self.finding.found, self.finding.in_force
        if found is None or in_force is None or found.low_mm <= in_force.mean <= found.high_mm:
            return ""
        return (
            f"It is {cut_words(in_force.mean)}, for a mean of {signed(in_force.mean)}; the newest pieces say "
            f"{signed(found.low_mm)} to {signed(found.high_mm)}. Adopt it anew, or end it."
        )

    @property
    def facts(self) -> list[Fact]:
        found, in_force = self.finding.found, self.finding.in_force
        facts = [Fact("Pieces", str(len(self.finding.pieces)), "the newest, first inspection of each")]
        if found is not None:
            facts += [
                Fact("Longer than wanted", signed(found.mean_mm), "mean"),
                Fact(
                    "With 95 %",
                    f"{signed(found.low_mm)} to {signed(found.high_mm)}",
                    "where the true mean lies",
                ),
                Fact("Spread", rounded_length(found.spread_mm), "standard deviation of one piece"),
            ]
        facts.append(
            Fact("Correction", "none", "cut by the chart as it is")
            if in_force is None
            else _in_force(in_force)
        )
        return facts

    @property
    def drawing(self) -> str:
        """The pieces as dots; empty without any."""
        if not self.finding.pieces:
            return ""
        found = self.finding.found
        title = self.finding.why_not if found is None else found.reason
        return draw_strip(strip_of(title, tuple(piece.over_mm for piece in self.finding.pieces), found))


def _in_force(correction: CutCorrection) -> Fact:
    name = names_of([correction.actor_number])[correction.actor_number]
    note = f"by {correction.pieces} pieces; adopted by {name}, {clock(correction.recorded_at)}"
    return Fact("Correction", cut_words(correction.mean), note)
