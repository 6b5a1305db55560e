"""Papers that were issued, kept as the very bytes that were printed."""

from typing import ClassVar

from django.db import models

from shop.assemblies.models import Tag
from shop.ledger.models import Record


class Paper(Record):
    """One issued PDF. Its bytes lie in the files folder under their SHA-256."""

    KIND = "paper"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {1: ("kind", "tag", "sha256", "size")}

    kind = models.CharField(max_length=12, choices=[("tag", "tag")])
    tag = models.OneToOneField(Tag, models.PROTECT, null=True, blank=True, related_name="paper")
    sha256 = models.CharField(max_length=64)
    size = models.PositiveIntegerField()

    def __str__(self) -> str:
        return f"{self.get_kind_display()} {self.sha256[:8]}"
