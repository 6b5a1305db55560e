"""One and only one way to write a fact down, so that a hash of it can be checked for ever.

JSON in the form of RFC 8785 (sorted keys, no spaces, one way to write each number). Quantities are
whole numbers of their stored unit, decimals and times are text: no fact is a binary float.
"""

import hashlib
import json
from collections.abc import Callable, Mapping
from datetime import UTC, date, datetime
from decimal import Decimal
from functools import cache
from typing import Any, TypeAlias, cast

import rfc8785
from django.db import models

from shop.ledger.misuse import NotRecordable

Json: TypeAlias = "bool | int | float | str | list[Json] | tuple[Json, ...] | Mapping[str, Json] | None"
AnyField: TypeAlias = "models.Field[Any, Any]"
LARGEST_WHOLE = 2**53 - 1  # RFC 8785 takes numbers as I-JSON does: beyond it they are not the same everywhere
_NAMES = {str}  # what the keys of an object may be
_write_plain = json.JSONEncoder(ensure_ascii=False, separators=(",", ":"), sort_keys=True).encode
GENESIS = "0" * 64  # stands for "the hash before the first entry"

ENTRY_PARTS = ("number", "happened_at", "recorded_at", "actor_number", "verb", "subject", "version", "facts")


def canonical(value: Any) -> str:
    """`value` as canonical JSON (RFC 8785); raises `NotRecordable` for what has no such form."""
    if _is_plain(value):
        return _write_plain(value)
    try:
        return rfc8785.dumps(value).decode()
    except rfc8785.CanonicalizationError as error:
        raise NotRecordable(f"This can't be written as canonical JSON: {error}.") from error


def _is_plain(value: Any) -> bool:
    """Whether Python's own JSON, which is several times as fast, writes this as RFC 8785 does.

    The two differ in floats, in large whole numbers, and in how they sort what is not ASCII.
    """
    kind = type(value)
    if kind is str:
        ascii_only: bool = value.isascii()
        return ascii_only
    if kind is int:
        return bool(-LARGEST_WHOLE <= value <= LARGEST_WHOLE)
    if kind is dict:
        names = set(map(type, value)) <= _NAMES and all(map(str.isascii, value))
        return names and all(map(_is_plain, value.values()))
    if kind is list or kind is tuple:
        return all(map(_is_plain, value))
    return value is None or kind is bool


def lasting(value: Any) -> str:
    """Canonical JSON that also reads back as the same: what the ledger may hold.

    RFC 8785 writes the float 2.0**53 as a whole number, which it then refuses as one. Such a value
    could be written and never be checked. Raises `NotRecordable`.
    """
    text = canonical(value)
    if canonical(json.loads(text)) != text:
        raise NotRecordable(f"This does not read back as the same: {text}.")
    return text


def instant(moment: datetime) -> str:
    """A time as UTC with microseconds: `2026-11-05T14:03:22.000123Z`."""
    return moment.astimezone(UTC).isoformat(timespec="microseconds").removesuffix("+00:00") + "Z"


def sha256(text: str) -> str:
    """SHA-256 of the UTF-8 form, as 64 hexadecimal digits."""
    return hashlib.sha256(text.encode()).hexdigest()


def private_hash(salt: str, value: str) -> str:
    """What the chain holds of a text that may have to be erased: SHA-256 of salt and text."""
    return sha256(salt + value)


def entry_hash(*, site: str, previous: str, parts: Mapping[str, Any]) -> str:
    """The hash that ties an entry to its place: SHA-256 over all of it and the previous hash."""
    return sha256(hashed_text(site=site, previous=previous, parts=parts))


def hashed_text(*, site: str, previous: str, parts: Mapping[str, Any]) -> str:
    """What the hash of an entry is over, as canonical JSON.

    `parts` are the entry's own columns; its two times may be `datetime`. `done_by` came later: where it
    is empty, the hash is what it was before there was such a column.
    """
    content = {name: parts[name] for name in ENTRY_PARTS}
    for name in ("happened_at", "recorded_at"):
        if isinstance(content[name], datetime):
            content[name] = instant(content[name])
    if parts.get("done_by") is not None:
        content["done_by"] = parts["done_by"]
    return canonical({"chain": site, "previous": previous, **content})


def fact_of(field: "AnyField", value: Any) -> Json:
    """What the ledger writes of a column's value; raises `NotRecordable` for a kind without a form.

    Lengths are whole nanometres and pressures whole pascals (as in the database), keys the other
    row's key, dates and times ISO 8601, decimals text with the column's places, bytes their SHA-256.
    """
    return form_of(field)(value)


@cache
def form_of(field: "AnyField") -> Callable[[Any], Json]:
    """How `fact_of` writes the values of this column; raises `NotRecordable` for a kind without a form."""
    target = field
    while isinstance(target, models.ForeignKey):
        target = target.target_field
    form = next((form for kind, form in _FORMS.items() if isinstance(target, kind)), None)
    if form is None:
        raise NotRecordable(f"The ledger has no form for {field}, a {type(target).__name__}.")
    return lambda value: None if value is None else form(target, value)


def has_form(field: "AnyField") -> bool:
    """Whether the ledger can write values of this kind of column."""
    try:
        form_of(field)
    except NotRecordable:
        return False
    return True


def _as_stored(field: "AnyField", value: Any) -> Json:
    stored: Json = field.get_prep_value(value)
    return stored


def _as_text(field: "AnyField", value: Any) -> str:
    return str(field.get_prep_value(value))


def _with_places(field: "AnyField", value: Decimal) -> str:
    # The database gives 1.5 back as 1.500 where the column has three places.
    return f"{value:.{cast('models.DecimalField[Any, Any]', field).decimal_places}f}"


_FORMS: dict[type["AnyField"], Callable[["AnyField", Any], Json]] = {
    models.BooleanField: lambda _, value: bool(value),
    models.IntegerField: _as_stored,  # LengthField and PressureField are such
    models.DecimalField: _with_places,
    models.DateTimeField: lambda _, value: instant(value),
    models.DateField: lambda _, value: cast(date, value).isoformat(),
    models.CharField: _as_text,
    models.TextField: _as_text,
    models.FileField: _as_text,
    models.UUIDField: _as_text,
    models.JSONField: lambda _, value: cast("Json", value),
    models.BinaryField: lambda _, value: hashlib.sha256(bytes(value)).hexdigest(),
}
