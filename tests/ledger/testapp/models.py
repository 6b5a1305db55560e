"""A tool that may change, and what is recorded of it once."""

from typing import ClassVar

from django.db import models
from django.db.models import Q

from shop.core.fields import LengthField, PressureField
from shop.ledger.models import Record


class Shelf(models.Model):
    name = models.CharField(max_length=20)

    def __str__(self) -> str:
        return self.name


class Tool(models.Model):
    PRIVATE_FIELDS: ClassVar[frozenset[str]] = frozenset({"keeper"})
    UNNOTED_FIELDS: ClassVar[frozenset[str]] = frozenset({"looked_at"})

    mark = models.CharField(max_length=20, unique=True)
    bore = LengthField(null=True, blank=True)
    keeper = models.CharField(max_length=40, blank=True)
    looked_at = models.IntegerField(default=0)
    shelves = models.ManyToManyField(Shelf, blank=True)

    def __str__(self) -> str:
        return self.mark


class Wear(Record):
    """One look at a tool. `attempt` is unique per tool; only one look of a tool can be the last."""

    KIND = "test_wear"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {
        1: ("tool", "attempt", "bore", "pressure", "weight", "checked_on", "seen_at", "parts", "last"),
        2: (
            "tool",
            "attempt",
            "bore",
            "pressure",
            "weight",
            "checked_on",
            "seen_at",
            "parts",
            "last",
            "finish",
        ),
    }

    tool = models.ForeignKey(Tool, models.PROTECT, related_name="wear")
    attempt = models.PositiveIntegerField()
    bore = LengthField()
    pressure = PressureField(null=True, blank=True)
    weight = models.DecimalField(max_digits=8, decimal_places=3, null=True, blank=True)
    checked_on = models.DateField(null=True, blank=True)
    seen_at = models.DateTimeField(null=True, blank=True)
    parts = models.JSONField(default=list, blank=True)
    last = models.BooleanField(default=False)
    finish = models.CharField(max_length=20, null=True, blank=True)  # noqa: DJ001  # came with version 2

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["tool", "attempt"], name="wear_attempt_once"),
            models.UniqueConstraint(fields=["tool"], condition=Q(last=True), name="wear_one_last"),
        ]


class Loss(Record):
    """A tool that can't be found."""

    KIND = "test_loss"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {1: ("tool",)}

    tool = models.OneToOneField(Tool, models.PROTECT, related_name="loss")
