"""Rows as they lie in the database, written in canonical form: for whoever reads very many of them.

No instance is made of a row, and what lies there as the ledger writes it is not converted to and fro. What
comes out is what `canonical(row_facts(…))` says of the instance, to the letter.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import datetime
from functools import cache
from json.encoder import encode_basestring
from typing import Any

from django.db import connection, models

from shop.ledger.canonical import LARGEST_WHOLE, AnyField, canonical, form_of, instant
from shop.ledger.misuse import NotRecordable

Form = Callable[[Any], str]  # from a value as it is stored to canonical JSON
Writer = Callable[[Iterable[Any]], str]
FAR = 2**62  # behind the last key of any table


def texts_between(
    model: type[models.Model], names: tuple[str, ...], first: int, last: int = FAR, *, most: int
) -> dict[int, str]:
    """These columns of the rows from one key to another as canonical JSON, by key and in its order.

    Not more than `most`, from the first. Raises what Python or Django raises over a value that no program
    of ours can have written into its column.
    """
    sql, write = _reading(model, names)
    with connection.cursor() as cursor:
        cursor.execute(sql, [first, last, most])
        return {key: write(values) for key, *values in cursor.fetchall()}


def pages_of(model: type[models.Model], names: tuple[str, ...], *, at_once: int) -> Iterator[dict[int, str]]:
    """These columns of all rows, so many rows at a time. Raises what `texts_between` raises."""
    last = -FAR
    while page := texts_between(model, names, last + 1, most=at_once):
        yield page
        last = max(page)


@cache
def _reading(model: type[models.Model], names: tuple[str, ...]) -> tuple[str, Writer]:
    """What reads the columns of these names, and what writes them."""
    forms = {name: stored_form(model, name) for name in sorted(names)}
    fields: list[Any] = [model._meta.pk, *map(model._meta.get_field, forms)]
    key, *columns = (connection.ops.quote_name(field.column) for field in fields)
    named, table = ", ".join([key, *columns]), connection.ops.quote_name(model._meta.db_table)
    between = f"{key} BETWEEN %s AND %s ORDER BY {key} LIMIT %s"
    sql = f"SELECT {named} FROM {table} WHERE {between}"  # noqa: S608  # Django's own names
    return sql, writer(forms)


def writer(forms: Mapping[str, Form]) -> Writer:
    """Writes objects that all have the same names, from their values in the order of the sorted names."""
    names = sorted(forms)
    template = "{" + ",".join(f"{quoted(name)}:%s" for name in names) + "}"
    in_order = [forms[name] for name in names]

    def write(values: Iterable[Any]) -> str:
        return template % tuple([form(value) for form, value in zip(in_order, values, strict=True)])

    return write


def stored_form(model: type[models.Model], name: str) -> Form:
    """How a stored value of this column is written."""
    target: Any = model._meta.get_field(name)
    while isinstance(target, models.ForeignKey):
        target = target.target_field
    form = next((form for kind, form in _AS_STORED.items() if isinstance(target, kind)), None)
    return form or _converted(target)


def quoted(text: str | None) -> str:
    """A text in canonical JSON."""
    return "null" if text is None else encode_basestring(text)


def _whole(number: int | None) -> str:
    if number is None:
        return "null"
    if type(number) is not int or not -LARGEST_WHOLE <= number <= LARGEST_WHOLE:
        raise NotRecordable(f"{number!r} is no whole number that the ledger can hold.")
    return repr(number)


def _truth(value: bool | int | None) -> str:
    return "null" if value is None else "true" if value else "false"


def _moment(moment: datetime | str | None) -> str:
    if moment is None:
        return "null"
    if isinstance(moment, str):  # SQLite's, which has no zone
        moment = datetime.fromisoformat(moment)
        if moment.tzinfo is None:
            return f'"{moment.isoformat(timespec="microseconds")}Z"'
    return f'"{instant(moment)}"'


def _converted(field: AnyField) -> Form:
    """By way of the value that an instance would have: right for every kind of column, and slow."""
    column, form = field.get_col(field.model._meta.db_table), form_of(field)
    converters = [*connection.ops.get_db_converters(column), *column.get_db_converters(connection)]

    def write(value: Any) -> str:
        for convert in converters:
            value = convert(value, column, connection)
        return canonical(form(value))

    return write


# Kinds of columns whose values lie there as the ledger writes them, or nearly so.
_AS_STORED: Mapping[type[AnyField], Form] = {
    models.BooleanField: _truth,
    models.IntegerField: _whole,  # LengthField and PressureField are such
    models.DateTimeField: _moment,
    models.CharField: quoted,
    models.TextField: quoted,
}
