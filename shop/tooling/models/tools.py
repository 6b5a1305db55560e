"""What goes into the press, numbered: crimpers, die sets, stop parts, and the checks of their condition."""

from typing import ClassVar

from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import Q

from shop.catalogue.models import DieType, StopKind, StopType
from shop.core.fields import LengthField
from shop.core.labels import Labelled
from shop.ledger.models import Record


class Tool(Labelled):
    """What is common to everything in the cabinet."""

    number = models.CharField(
        max_length=30, unique=True, error_messages={"unique": "Another item has this number."}
    )
    mark = models.CharField(
        max_length=80, blank=True, help_text="What tells it apart at the bench: stamped, notched, painted …"
    )
    place = models.CharField(max_length=60, blank=True, help_text="Where it is kept.")
    blocked_because = models.CharField(
        "not to be used because", max_length=120, blank=True, help_text="Empty: it may be used."
    )

    class Meta:
        abstract = True

    def __str__(self) -> str:
        return f"{self.number} ({self.mark})" if self.mark else self.number

    @property
    def is_usable(self) -> bool:
        """Whether nobody has blocked it."""
        return not self.blocked_because


class WornTool(Tool):
    """A tool that wears with each crimp and is looked at after so many of them."""

    check_every_uses = models.PositiveIntegerField(
        "checked every, crimps",
        null=True,
        blank=True,
        validators=[MinValueValidator(1)],
        help_text="By its maker or your own rule. Empty: no check by use.",
    )

    class Meta:
        abstract = True


class Crimper(WornTool):
    """A machine with one kind of stop."""

    KIND_LETTER = "C"

    stop_kind = models.CharField("kind of stop", max_length=8, choices=StopKind)
    offset = models.DecimalField(
        "what its scale reads at nought",
        max_digits=8,
        decimal_places=3,
        null=True,
        blank=True,
        help_text="Of a dial or numeric crimper, in marks of its own scale. Empty: not looked at.",
    )

    class Meta:
        ordering = ["number"]
        constraints = [
            models.CheckConstraint(
                name="only_a_scale_has_an_offset",
                condition=Q(offset=None) | ~Q(stop_kind=StopKind.PART),
                violation_error_message="A crimper with stop parts has no scale. Leave its reading empty.",
            ),
        ]


class DieSet(WornTool):
    """A set of dies."""

    KIND_LETTER = "D"

    die_type = models.ForeignKey(DieType, models.PROTECT, related_name="sets")
    condition = models.CharField(max_length=120, blank=True)

    class Meta:
        ordering = ["number"]


class StopPart(WornTool):
    """A stop part, for crimpers that have them."""

    KIND_LETTER = "S"

    stop_type = models.ForeignKey(StopType, models.PROTECT, related_name="parts")
    thickness = LengthField("measured thickness", null=True, blank=True)

    class Meta:
        ordering = ["number"]


class ToolCheck(Record):
    """Somebody has looked at a crimper, a die set or a stop part and says whether it may be used.

    `uses` is how many crimps it had made by then. What was seen is free text and stands beside the
    entry, as "condition".
    """

    KIND = "tool_check"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {
        1: ("crimper", "die_set", "stop_part", "uses", "passed", "photo_sha256"),
    }

    crimper = models.ForeignKey(Crimper, models.PROTECT, null=True, blank=True, related_name="checks")
    die_set = models.ForeignKey(DieSet, models.PROTECT, null=True, blank=True, related_name="checks")
    stop_part = models.ForeignKey(StopPart, models.PROTECT, null=True, blank=True, related_name="checks")
    uses = models.PositiveIntegerField("crimps made by then")
    passed = models.BooleanField("fit for use")
    photo_sha256 = models.CharField(
        max_length=64, blank=True, help_text="Of the photo's bytes; empty without."
    )

    class Meta:
        ordering = ["entry"]
        constraints = [
            models.CheckConstraint(
                name="tool_check_of_one_tool",
                condition=Q(crimper__isnull=False, die_set=None, stop_part=None)
                | Q(crimper=None, die_set__isnull=False, stop_part=None)
                | Q(crimper=None, die_set=None, stop_part__isnull=False),
                violation_error_message="A check is of one tool. Name the one that was looked at.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.tool} looked at: {'fit' if self.passed else 'not fit'} for use"

    @property
    def tool(self) -> WornTool:
        """The tool that was looked at."""
        found = self.crimper or self.die_set or self.stop_part
        assert found is not None, "the constraint wants one"
        return found
