"""What was decided about an assembly that is held, failed or lost. Written once."""

from typing import ClassVar

from django.db import models
from django.db.models import Q

from shop.assemblies.models.assembly import Assembly
from shop.assemblies.models.making import Crimp
from shop.assemblies.models.release import Inspection
from shop.core.fields import LengthField
from shop.ledger.models import Record


class DecisionKind(models.TextChoices):
    """What was decided about an assembly that is held, failed or lost."""

    TREAT_AS_FAILED = "as_failed", "treat as failed"
    CRIMP_AGAIN = "again", "crimp again"
    REFIT = "refit", "cut off and refit"
    SCRAP = "scrap", "scrap"
    NOT_REPLACED = "unreplaced", "not to be replaced"


# After these the crimp that they are about is no longer what holds the end.
CRIMPED_ANEW = (DecisionKind.CRIMP_AGAIN, DecisionKind.REFIT)


class Cause(models.TextChoices):
    """Why, in the words of the bench. What no word fits is told in the person's own."""

    CRIMP_OUT = "crimp_out", "crimp outside its limits"
    SET_UP = "set_up", "set-up wrong"
    STOPPED_SHORT = "short_stop", "press stopped before its stop"
    WRONG_PARTS = "parts", "wrong fitting or ferrule"
    NOT_HOME = "not_home", "fitting not pushed home"
    END_DAMAGED = "end_damaged", "fitting or ferrule damaged"
    HOSE_DAMAGED = "damaged", "hose damaged"
    CUT_LONG = "cut_long", "cut too long"
    CUT_SHORT = "cut_short", "cut too short or crooked"
    NOT_RIGHT = "not_right", "not right at its inspection"
    PROOF = "proof", "failed its proof test"
    LOST = "lost", "lost"
    GAUGE = "gauge", "no better gauge here"
    DOUBT = "doubt", "doubt about the readings"
    FEWER = "fewer", "customer takes fewer"
    ELSEWHERE = "elsewhere", "delivered from elsewhere"
    OTHER = "other", "something else"


CAUSES: dict[DecisionKind, tuple[Cause, ...]] = {
    DecisionKind.TREAT_AS_FAILED: (Cause.GAUGE, Cause.DOUBT, Cause.SET_UP, Cause.OTHER),
    DecisionKind.CRIMP_AGAIN: (Cause.STOPPED_SHORT, Cause.SET_UP, Cause.OTHER),
    DecisionKind.REFIT: (
        Cause.CRIMP_OUT,
        Cause.SET_UP,
        Cause.STOPPED_SHORT,
        Cause.WRONG_PARTS,
        Cause.NOT_HOME,
        Cause.END_DAMAGED,
        Cause.CUT_LONG,
        Cause.OTHER,
    ),
    DecisionKind.SCRAP: (
        Cause.CRIMP_OUT,
        Cause.SET_UP,
        Cause.STOPPED_SHORT,
        Cause.WRONG_PARTS,
        Cause.NOT_HOME,
        Cause.END_DAMAGED,
        Cause.HOSE_DAMAGED,
        Cause.CUT_SHORT,
        Cause.NOT_RIGHT,
        Cause.PROOF,
        Cause.LOST,
        Cause.OTHER,
    ),
    DecisionKind.NOT_REPLACED: (Cause.FEWER, Cause.ELSEWHERE, Cause.OTHER),
}


class Decision(Record):
    """What somebody decided about a held, failed or lost assembly; own words are beside the entry.

    One to cut off and refit also says how much hose comes off, and how much is left of what was cut.
    """

    KIND = "decision"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {1: ("assembly", "kind", "about", "independently_checked")}
    FIELDS[2] = (*FIELDS[1], "cause", "cut_off", "length_left")

    assembly = models.ForeignKey(Assembly, models.PROTECT, related_name="decisions")
    kind = models.CharField(max_length=10, choices=DecisionKind)
    about = models.ForeignKey(Crimp, models.PROTECT, null=True, blank=True, related_name="decisions")
    independently_checked = models.BooleanField()
    # NULL on decisions from before it was asked.
    cause = models.CharField(max_length=11, choices=Cause, null=True)  # noqa: DJ001
    cut_off = LengthField(null=True, blank=True)
    length_left = LengthField(null=True, blank=True)

    class Meta:
        ordering = ["entry"]
        constraints = [
            models.CheckConstraint(
                name="refit_says_what_is_cut_off",
                condition=Q(kind=DecisionKind.REFIT, cut_off__isnull=False, length_left__isnull=False)
                | (~Q(kind=DecisionKind.REFIT) & Q(cut_off=None, length_left=None)),
                violation_error_message="A refit says how much hose comes off and how much is left.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.assembly}: {self.get_kind_display()}"

    @property
    def cause_words(self) -> str:
        """The cause as it was tapped; empty where only the person's own words say it."""
        return "" if self.cause in (None, Cause.OTHER) else Cause(self.cause).label


class Concession(Record):
    """The customer takes an assembly as that inspection found it, and has said so in writing.

    `concerns` are codes of `CONCEDABLE`. Who agreed, in which paper, and why stand beside the entry.
    """

    KIND = "concession"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {
        1: ("assembly", "inspection", "concerns", "independently_checked")
    }

    assembly = models.ForeignKey(Assembly, models.PROTECT, related_name="concessions")
    inspection = models.OneToOneField(Inspection, models.PROTECT, related_name="concession")
    concerns = models.JSONField(help_text="What is not as ordered.")
    independently_checked = models.BooleanField()

    class Meta:
        ordering = ["entry"]

    def __str__(self) -> str:
        return f"{self.assembly} under a concession"
