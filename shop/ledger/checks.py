"""What Django's `check` says of the ledger: the shape of records, and the triggers."""

from collections.abc import Iterator, Sequence
from typing import Any

from django.core import checks
from django.core.checks import CheckMessage, Error
from django.db import connections, models

from shop.ledger.canonical import has_form
from shop.ledger.facts import record_columns
from shop.ledger.models import Record
from shop.ledger.registry import verbs_of
from shop.ledger.triggers import missing, record_models


def check_records(**_: Any) -> list[CheckMessage]:
    """Each record says what its entries tell, in a way that stays true for ever."""
    kinds = [model.KIND for model in record_models()]
    errors = [error for model in record_models() for error in record_errors(model)]
    for model in record_models():
        if kinds.count(model.KIND) > 1:
            errors.append(Error(f"The kind {model.KIND!r} is used twice.", obj=model, id="ledger.E001"))
    return errors


def check_triggers(*, databases: Sequence[str] | None, **_: Any) -> list[CheckMessage]:
    """A warning and no error: `migrate`, which puts them back, does not run over errors."""
    return [
        checks.Warning(
            f"The trigger {name} is missing: records can be changed.",
            hint="Run `manage.py check_ledger` to see whether any was, then `manage.py migrate`.",
            id="ledger.W001",
        )
        for alias in databases or []
        for name in missing(connections[alias])
    ]


def record_errors(model: type[Record]) -> Iterator[CheckMessage]:
    """What would make an entry of this record untrue or uncheckable, now or one day."""
    versions = model.FIELDS
    if sorted(versions) != list(range(1, len(versions) + 1)):
        yield Error(f"Its versions are {sorted(versions)}, not 1, 2, …", obj=model, id="ledger.E002")
        return
    if set(versions[model.newest_version()]) != set(record_columns(model)):
        yield Error(
            "The newest version of FIELDS does not list exactly its columns.",
            hint=f"They are {record_columns(model)}.",
            obj=model,
            id="ledger.E003",
        )
        return
    for name in record_columns(model):
        field: models.Field[Any, Any] = model._meta.get_field(name)  # type: ignore[assignment]  # columns only
        if name not in versions[1] and not field.null:
            yield Error(f"{name} came after version 1 and must be nullable.", obj=model, id="ledger.E004")
        if not has_form(field):
            yield Error(f"The ledger has no form for {name}.", obj=model, id="ledger.E005")
        if getattr(field, "auto_now", False) or getattr(field, "auto_now_add", False):
            yield Error(
                f"{name} gets its value while it is saved, after the entry that tells it.",
                obj=model,
                id="ledger.E008",
            )
    if not verbs_of(model):
        yield Error("No verb is registered for it.", obj=model, id="ledger.E006")
    for constraint in model._meta.constraints:
        if isinstance(constraint, models.UniqueConstraint) and constraint.expressions:
            yield Error(
                f"{constraint.name} is over expressions, which the triggers can't guard.",
                obj=model,
                id="ledger.E007",
            )
