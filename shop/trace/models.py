"""Failures in the field: what was reported, and what the workshop found out. Written once."""

from typing import ClassVar

from django.core.validators import MaxValueValidator
from django.db import models
from django.db.models import Exists, OuterRef, Q

from shop.assemblies.models import Assembly
from shop.core.labels import Labelled
from shop.ledger.models import Record

MOST_HOURS = 200_000  # twenty years without a pause, and more than any hose lasts


class FailureMode(models.TextChoices):
    """How a hose assembly fails, in the words of the trade."""

    BLOW_OFF = "blow_off", "end blown off"
    BURST_AT_FERRULE = "burst_at_ferrule", "burst by the ferrule"
    BURST_IN_LENGTH = "burst_in_length", "burst in its length"
    PINHOLE = "pinhole", "pinhole"
    LEAK_AT_FERRULE = "leak_at_ferrule", "leak at the ferrule"
    LEAK_AT_END = "leak_at_end", "leak at the end's thread or seal"
    ABRASION = "abrasion", "worn through by rubbing"
    KINK = "kink", "kinked"
    TWIST = "twist", "twisted"
    COVER_DAMAGE = "cover_damage", "cover cut, torn or blistered"
    CORROSION = "corrosion", "corroded wire or end"
    AGEING = "ageing", "hard, cracked or swollen with age"
    UNKNOWN = "unknown", "not known"


class Hurt(models.TextChoices):
    """Whether somebody was hurt."""

    YES = "yes", "yes"
    NO = "no", "no"
    UNKNOWN = "unknown", "not known"


class Origin(models.TextChoices):
    """By which way a report came."""

    TAG = "tag", "by whoever held the hose"
    STAFF = "staff", "told to the workshop"


class Verdict(models.TextChoices):
    """What the workshop found out about a report."""

    FAILED = "failed", "failed in service"
    NO_FAILURE = "no_failure", "no failure of this assembly"


class OfReporter(models.TextChoices):
    """What a report says of who reported: each a private text of that name."""

    CONTACT = "contact", "whom to ask"
    SEEN = "seen", "what was seen"
    PHOTOS = "photos", "photos"


class FailureReportQuerySet(models.QuerySet["FailureReport"]):
    """Questions about reports."""

    def unread(self) -> "FailureReportQuerySet":
        """Those that nobody of the workshop has looked into yet."""
        return self.filter(~Exists(FailureFinding.objects.filter(report=OuterRef("pk"))))


class FailureReport(Labelled, Record):
    """Somebody says that an assembly has failed. Its code is the reference that the reporter is given.

    What was seen, who can be asked and the hashes of the photos stand beside the entry, as "seen",
    "contact" and "photos": all of them may have to be erased. `photos` counts them.
    """

    KIND_LETTER = "F"
    KIND = "failure_report"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {
        1: ("code", "assembly", "origin", "hurt", "mode", "failed_on", "hours_in_service", "photos")
    }

    assembly = models.ForeignKey(Assembly, models.PROTECT, related_name="failure_reports")
    origin = models.CharField("came", max_length=5, choices=Origin)
    hurt = models.CharField("somebody hurt", max_length=7, choices=Hurt)
    mode = models.CharField("as reported", max_length=16, choices=FailureMode)
    failed_on = models.DateField("failed on", null=True, blank=True)
    hours_in_service = models.PositiveIntegerField(
        "hours in service",
        null=True,
        blank=True,
        validators=[MaxValueValidator(MOST_HOURS, "No hose has run that long: look at the hours again.")],
    )
    photos = models.PositiveSmallIntegerField(default=0)

    objects = FailureReportQuerySet.as_manager()

    class Meta:
        ordering = ["-entry"]

    def __str__(self) -> str:
        return f"report {self.printed_code}"

    @property
    def photo_hashes(self) -> tuple[str, ...]:
        """The names of its photos on the shelf; none if they were erased."""
        return tuple((self.private(OfReporter.PHOTOS) or "").split())

    @property
    def of_reporter(self) -> tuple[OfReporter, ...]:
        """What it says of who reported: what was told and has not been erased."""
        return tuple(one for one in OfReporter if self.private(one))


class FailureFindingQuerySet(models.QuerySet["FailureFinding"]):
    """Questions about findings."""

    def newest(self) -> "FailureFindingQuerySet":
        """Of each report the one that counts."""
        later = FailureFinding.objects.filter(report=OuterRef("report"), entry__gt=OuterRef("entry"))
        return self.filter(~Exists(later))


class FailureFinding(Record):
    """What somebody of the workshop found out about a report. The newest counts.

    Why stands beside the entry, as "words".
    """

    KIND = "failure_finding"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {1: ("report", "verdict", "mode")}

    report = models.ForeignKey(FailureReport, models.PROTECT, related_name="findings")
    verdict = models.CharField("found", max_length=10, choices=Verdict)
    mode = models.CharField("how it failed", max_length=16, choices=FailureMode, blank=True)

    objects = FailureFindingQuerySet.as_manager()

    class Meta:
        ordering = ["entry"]
        constraints = [
            models.CheckConstraint(
                name="failure_mode_of_what_failed",
                condition=Q(verdict=Verdict.FAILED) & ~Q(mode="") | ~Q(verdict=Verdict.FAILED) & Q(mode=""),
                violation_error_message="Say how it failed if it did, and only then.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.report}: {self.says}"

    @property
    def says(self) -> str:
        """What was found, in words."""
        mode = f": {self.get_mode_display()}" if self.mode else ""
        return f"{self.get_verdict_display()}{mode}"
