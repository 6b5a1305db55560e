"""What a point is: where it is asked, and what makes it be asked."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import Enum, StrEnum

from shop.assemblies.models import Assembly, Decision, End
from shop.catalogue.models import CrimpSpecification
from shop.engineering.lengths import LengthUnit, show_length
from shop.orders.models import Resolution
from shop.policy.models import LastingMark, Policy
from shop.policy.services import get_workshop


class At(StrEnum):
    """Where in the work a point is asked; its words are a heading."""

    CUT = "cut"
    CRIMP = "crimp"
    INSPECT = "inspect"
    BEFORE_TEST = "before_test"
    AFTER_TEST = "after_test"
    RELEASE = "release"

    @property
    def words(self) -> str:
        return _AT_WORDS[self]


_AT_WORDS = {
    At.CUT: "At the cut",
    At.CRIMP: "At each crimp",
    At.INSPECT: "At the inspection",
    At.BEFORE_TEST: "Before the pump starts",
    At.AFTER_TEST: "After the proof test, with the pressure off",
    At.RELEASE: "At the release",
}


@dataclass(frozen=True)
class Job:
    """What decides which points are asked, and fills their words. The end is only that of a crimp.

    `made_to` is the line of a chart that a crimp was made to, if it isn't the one as confirmed now; `refit`
    the decision by which the end was cut off, if a new fitting goes on.
    """

    assembly: Assembly
    policy: Policy
    end: End | None = None
    made_to: CrimpSpecification | None = None
    refit: Decision | None = None

    @property
    def ordered(self) -> Resolution:
        """What the assembly is made to."""
        return self.assembly.resolution

    @property
    def chart(self) -> CrimpSpecification:
        """The chart's line for the end."""
        assert self.end is not None, "a crimp is at an end"
        return self.made_to or self.assembly.specification(self.end)

    @property
    def is_at_b(self) -> bool:
        """Whether end B is crimped: whatever belongs on the hose can be put on for the last time."""
        return self.end == End.B

    @property
    def is_capped(self) -> bool:
        """Whether the ends are capped."""
        return bool(self.ordered.caps) or not self.policy.caps_only_ordered

    @property
    def skive(self) -> str:
        """Which side of the hose is skived, and how far from its end, in the workshop's unit."""
        chart = self.chart
        assert chart.skive_length is not None, "what is skived has its length on the chart"
        return f"{chart.get_skive_display()} over {_shown(chart.skive_length)}"

    @property
    def cut_off(self) -> str:
        """How much was cut off with the old fitting, and how much hose is left; empty in a later record."""
        if self.refit is None or self.refit.cut_off is None or self.refit.length_left is None:
            return ""
        return f"{_shown(self.refit.cut_off)} are off, {_shown(self.refit.length_left)} are left"

    @property
    def mark_place(self) -> str:
        """Where the lasting mark is, and how it is made."""
        by = f", by {self.policy.mark_method}" if self.policy.mark_method else ""
        return f"{self.policy.get_lasting_mark_display()}{by}"


def _shown(length_mm: Decimal) -> str:
    """A length in the workshop's unit."""
    return show_length(length_mm, LengthUnit(get_workshop().length_unit))


class When(Enum):
    """What makes a point be asked; its value is how a person reads it."""

    ALWAYS = "always"
    REFITTED = "if an old fitting was cut off"
    SKIVED = "if the chart wants the hose skived"
    LOOSE_FERRULE = "at end B, if its ferrule is loose"
    SLEEVE = "at end B, if a sleeve is ordered"
    GUARD = "at end B, if a guard is ordered"
    BAND = "at end B, if the policy wants the lasting mark on a band"
    TURNED = "at end B, if the ends are turned to each other"
    EASED = "if the policy asks for it"
    TAPED = "if the policy wants hose taped"
    PIN = "if the policy wants a pin through the bore"
    NO_PIN = "if the policy wants no pin through the bore"
    FITTED = "if a sleeve or a guard is ordered, or the policy wants the mark on a band"
    CAPPED_UNTESTED = "if it is capped and not proof tested"
    CAPPED = "if it is capped"
    CLEANED_UNTESTED = "if a cleanliness is ordered, and it is not proof tested"
    CLEANED = "if a cleanliness is ordered"
    LOOK_AGAIN = "if the policy wants it, and it was proof tested"
    MARKED = "if the policy wants a lasting mark"
    MARKING = "if the customer's marking is ordered"


_IS_ASKED: Mapping[When, Callable[[Job], bool]] = {
    When.ALWAYS: lambda job: True,
    When.REFITTED: lambda job: job.refit is not None,
    When.SKIVED: lambda job: job.chart.skive_length is not None,
    When.LOOSE_FERRULE: lambda job: job.is_at_b and job.chart.ferrule_id is not None,
    When.SLEEVE: lambda job: job.is_at_b and bool(job.ordered.sleeve),
    When.GUARD: lambda job: job.is_at_b and bool(job.ordered.guard),
    When.BAND: lambda job: job.is_at_b and job.policy.lasting_mark == LastingMark.BAND,
    When.TURNED: lambda job: job.is_at_b and job.ordered.angle_deg is not None,
    When.EASED: lambda job: bool(job.policy.eased),
    When.TAPED: lambda job: bool(job.policy.taped),
    When.PIN: lambda job: bool(job.policy.bore_pin),
    When.NO_PIN: lambda job: not job.policy.bore_pin,
    When.FITTED: lambda job: bool(
        job.ordered.sleeve or job.ordered.guard or job.policy.lasting_mark == LastingMark.BAND
    ),
    When.CAPPED_UNTESTED: lambda job: job.is_capped and not job.ordered.proof_test,
    When.CAPPED: lambda job: job.is_capped,
    When.CLEANED_UNTESTED: lambda job: bool(job.ordered.cleanliness) and not job.ordered.proof_test,
    When.CLEANED: lambda job: bool(job.ordered.cleanliness),
    When.LOOK_AGAIN: lambda job: bool(job.policy.look_again and job.ordered.proof_test),
    When.MARKED: lambda job: bool(job.policy.lasting_mark),
    When.MARKING: lambda job: bool(job.ordered.marking),
}


@dataclass(frozen=True)
class Point:
    """One thing that is ticked once it is done and seen. `which` says for a job what its words are about."""

    at: At
    code: str
    words: str
    source: str
    when: When = When.ALWAYS
    group: str = ""
    which: Callable[[Job], str] | None = None

    def is_asked(self, job: Job) -> bool:
        return _IS_ASKED[self.when](job)

    def words_for(self, job: Job) -> str:
        """The words, and for that job what they are about."""
        which = "" if self.which is None else self.which(job)
        return f"{self.words[:-1]}: {which}." if which else self.words
