"""The records that say where an assembly stands, read by statements that are put together once."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields
from typing import Any, TypeVar

from django.db.models import Model, QuerySet

from shop.assemblies.models import (
    Assembly,
    Concession,
    Coverage,
    Crimp,
    Decision,
    End,
    Inspection,
    Measurement,
    ProofTest,
    Tag,
)
from shop.core.prepared import Prepared, fill

M = TypeVar("M", bound=Model)

OF_THE_ROAD = ("cut", "release", "shipment", "retirement")  # each assembly has one at the most


@dataclass(frozen=True)
class Records:
    """What `standing_of` looks at; the crimps with their readings and coverages."""

    crimps: Sequence[Crimp]
    decisions: Sequence[Decision]
    inspections: Sequence[Inspection]
    concessions: Sequence[Concession]
    proof_tests: Sequence[ProofTest]
    tags: Sequence[Tag]


def of_assemblies(table: type[M]) -> Prepared[M]:
    """The rows of that table which are about given assemblies, in the order in which they were written."""
    return Prepared(lambda keys: table._default_manager.filter(assembly__in=keys).order_by("pk"))


def records_of(assembly: Assembly) -> Records:
    """The assembly's records as they are now, or as they were read with others'."""
    if "crimps" in vars(assembly).get("_prefetched_objects_cache", ()):
        return Records(*(getattr(assembly, name).all() for name in _NAMES))
    read = _read([assembly])
    for rows in read.values():
        for row in rows:
            row.assembly = assembly
    return Records(**read)


def read_records(assemblies: Sequence[Assembly]) -> None:
    """Read what `standing_of` looks at for all of them, in a fixed number of queries."""
    for name, rows in _read(assemblies).items():
        fill(assemblies, name, rows, of="assembly_id")


def with_records(assemblies: QuerySet[Assembly]) -> QuerySet[Assembly]:
    """What `read_records` reads, for a list that is read in parts."""
    return assemblies.select_related("run__resolution", *OF_THE_ROAD).prefetch_related(
        "crimps__measurements", "crimps__coverages", *(name for name in _NAMES if name != "crimps")
    )


def _read(assemblies: Sequence[Assembly]) -> Mapping[str, Any]:
    """The rows of each kind. What comes later on the road isn't asked for while nothing has got there."""
    keys = [assembly.pk for assembly in assemblies]
    crimps = _CRIMPS.ask(keys)
    fill(crimps, "measurements", _MEASUREMENTS.ask(keys) if crimps else [], of="crimp_id")
    fill(crimps, "coverages", _COVERAGES.ask(keys) if crimps else [], of="crimp_id")
    decisions = _DECISIONS.ask(keys)
    inspections = _INSPECTIONS.ask(keys) if {crimp.end for crimp in crimps} == set(End) else []
    any_failed = any(not inspection.passed for inspection in inspections)
    return {
        "crimps": crimps,
        "decisions": decisions,
        "inspections": inspections,
        "concessions": _CONCESSIONS.ask(keys) if any_failed else [],
        "proof_tests": _PROOF_TESTS.ask(keys) if inspections else [],
        "tags": _TAGS.ask(keys) if inspections else [],
    }


_NAMES = tuple(field.name for field in fields(Records))
_CRIMPS, _DECISIONS = of_assemblies(Crimp), of_assemblies(Decision)
_INSPECTIONS, _CONCESSIONS = of_assemblies(Inspection), of_assemblies(Concession)
_PROOF_TESTS, _TAGS = of_assemblies(ProofTest), of_assemblies(Tag)
_MEASUREMENTS = Prepared(lambda keys: Measurement.objects.filter(crimp__assembly__in=keys).order_by("pk"))
_COVERAGES = Prepared(lambda keys: Coverage.objects.filter(crimp__assembly__in=keys).order_by("pk"))
