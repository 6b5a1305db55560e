"""That another lot went into a crimp than was named. Written once; the first stays beside it."""

from typing import ClassVar

from django.db import models

from shop.assemblies.models.making import Crimp
from shop.ledger.models import Record
from shop.stock.models import Lot


class LotCorrection(Record):
    """The lots that a crimp was made of after all; the newest counts. The reason is beside the entry."""

    KIND = "lot_correction"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {
        1: ("crimp", "fitting_lot", "ferrule_lot", "independently_checked")
    }

    crimp = models.ForeignKey(Crimp, models.PROTECT, related_name="lot_corrections")
    fitting_lot = models.ForeignKey(Lot, models.PROTECT, related_name="corrections_of_fitting")
    ferrule_lot = models.ForeignKey(
        Lot, models.PROTECT, null=True, blank=True, related_name="corrections_of_ferrule"
    )
    independently_checked = models.BooleanField()

    class Meta:
        ordering = ["entry"]

    def __str__(self) -> str:
        return f"{self.crimp}: made of {self.fitting_lot}"


def lots_of(crimp: Crimp) -> tuple[Lot, Lot | None]:
    """The lots of fitting and ferrule that a crimp was made of, as far as is known now."""
    newest = max(crimp.lot_corrections.all(), key=lambda correction: correction.pk, default=None)
    named = newest or crimp
    return named.fitting_lot, named.ferrule_lot
