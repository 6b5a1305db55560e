"""Forward from a thing to the assemblies that it touched, and back from an assembly to what touched it.

Both follow the table of links, so that neither knows of a way that the other doesn't.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, cast

from django.db.models import F, Model, QuerySet
from django.db.models.functions import Coalesce

from shop.assemblies.models import Assembly, Coverage
from shop.trace.links import LINKS, RECORDS, Deed, Link, each_once, links_to
from shop.trace.naming import NAMED_WITH
from shop.trace.suspicion import Suspicion, Window, resting_on

ALWAYS = Window()


@dataclass(frozen=True)
class Way:
    """How many assemblies a thing touched by one link."""

    link: Link
    count: int


def ways_to(thing: Model) -> list[Way]:
    """The ways in which the thing touched assemblies; one assembly may be touched in several."""
    ways = [Way(link, reached_by(thing, link).count()) for link in links_to(type(thing))]
    return [way for way in ways if way.count]


def reached_by(thing: Model, link: Link | None = None, window: Window = ALWAYS) -> QuerySet[Assembly]:
    """The assemblies that the thing touched by that link or by any, by serial.

    `window` is when that was done; for what was ordered, when the hose was cut.
    """
    first, *others = (
        suspicion_of(thing, link, window).assemblies()
        for link in ([link] if link is not None else links_to(type(thing)))
    )
    if not others:
        return first
    # One list of keys, not a row's choice among several: each part is found by its own index.
    keys = first.order_by().values("pk").union(*(found.order_by().values("pk") for found in others))
    return Assembly.objects.filter(pk__in=keys)


def on_record_with(things: Sequence[Model], moment: datetime | None) -> QuerySet[Assembly]:
    """The assemblies that things of one kind had touched by what was on record at that moment; None is now.

    Not for what an order names: that is no record.
    """
    found = [
        _assemblies_of(link, link.on_record([getattr(thing, link.key) for thing in things], moment), moment)
        for thing in things[:1]
        for link in links_to(type(thing))
    ]
    if not found:
        return Assembly.objects.none()
    first, *others = found
    return Assembly.objects.filter(pk__in=first.union(*others) if others else first)


def _assemblies_of(link: Link, records: QuerySet[Model], moment: datetime | None) -> QuerySet[Any, Any]:
    if link.deed is Deed.MEASURED:
        return resting_on(records, of="crimp__assembly", by=moment)
    return each_once(records)


def suspicion_of(thing: Model, link: Link, window: Window = ALWAYS) -> Suspicion:
    """That link to that thing, as it is suspected."""
    deed = Deed.CUT if link.deed is Deed.ORDERED else link.deed
    return Suspicion({link.name: (getattr(thing, link.key),)}, {deed: window} if window else {})


def ways_of_each(thing: Model, assemblies: Iterable[int]) -> dict[int, list[Link]]:
    """By which links the thing touched each of these assemblies, by key, in a query for each link."""
    keys = list(assemblies)
    ways: dict[int, list[Link]] = {key: [] for key in keys}
    for link in links_to(type(thing)):
        touched = reached_by(thing, link).order_by().filter(pk__in=keys)
        for key in touched.values_list("pk", flat=True):
            ways[key].append(link)
    return ways


def reached_from(assembly: Assembly) -> list[tuple[Link, Model]]:
    """All that touched the assembly, by the links' order: `reached_by` read backwards.

    A query for each deed and one for each kind of thing, however much was done.
    """
    keys = _keys_of(assembly)
    wanted: dict[tuple[type[Model], str], set[int]] = defaultdict(set)
    for name, found in keys.items():
        wanted[LINKS[name].model, LINKS[name].key] |= found
    things = {kind: _named(*kind, found) for kind, found in wanted.items()}
    return [
        (LINKS[name], things[LINKS[name].model, LINKS[name].key][key])
        for name, found in keys.items()
        for key in sorted(found & things[LINKS[name].model, LINKS[name].key].keys())
    ]


def _keys_of(assembly: Assembly) -> dict[str, set[int]]:
    keys: dict[str, set[int]] = {name: set() for name in LINKS}
    for deed in Deed:
        held: list[tuple[str, F | Coalesce]] = [
            (link.name, holder) for link in LINKS.values() if link.deed is deed for holder in link.holders()
        ]
        for row in _records_of(assembly, deed).values_list(*(holder for _, holder in held)):
            for (name, _), key in zip(held, row, strict=True):
                if key is not None:
                    keys[name].add(key)
    return keys


def _records_of(assembly: Assembly, deed: Deed) -> "QuerySet[Any]":
    records = RECORDS[deed]._default_manager.order_by()
    if deed is Deed.ORDERED:
        return records.filter(pk=assembly.pk)
    if deed is not Deed.MEASURED:
        return records.filter(assembly=assembly)
    # What a crimp rests on: its own readings, and those of the pieces that cover it.
    own = records.filter(crimp__assembly=assembly).values("pk")
    covering = Coverage.objects.order_by().filter(crimp__assembly=assembly)
    return records.filter(pk__in=own.union(covering.values("before"), covering.values("after")))


def _named(model: type[Model], key: str, found: set[int]) -> dict[int, Model]:
    things = model._default_manager.select_related(*NAMED_WITH.get(model, ()))
    return cast("dict[int, Model]", things.in_bulk(list(found), field_name=key))
