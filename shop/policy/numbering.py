"""Numbers that people say aloud: orders and assemblies count upwards, none twice."""

from django.db.models import Max, QuerySet

from shop.policy.models import Workshop


def next_number(rows: QuerySet, field: str) -> int:  # type: ignore[type-arg]  # rows of any model
    """The number after the largest; the workshop's row is locked until the transaction ends."""
    Workshop.objects.select_for_update(no_key=True).get()
    last: int | None = rows.aggregate(last=Max(field))["last"]
    return (last or 0) + 1
