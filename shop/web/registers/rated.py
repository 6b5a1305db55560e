"""Parts with a rating by whether a named person has found that very figure in its document."""

from typing import Any

from django.db.models import Exists, OuterRef, QuerySet


def confirmed(parts: QuerySet[Any]) -> QuerySet[Any]:
    """Those whose rating, as it stands now, is confirmed."""
    return parts.exclude(printed_value="").filter(_confirmation(parts))


def unconfirmed(parts: QuerySet[Any]) -> QuerySet[Any]:
    """Those with a rating that nobody has confirmed as it stands now."""
    return parts.exclude(printed_value="").exclude(_confirmation(parts))


def _confirmation(parts: QuerySet[Any]) -> Exists:
    confirmations = parts.model._meta.get_field("confirmations").related_model._default_manager
    return Exists(
        confirmations.filter(
            part=OuterRef("pk"),
            printed_value=OuterRef("printed_value"),
            printed_unit=OuterRef("printed_unit"),
        )
    )
