"""The list of seals."""

import datetime

import django_tables2 as tables

from shop.ledger.models import LedgerSeal
from shop.web.templatetags.quantities import clock


class SealTable(tables.Table):
    """Every seal, the newest first."""

    sealed_at = tables.Column(verbose_name="Sealed", linkify=("web:ledger_seal", [tables.A("pk")]))
    chain = tables.Column()
    first = tables.Column(verbose_name="From entry")
    last = tables.Column(verbose_name="To entry")
    root = tables.Column(attrs={"td": {"class": "code"}}, orderable=False)
    key = tables.Column(accessor="key__number", verbose_name="Key")

    class Meta:
        model = LedgerSeal
        fields = ("sealed_at", "chain", "first", "last", "key", "root")
        order_by = "-sealed_at"
        caption = "Seals"

    def render_sealed_at(self, value: datetime.datetime) -> str:
        return clock(value)

    def render_root(self, value: str) -> str:
        return f"{value[:16]}…"

    def value_root(self, value: str) -> str:
        return value
