"""Runs and assemblies: the nouns that change while the bench works."""

from typing import ClassVar

from django.conf import settings
from django.db import models
from django.db.models import Q

from shop.catalogue.models import CrimpSpecification, Fitting, FittingSeries
from shop.core.labels import Labelled
from shop.orders.models import OrderLine, Resolution


class End(models.TextChoices):
    """One end of an assembly."""

    A = "A", "end A"
    B = "B", "end B"


class State(models.TextChoices):
    """How far an assembly has come on its road."""

    PLANNED = "planned", "planned"
    CUT = "cut", "cut"
    CRIMPED_A = "crimped_a", "crimped at end A"
    CRIMPED_B = "crimped_b", "crimped at both ends"
    INSPECTED = "inspected", "inspected"
    TESTED = "tested", "proof tested"
    TAGGED = "tagged", "marked and tagged"
    RELEASED = "released", "released"
    SHIPPED = "shipped", "shipped"
    RETIRED = "retired", "retired"
    SCRAPPED = "scrapped", "scrapped"


class Trouble(models.TextChoices):
    """An open question that keeps an assembly where it is."""

    NONE = "", "no open question"
    HELD = "held", "held: inside the limits, not proven"
    FAILED = "failed", "failed"


ON_THE_ROAD = (
    State.PLANNED,
    State.CUT,
    State.CRIMPED_A,
    State.CRIMPED_B,
    State.INSPECTED,
    State.TESTED,
    State.TAGGED,
)
OUT_OF_THE_WORKSHOP = (State.RELEASED, State.SHIPPED)
DONE_WITH = (State.RETIRED, State.SCRAPPED)


class Run(models.Model):
    """Equal assemblies made on one set-up."""

    line = models.ForeignKey(OrderLine, models.PROTECT, related_name="runs")
    # The newest resolution of the line: it moves when the line is resolved again for a newer chart.
    # What each crimp was made to stands in its own record.
    resolution = models.ForeignKey(Resolution, models.PROTECT, related_name="runs")
    number = models.PositiveSmallIntegerField()
    # Who wants it made before its turn, and since when; what was pulled first is made first.
    pulled_at = models.DateTimeField(null=True, blank=True)
    pulled_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )

    class Meta:
        ordering = ["line", "number"]
        constraints = [
            models.UniqueConstraint(
                fields=["line", "number"],
                name="one_run_per_number",
                violation_error_message="The line has a run by that number already.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.line}, run {self.number}"


class AssemblyQuerySet(models.QuerySet["Assembly"]):
    """Questions about assemblies."""

    def on_the_bench(self) -> "AssemblyQuerySet":
        """Those that still have a step before them in the workshop."""
        return self.filter(state__in=ON_THE_ROAD)


class Assembly(Labelled):
    """One hose with an end on each side, its serial and its tag."""

    KIND_LETTER = "A"
    # Both follow from the records, which are in the ledger themselves.
    UNNOTED_FIELDS: ClassVar[frozenset[str]] = frozenset({"state", "trouble"})

    run = models.ForeignKey(Run, models.PROTECT, related_name="assemblies")
    serial = models.PositiveIntegerField(unique=True)
    state = models.CharField(max_length=10, choices=State, default=State.PLANNED, db_index=True)
    trouble = models.CharField(max_length=6, choices=Trouble, default=Trouble.NONE, blank=True)
    replaces = models.OneToOneField("self", models.PROTECT, null=True, blank=True, related_name="replaced_by")

    objects = AssemblyQuerySet.as_manager()

    class Meta:
        ordering = ["serial"]
        verbose_name_plural = "assemblies"
        constraints = [
            models.CheckConstraint(
                name="no_release_with_an_open_question",
                condition=Q(trouble=Trouble.NONE)
                | ~Q(state__in=[State.TAGGED, State.RELEASED, State.SHIPPED]),
                violation_error_message="What is held or failed is not tagged, released or shipped.",
            ),
        ]

    def __str__(self) -> str:
        return f"assembly {self.serial}"

    @property
    def resolution(self) -> Resolution:
        """What it is made to."""
        return self.run.resolution

    def specification(self, end: End) -> CrimpSpecification:
        """The chart's line for that end, as confirmed."""
        resolution = self.resolution
        return resolution.specification_a if end == End.A else resolution.specification_b

    def specification_id(self, end: End) -> int:
        """The key of that line, for who only compares it."""
        resolution = self.resolution
        key: int = resolution.specification_a_id if end == End.A else resolution.specification_b_id
        return key

    @property
    def series(self) -> tuple[FittingSeries, ...]:
        """The series of both ends' charts."""
        return tuple(self.specification(end).series for end in End)

    def fitting(self, end: End) -> Fitting:
        """The fitting for that end."""
        resolution = self.resolution
        return resolution.fitting_a if end == End.A else resolution.fitting_b

    def fitting_id(self, end: End) -> int:
        """The key of that fitting, for who only compares it."""
        resolution = self.resolution
        return resolution.fitting_a_id if end == End.A else resolution.fitting_b_id
