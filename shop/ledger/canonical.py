"""One and only one way to write a fact down, so that a hash of it can be checked for ever.

JSON in the form of RFC 8785 (sorted keys, no spaces, one way to write each number). Quantities are
whole numbers of their stored unit, decimals and times are text: no fact is a binary float.
"""

import hashlib
from collections.abc import Mapping
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any, TypeAlias

import rfc8785
from django.db import models

from shop.ledger.misuse import NotRecordable

Json: TypeAlias = "bool | int | float | str | list[Json] | tuple[Json, ...] | Mapping[str, Json] | None"
GENESIS = "0" * 64  # stands for "the hash before the first entry"

_ENTRY_PARTS = ("number", "happened_at", "recorded_at", "actor_number", "verb", "subject", "version", "facts")


def canonical(value: Any) -> str:
    """`value` as canonical JSON (RFC 8785); raises `NotRecordable` for what has no such form."""
    try:
        return rfc8785.dumps(value).decode()
    except rfc8785.CanonicalizationError as error:
        raise NotRecordable(f"This can't be written as canonical JSON: {error}.") from error


def instant(moment: datetime) -> str:
    """A time as UTC with microseconds: `2026-11-05T14:03:22.000123Z`."""
    return moment.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")


def sha256(text: str) -> str:
    """SHA-256 of the UTF-8 form, as 64 hexadecimal digits."""
    return hashlib.sha256(text.encode()).hexdigest()


def private_hash(salt: str, value: str) -> str:
    """What the chain holds of a text that may have to be erased: SHA-256 of salt and text."""
    return sha256(salt + value)


def entry_hash(*, site: str, previous: str, parts: Mapping[str, Any]) -> str:
    """The hash that ties an entry to its place: SHA-256 over all of it and the previous hash.

    `parts` are the entry's own columns; its two times may be `datetime`.
    """
    content = {name: _moment_or(parts[name]) for name in _ENTRY_PARTS}
    return sha256(canonical({"chain": site, "previous": previous, **content}))


def _moment_or(value: Any) -> Any:
    return instant(value) if isinstance(value, datetime) else value


def fact_of(field: "models.Field[Any, Any]", value: Any) -> Json:
    """What the ledger writes of a column's value.

    Lengths are whole nanometres and pressures whole pascals (as in the database), keys are the
    other row's key, dates and times ISO 8601, decimals text with the column's places, bytes their
    SHA-256.
    """
    if value is None:
        return None
    match field:
        case models.ForeignKey():
            return fact_of(field.target_field, value)
        case models.BooleanField():
            return bool(value)
        case models.IntegerField():  # LengthField and PressureField are such
            stored: int = field.get_prep_value(value)
            return stored
        case models.DecimalField():
            return _decimal_text(field, value)
        case models.DateTimeField():
            return instant(value)
        case models.DateField():
            return _iso_date(value)
        case models.CharField() | models.TextField() | models.FileField() | models.UUIDField():
            return str(field.get_prep_value(value))
        case models.JSONField():
            return value  # type: ignore[no-any-return]  # whatever JSON the model validated
        case models.BinaryField():
            return hashlib.sha256(bytes(value)).hexdigest()
    raise NotRecordable(f"The ledger has no form for {field}, a {type(field).__name__}.")


def _iso_date(value: date) -> str:
    return value.isoformat()


def _decimal_text(field: "models.DecimalField[Any, Any]", value: Decimal) -> str:
    """With the column's places, because that is how the database gives it back."""
    return f"{value:.{field.decimal_places}f}"
