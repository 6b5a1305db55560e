"""The list of what failed in the field."""

from typing import Any

import django_filters
import django_tables2 as tables
from django.db.models import QuerySet

from shop.trace.models import FailureFinding, FailureMode, FailureReport, Hurt, Verdict
from shop.web.registers.filters import RegisterFilter
from shop.web.templatetags.quantities import clock, day

OPEN = "open"
NOT_LOOKED = "nobody has looked yet"


class FailureFilter(RegisterFilter):
    """By what was found, how it failed, and whether somebody was hurt."""

    SEARCH = (
        "code",
        "assembly__code",
        "assembly__run__line__order__number",
        "assembly__run__line__order__customer__name",
    )

    stands = django_filters.ChoiceFilter(
        method="by_finding",
        label="Stands",
        empty_label="any",
        choices=[(OPEN, NOT_LOOKED), *Verdict.choices],
    )
    mode = django_filters.ChoiceFilter(
        method="by_mode", label="How", empty_label="any", choices=FailureMode.choices
    )

    class Meta:
        model = FailureReport
        fields = ("hurt",)

    def by_finding(self, rows: QuerySet[Any], name: str, value: str) -> QuerySet[Any]:
        if value == OPEN:
            return rows & FailureReport.objects.unread()
        return rows.filter(pk__in=FailureFinding.objects.newest().filter(verdict=value).values("report"))

    def by_mode(self, rows: QuerySet[Any], name: str, value: str) -> QuerySet[Any]:
        """By what was found; of what nobody has looked at, by what was reported."""
        found = FailureFinding.objects.newest().filter(mode=value).values("report")
        unread = FailureReport.objects.unread().filter(mode=value).values("pk")
        return rows.filter(pk__in=found) | rows.filter(pk__in=unread)


class FailureTable(tables.Table):
    """Reports, the newest first."""

    code = tables.Column(verbose_name="Report", linkify=("web:failure", [tables.A("code")]))
    reported = tables.Column(accessor="entry__happened_at", verbose_name="Reported")
    serial = tables.Column(
        accessor="assembly__serial",
        verbose_name="Assembly",
        linkify=("web:assembly", [tables.A("assembly__code")]),
    )
    customer = tables.Column(
        accessor="assembly__run__line__order__customer",
        order_by="assembly__run__line__order__customer__name",
    )
    failed_on = tables.Column()
    mode = tables.Column(verbose_name="As reported")
    found = tables.Column(empty_values=(), orderable=False)
    hurt = tables.Column(verbose_name="Hurt")
    origin = tables.Column(verbose_name="Came")

    class Meta:
        model = FailureReport
        fields = ("code", "reported", "serial", "found", "hurt", "mode", "customer", "failed_on", "origin")
        order_by = "-reported"
        caption = "Failures in the field"

    def render_code(self, record: FailureReport) -> str:
        return record.printed_code

    def render_reported(self, value: Any) -> str:
        return clock(value)

    def render_failed_on(self, value: Any) -> str:
        return day(value)

    def render_found(self, record: FailureReport) -> str:
        findings = list(record.findings.all())
        return findings[-1].says if findings else NOT_LOOKED

    def render_hurt(self, record: FailureReport) -> str:
        words: str = record.get_hurt_display()
        return words.upper() if record.hurt == Hurt.YES else words
