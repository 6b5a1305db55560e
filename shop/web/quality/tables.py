"""Lists of the place quality that are no registers."""

from typing import Any

import django_tables2 as tables
from django.template.loader import render_to_string
from django.utils.safestring import SafeString

from shop.assemblies.models import Assembly
from shop.assemblies.remedies import Wrong, what_is_wrong
from shop.assemblies.standing import standing_of
from shop.people.permissions import Permission


class HeldTable(tables.Table):
    """Assemblies that are held or failed."""

    serial = tables.Column(verbose_name="Assembly", linkify=("web:assembly", [tables.A("code")]))
    trouble = tables.Column(verbose_name="Stands")
    wrong = tables.Column(verbose_name="What is wrong", accessor="pk", orderable=False)
    state = tables.Column(verbose_name="How far")
    hose = tables.Column(accessor="run__line__hose", order_by="run__line__hose__designation")
    customer = tables.Column(
        accessor="run__line__order__customer", order_by="run__line__order__customer__name"
    )
    order = tables.Column(accessor="run__line__order", order_by="run__line__order__number")
    decide = tables.Column(
        accessor="code",
        verbose_name="At the bench",
        orderable=False,
        exclude_from_export=True,
        linkify=("web:bench_assembly", [tables.A("code")]),
    )

    class Meta:
        model = Assembly
        fields = ("serial", "trouble", "wrong", "decide", "state", "hose", "customer", "order")
        order_by = "serial"
        caption = "Held or failed"

    def render_trouble(self, record: Any) -> SafeString:
        context = {"state": record.trouble, "label": record.trouble}
        return render_to_string("web/parts/state.html", context)

    def value_trouble(self, record: Any) -> str:
        words: str = record.get_trouble_display()
        return words

    def render_wrong(self, record: Assembly) -> str:
        standing = standing_of(record)
        here, wrong = standing.end_in_trouble, what_is_wrong(standing)
        is_at_an_end = here is not None and wrong is not Wrong.TEST_FAILED
        return f"{here.end.label}: {wrong.value}" if here and is_at_an_end else wrong.value

    def render_decide(self) -> str:
        return "Measure or decide" if self.request.user.may(Permission.MAKE) else "See where it stands"
