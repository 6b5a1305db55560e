"""Who has shown that he can take a step, on which series and machine, and until when."""

import datetime
from typing import ClassVar

from django.db import models
from django.db.models import F, Q

from shop.catalogue.models import FittingSeries
from shop.people.models import User
from shop.tooling.models import Crimper


class AuthorisedStep(models.TextChoices):
    """The steps for which a workshop may ask more than a role."""

    SET_UP = "set_up", "set up"
    CRIMP = "crimp", "crimp"
    INSPECT = "inspect", "inspect"
    TEST = "test", "proof test"
    RELEASE = "release", "tag and release"


AT_A_CRIMPER = (AuthorisedStep.SET_UP, AuthorisedStep.CRIMP)


class Authority(models.Model):
    """One step that one person may take. It is never deleted: it ends on its last day."""

    PRIVATE_FIELDS: ClassVar[frozenset[str]] = frozenset({"shown_by"})

    person = models.ForeignKey(User, models.PROTECT, related_name="authorities")
    step = models.CharField("may", max_length=8, choices=AuthorisedStep)
    series = models.ForeignKey(
        FittingSeries,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="authorities",
        verbose_name="fitting series",
        help_text="Empty: every series.",
    )
    crimper = models.ForeignKey(
        Crimper,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="authorities",
        help_text="Only for setting up and crimping. Empty: every crimper.",
    )
    valid_from = models.DateField("from")
    expires_on = models.DateField(
        "last day", null=True, blank=True, help_text="It still holds on that day. Empty: until it is ended."
    )
    shown_by = models.CharField(
        "shown by", max_length=120, blank=True, help_text="The course, the trial, or who watched."
    )

    class Meta:
        verbose_name_plural = "authorities"
        ordering = ["person__number", "step", "pk"]
        constraints = [
            models.CheckConstraint(
                name="authority_ends_after_it_begins",
                condition=Q(expires_on=None) | Q(expires_on__gte=F("valid_from")),
                violation_error_message="The last day is before the first. Check both.",
            ),
            models.CheckConstraint(
                name="authority_names_a_crimper_only_where_one_is_used",
                condition=Q(crimper=None) | Q(step__in=AT_A_CRIMPER),
                violation_error_message="No crimper is used for that step. Leave the crimper empty.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.person}: {self.what}"

    @property
    def what(self) -> str:
        """What it allows, in words: 'crimp Ostrava Ends Row on press 1'."""
        on = f" on {self.crimper}" if self.crimper is not None else ""
        return f"{self.get_step_display()} {self.series or 'every series'}{on}"

    def holds_on(self, day: datetime.date) -> bool:
        """Whether that day is one of its days, the last included."""
        return self.valid_from <= day and (self.expires_on is None or day <= self.expires_on)

    def covers(self, series: FittingSeries, crimper: Crimper | None) -> bool:
        """Whether it is for that series and that machine."""
        return self.series_id in (None, series.pk) and (
            self.crimper_id is None or (crimper is not None and self.crimper_id == crimper.pk)
        )
