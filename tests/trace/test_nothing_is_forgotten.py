"""A kind of record that somebody adds is shown with the assembly that it is about, or was ordered by."""

import typing

import pytest

from shop.assemblies.models import Assembly
from shop.ledger.models import Record
from shop.ledger.triggers import record_models
from shop.orders.models import OrderLine
from shop.trace.gathering import Gathered


def _kinds_in(annotation: object) -> set[object]:
    parts = typing.get_args(annotation)
    return set().union(*map(_kinds_in, parts)) if parts else {annotation}


GATHERED = set().union(*map(_kinds_in, typing.get_type_hints(Gathered).values()))
ABOUT_ASSEMBLIES = [
    record
    for record in record_models()
    if record.__module__.startswith("shop.")
    and any(field.related_model in (Assembly, OrderLine) for field in record._meta.concrete_fields)
]


@pytest.mark.parametrize("record", ABOUT_ASSEMBLIES, ids=lambda record: record.KIND)
def test_the_record_of_an_assembly_gathers_it(record: type[Record]) -> None:
    assert record in GATHERED
