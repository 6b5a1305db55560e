"""What a chart calls the tooling. The numbered item in the drawer is in `shop.tooling`."""

from django.db import models

from shop.core.fields import LengthField


class DieType(models.Model):
    """A die as charts name it."""

    designation = models.CharField(
        max_length=40, unique=True, error_messages={"unique": "This die type is in the list already."}
    )
    dies_in_set = models.PositiveSmallIntegerField("dies in a set", default=8)
    closed_diameter = LengthField("diameter when closed", null=True, blank=True)
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["designation"]

    def __str__(self) -> str:
        return self.designation


class StopType(models.Model):
    """A stop part as charts name it."""

    designation = models.CharField(
        max_length=40, unique=True, error_messages={"unique": "This stop type is in the list already."}
    )
    thickness = LengthField(null=True, blank=True)
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["designation"]

    def __str__(self) -> str:
        return self.designation
