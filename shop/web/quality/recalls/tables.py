"""Lists of recalls and of their members."""

from typing import Any

import django_tables2 as tables
from django.template.loader import render_to_string
from django.utils.html import format_html
from django.utils.safestring import SafeString

from shop.assemblies.models import Recall, RecallMember
from shop.assemblies.recalls import Progress
from shop.web.registers.tables import FigureColumn
from shop.web.templatetags.quantities import clock


class RecallTable(tables.Table):
    """Every recall with how far it has come."""

    number = tables.Column(verbose_name="Recall", linkify=("web:recall", [tables.A("number")]))
    suspected = tables.Column(accessor="says", orderable=False)
    opened = tables.Column(accessor="entry__happened_at")
    count = FigureColumn(verbose_name="Members")
    safe = FigureColumn(verbose_name="Made safe, %")
    stands = tables.Column(accessor="closing", verbose_name="Stands", orderable=False, empty_values=())

    class Meta:
        model = Recall
        fields = ("number", "suspected", "opened", "count", "safe", "stands")
        order_by = "-number"
        caption = "Recalls"

    def render_suspected(self, value: list[str]) -> str:
        return " ".join(value)

    def render_opened(self, value: Any) -> str:
        return clock(value)

    def render_safe(self, record: Any) -> int:
        return Progress.share(record.safe, record.count)

    def render_stands(self, record: Any) -> str:
        return "closed" if record.is_closed else "open"


class MemberTable(tables.Table):
    """The members of one recall; those to say something of are ticked."""

    tick = tables.Column(
        accessor="assembly_id", verbose_name="Tick", orderable=False, exclude_from_export=True
    )
    serial = tables.Column(
        accessor="assembly__serial",
        verbose_name="Assembly",
        linkify=("web:assembly", [tables.A("assembly__code")]),
    )
    code = tables.Column(accessor="assembly__printed_code", verbose_name="Code on the tag", orderable=False)
    state = tables.Column(accessor="assembly__state", verbose_name="Where it is")
    customer = tables.Column(
        accessor="assembly__run__line__order__customer",
        order_by="assembly__run__line__order__customer__name",
    )
    newest = tables.Column(verbose_name="What is known", empty_values=())

    class Meta:
        model = RecallMember
        fields = ("tick", "serial", "code", "state", "customer", "newest")
        order_by = "serial"
        caption = "Members"

    def render_tick(self, record: Any) -> SafeString:
        return format_html(
            '<input type="checkbox" name="member" value="{}" form="finding" aria-label="Assembly {}">',
            record.assembly_id,
            record.assembly.serial,
        )

    def render_state(self, record: Any) -> SafeString:
        assembly = record.assembly
        context = {"state": assembly.state, "label": assembly.get_state_display()}
        return render_to_string("web/parts/state.html", context)

    def value_state(self, record: Any) -> str:
        words: str = record.assembly.get_state_display()
        return words

    def render_newest(self, record: Any) -> str:
        words: str = record.get_newest_display()
        return words
