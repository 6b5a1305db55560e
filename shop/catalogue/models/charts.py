"""Crimp charts: typed as lines, checked by a second person, issued as specifications for good."""

import datetime
from decimal import Decimal
from typing import ClassVar

from django.conf import settings
from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import F, Q
from django.db.models.functions import TruncDate

from shop.catalogue.models.parts import Ferrule, FittingSeries, Hose
from shop.catalogue.models.types import DieType, StopType
from shop.core.fields import LengthField
from shop.engineering.crimp import CrimpLimits, Judged
from shop.ledger.models import Record
from shop.policy.services import get_workshop


class StopKind(models.TextChoices):
    """How a crimper is told where to stop."""

    PART = "part", "a stop part"
    DIAL = "dial", "a dial value"
    NUMERIC = "numeric", "a numeric set-point"


class Skive(models.TextChoices):
    """Where cover or tube is taken off before the fitting goes on."""

    NONE = "none", "no skiving"
    OUTSIDE = "outside", "outside"
    INSIDE = "inside", "inside"


class CrimpChart(models.Model):
    """A chart in the workshop's binder. Its lines may be typed and changed until they are issued."""

    number = models.CharField(
        "chart number",
        max_length=40,
        unique=True,
        error_messages={"unique": "This chart is in the binder already."},
    )
    origin = models.CharField(
        max_length=200, help_text="The fitting maker's document: its title, issue and date."
    )
    # Set by typing a line, cleared by checking: who may not check alone (rule 8).
    typed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, editable=False, related_name="+"
    )
    checked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, editable=False, related_name="+"
    )

    class Meta:
        ordering = ["number"]

    def __str__(self) -> str:
        return self.number


class CrimpValues(models.Model):
    """The columns of one line of a chart."""

    hose = models.ForeignKey(Hose, models.PROTECT, related_name="+")
    series = models.ForeignKey(FittingSeries, models.PROTECT, related_name="+", verbose_name="fitting series")
    ferrule = models.ForeignKey(
        Ferrule,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="+",
        help_text="Empty: one-piece fittings.",
    )
    material = models.CharField(
        "fitting material", max_length=40, blank=True, help_text="Empty: whatever the material."
    )
    die_type = models.ForeignKey(DieType, models.PROTECT, related_name="+")
    stop_kind = models.CharField("stop", max_length=8, choices=StopKind)
    stop_type = models.ForeignKey(StopType, models.PROTECT, null=True, blank=True, related_name="+")
    stop_setting = models.CharField(
        "dial value or set-point",
        max_length=20,
        blank=True,
        help_text="Where the setter starts. The diameter governs.",
    )
    target = LengthField("crimp diameter")
    lower = LengthField("lower limit")
    upper = LengthField("upper limit")
    judged = models.CharField(
        "what is judged",
        max_length=4,
        choices=[(Judged.MEAN.value, "the mean of the readings"), (Judged.EACH.value, "each reading")],
        default=Judged.MEAN.value,
    )
    ovality = LengthField("ovality limit", null=True, blank=True)
    taper = LengthField("taper limit", null=True, blank=True)
    readings = models.PositiveSmallIntegerField(default=4)
    measured_at = models.CharField(
        "where it is measured", max_length=120, default="mid-length, across the flats"
    )
    insertion_depth = LengthField(null=True, blank=True, help_text="Empty: the fitting's own.")
    skive = models.CharField(max_length=8, choices=Skive, default=Skive.NONE)
    skive_length = LengthField(null=True, blank=True)
    crimp_again_allowed = models.BooleanField("crimping again is allowed", default=False)

    COLUMNS: ClassVar[tuple[str, ...]] = (
        "hose",
        "series",
        "ferrule",
        "material",
        "die_type",
        "stop_kind",
        "stop_type",
        "stop_setting",
        "target",
        "lower",
        "upper",
        "judged",
        "ovality",
        "taper",
        "readings",
        "measured_at",
        "insertion_depth",
        "skive",
        "skive_length",
        "crimp_again_allowed",
    )

    class Meta:
        abstract = True

    def clean(self) -> None:
        super().clean()
        wrong: dict[str, str] = {}
        if (self.stop_kind == StopKind.PART) != (self.stop_type is not None):
            wrong["stop_type"] = "A stop part is named for a crimper with stop parts, and for no other."
        if (self.stop_kind == StopKind.PART) == bool(self.stop_setting):
            wrong["stop_setting"] = "A dial or a numeric crimper has a value; a stop part has none."
        if self.ferrule is not None and self.ferrule.series_id != self.series_id:
            wrong["ferrule"] = f"{self.ferrule} is not of the series {self.series}."
        if (self.skive == Skive.NONE) != (self.skive_length is None):
            wrong["skive_length"] = "Skiving has a length; without skiving there is none."
        if wrong:
            raise ValidationError(wrong)

    @property
    def limits(self) -> CrimpLimits:
        """The line's limits, for judging a crimp."""
        return CrimpLimits(
            target_mm=self.target,
            lower_mm=self.lower,
            upper_mm=self.upper,
            judged=Judged(self.judged),
            ovality_mm=self.ovality,
            taper_mm=self.taper,
            readings=self.readings,
        )

    @property
    def stop_words(self) -> str:
        """What the crimper is told, for reading."""
        return (
            str(self.stop_type) if self.stop_type else f"{self.get_stop_kind_display()} {self.stop_setting}"
        )


def crimp_limits_in_order(name: str) -> models.CheckConstraint:
    """The constraint, under the model's own name for it, that the limits stand around the target."""
    return models.CheckConstraint(
        name=name,
        condition=Q(
            lower__lte=F("target"), target__lte=F("upper"), lower__lt=F("upper"), lower__gt=Decimal(0)
        ),
        violation_error_message="Lower limit, crimp diameter and upper limit go upwards. Check the three.",
    )


class ChartLine(CrimpValues):
    """A line as typed: it crimps nothing until its chart is issued."""

    chart = models.ForeignKey(CrimpChart, models.CASCADE, related_name="lines")

    class Meta:
        ordering = ["id"]
        constraints = [crimp_limits_in_order("chart_line_limits_in_order")]

    def __str__(self) -> str:
        return f"{self.chart}: {self.hose} with {self.series}"


class ChartIssueQuerySet(models.QuerySet["ChartIssue"]):
    """Questions about issues of charts."""

    def begun(self, on: datetime.date) -> "ChartIssueQuerySet":
        """Issues whose day had come by then, the newest first; one withdrawn before its day never begins."""
        withdrawn_on = TruncDate("withdrawal__entry__recorded_at", tzinfo=get_workshop().zone_info)
        return (
            self.filter(effective_from__lte=on)
            .annotate(withdrawn_on=withdrawn_on)
            .filter(Q(withdrawn_on=None) | Q(withdrawn_on__gte=F("effective_from")))
            .order_by("-effective_from", "-entry")
        )

    def in_force(self, on: datetime.date) -> "ChartIssueQuerySet":
        """Of each chart the newest issue begun by then, unless it was withdrawn.

        Withdrawing it once it has begun does not bring an older one back.
        """
        newest = ChartIssue.objects.begun(on).filter(chart=models.OuterRef("chart")).values("pk")[:1]
        return self.filter(pk=models.Subquery(newest), withdrawal=None)


class ChartIssue(Record):
    """One issue of a chart, checked and put in force."""

    KIND = "chart_issue"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {
        1: ("chart", "issue", "effective_from", "origin", "typed_by_number", "checked_by_number"),
    }

    chart = models.ForeignKey(CrimpChart, models.PROTECT, related_name="issues")
    issue = models.CharField(max_length=20)
    effective_from = models.DateField("in force from")
    origin = models.CharField(max_length=200)
    typed_by_number = models.PositiveIntegerField()
    checked_by_number = models.PositiveIntegerField()

    objects = ChartIssueQuerySet.as_manager()

    class Meta:
        ordering = ["-effective_from", "-entry"]
        constraints = [
            models.UniqueConstraint(
                fields=["chart", "issue"],
                name="one_issue_of_a_chart_by_that_name",
                violation_error_message="This chart has an issue by that name already.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.chart.number} issue {self.issue}"

    @property
    def independently_checked(self) -> bool:
        """Whether somebody else than the typist checked it (rule 8)."""
        return self.typed_by_number != self.checked_by_number


class ChartWithdrawal(Record):
    """An issue taken out of force before another replaced it."""

    KIND = "chart_withdrawal"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {1: ("chart_issue",)}

    chart_issue = models.OneToOneField(ChartIssue, models.PROTECT, related_name="withdrawal")


class CrimpSpecificationQuerySet(models.QuerySet["CrimpSpecification"]):
    """Questions about lines of issued charts."""

    def in_force(self, on: datetime.date) -> "CrimpSpecificationQuerySet":
        """Lines of issues in force that day."""
        return self.filter(chart_issue__in=ChartIssue.objects.in_force(on))


class CrimpSpecification(CrimpValues, Record):
    """A line of an issued chart: what prescribes a crimp."""

    KIND = "crimp_specification"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {1: ("chart_issue", *CrimpValues.COLUMNS)}

    chart_issue = models.ForeignKey(ChartIssue, models.PROTECT, related_name="specifications")

    objects = CrimpSpecificationQuerySet.as_manager()

    class Meta:
        ordering = ["entry"]
        constraints = [crimp_limits_in_order("crimp_specification_limits_in_order")]

    def __str__(self) -> str:
        return f"{self.chart_issue}: {self.hose} with {self.series}"
