"""The rows that belong to assemblies, each kind in one query."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import chain
from typing import TypeVar

from django.db.models import Exists, Model, OuterRef, Q

from shop.assemblies.models import (
    Assembly,
    Concession,
    Coverage,
    Crimp,
    Cut,
    Decision,
    Inspection,
    LotCorrection,
    Measurement,
    ProofTest,
    Recall,
    RecallFinding,
    RecallMember,
    Release,
    Retirement,
    SetUp,
    Shipment,
    Tag,
)
from shop.assemblies.records import of_assemblies
from shop.core.prepared import Prepared, fill, grouped
from shop.orders.models import AttachedWorksheet, Resolution
from shop.orders.worksheets import attached_to_any
from shop.stock.models import Lot
from shop.trace.models import FailureFinding, FailureReport

M = TypeVar("M", bound=Model)


@dataclass(frozen=True)
class Gathered:
    """Everything about the assembly but the ledger's entries."""

    assembly: Assembly
    resolutions: list[Resolution]
    worksheets: list[AttachedWorksheet]
    cut: Cut | None
    set_ups: list[SetUp]
    crimps: list[Crimp]
    decisions: list[Decision]
    inspections: list[Inspection]
    concessions: list[Concession]
    proof_tests: list[ProofTest]
    tags: list[Tag]
    release: Release | None
    shipment: Shipment | None
    retirement: Retirement | None
    replaced_by: Assembly | None
    recalls: list[Recall]
    recall_findings: list[RecallFinding]
    failure_reports: list[FailureReport]

    @property
    def lots(self) -> set[Lot]:
        """What went into it: the hose's lot, and those of fittings and ferrules."""
        named: Iterable[Crimp | LotCorrection] = chain(
            self.crimps, *(crimp.lot_corrections.all() for crimp in self.crimps)
        )
        lots = {lot for one in named for lot in (one.fitting_lot, one.ferrule_lot) if lot}
        return lots if self.cut is None else lots | {self.cut.movement.piece.lot}

    @property
    def other_entries(self) -> set[int]:
        """Entries that are about more than this assembly: receipts, calibrations, chart issues, policy."""
        keys = {lot.pk for lot in self.lots}
        keys |= {set_up.calibration_id for set_up in self.set_ups}
        for test in self.proof_tests:
            keys |= {test.calibration_id, test.policy_id}
        keys |= {set_up.specification.chart_issue_id for set_up in self.set_ups}
        for crimp in self.crimps:
            keys |= {measurement.calibration_id for measurement in crimp.measurements.all()}
        for resolution in self.resolutions:
            keys |= {resolution.policy_id, resolution.specification_a.chart_issue_id}
            keys.add(resolution.specification_b.chart_issue_id)
        if self.cut is not None:
            keys.add(self.cut.movement_id)
        return keys


def gather(assembly: Assembly) -> Gathered:
    """Read it all, in a constant number of queries."""
    [found] = gather_all([assembly.pk])
    return found


def gather_all(keys: Sequence[int]) -> list[Gathered]:
    """Read it all of each of these assemblies, in the order of their keys and in as many queries as for one.

    What several of them share, such as a set-up, may be the same object.
    """
    assemblies = _ASSEMBLIES.ask(keys)
    lines = [*{one.run.line_id for one in assemblies}]
    resolutions = grouped(_RESOLUTIONS.ask(lines), "line_id")
    for one in assemblies:
        confirmed = one.run.resolution_id
        one.run.resolution = next(r for r in resolutions[one.run.line_id] if r.pk == confirmed)
    worksheets = grouped(_WORKSHEETS.ask(lines), "line_id")
    crimps = _crimps(keys)
    set_ups = _set_ups(assemblies, crimps)
    recalls = _recalls(keys)
    replacements = {one.replaces_id: one for one in _REPLACEMENTS.ask(keys)}
    reports = _FAILURE_REPORTS.ask(keys)
    fill(reports, "findings", _FAILURE_FINDINGS.ask(keys), of="report_id")
    cuts, releases = _of_each(_CUTS, keys), _of_each(_RELEASES, keys)
    shipments, retirements = _of_each(_SHIPMENTS, keys), _of_each(_RETIREMENTS, keys)
    decisions, inspections = _of_each(_DECISIONS, keys), _of_each(_INSPECTIONS, keys)
    concessions, proof_tests = _of_each(_CONCESSIONS, keys), _of_each(_PROOF_TESTS, keys)
    tags, recall_findings = _of_each(_TAGS, keys), _of_each(_RECALL_FINDINGS, keys)
    failure_reports = grouped(reports, "assembly_id")
    return [
        Gathered(
            assembly=one,
            resolutions=resolutions[one.run.line_id],
            worksheets=worksheets[one.run.line_id],
            cut=_the_one(cuts[one.pk]),
            set_ups=set_ups[one.pk],
            crimps=crimps[one.pk],
            decisions=decisions[one.pk],
            inspections=inspections[one.pk],
            concessions=concessions[one.pk],
            proof_tests=proof_tests[one.pk],
            tags=tags[one.pk],
            release=_the_one(releases[one.pk]),
            shipment=_the_one(shipments[one.pk]),
            retirement=_the_one(retirements[one.pk]),
            replaced_by=replacements.get(one.pk),
            recalls=recalls[one.pk],
            recall_findings=recall_findings[one.pk],
            failure_reports=failure_reports[one.pk],
        )
        for one in assemblies
    ]


def _of_each(prepared: Prepared[M], keys: Sequence[int]) -> defaultdict[int, list[M]]:
    """The rows of each of the assemblies."""
    return grouped(prepared.ask(keys), "assembly_id")


def _the_one(rows: list[M]) -> M | None:
    return rows[0] if rows else None


def _crimps(keys: Sequence[int]) -> defaultdict[int, list[Crimp]]:
    crimps = _CRIMPS.ask(keys)
    fill(crimps, "measurements", _MEASUREMENTS.ask(keys), of="crimp_id")
    fill(crimps, "coverages", _COVERAGES.ask(keys), of="crimp_id")
    fill(crimps, "lot_corrections", _LOT_CORRECTIONS.ask(keys), of="crimp_id")
    return grouped(crimps, "assembly_id")


def _set_ups(assemblies: Iterable[Assembly], crimps: Mapping[int, list[Crimp]]) -> dict[int, list[SetUp]]:
    """Those that each was crimped on, and those of its run that nothing was crimped on at all."""
    own = {one.pk: {crimp.set_up_id for crimp in crimps[one.pk]} for one in assemblies}
    used: set[int] = set().union(*own.values())
    found = _SET_UPS.ask([*used], [*{one.run_id for one in assemblies}])
    return {
        one.pk: [s for s in found if s.pk in own[one.pk] or (s.pk not in used and s.run_id == one.run_id)]
        for one in assemblies
    }


def _recalls(keys: Sequence[int]) -> defaultdict[int, list[Recall]]:
    """The recalls that each is in. One is read once for all of them, as it lists all of its members."""
    members = _MEMBERS.ask(keys)
    read = {recall.pk: recall for recall in _RECALLS.ask([*{one.recall_id for one in members}])}
    recalls: defaultdict[int, list[Recall]] = defaultdict(list)
    for one in members:
        recalls[one.assembly_id].append(read[one.recall_id])
    return recalls


_LINE_OF_A_CHART = ("chart_issue__chart", "ferrule__series")
_LOTS = ("fitting_lot__fitting__series", "ferrule_lot__ferrule__series")

_ASSEMBLIES = Prepared(
    lambda keys: (
        Assembly.objects.filter(pk__in=keys)
        .order_by("pk")
        .select_related("run__line__order__customer", "replaces")
    )
)
_RESOLUTIONS = Prepared(
    lambda lines: (
        Resolution.objects.filter(line__in=lines)
        .order_by("pk")
        .select_related("policy", "fluid", "hose__standard", "cut_correction")
        .select_related(*(f"fitting_{end}__{part}" for end in "ab" for part in ("series", "connection")))
        .select_related(*(f"specification_{end}__{part}" for end in "ab" for part in _LINE_OF_A_CHART))
    )
)
_WORKSHEETS = Prepared(attached_to_any)
_CUTS = Prepared(
    lambda keys: (
        Cut.objects.filter(assembly__in=keys).order_by("pk").select_related("movement__piece__lot__hose")
    )
)
# Those that it was crimped on, and those of its run that nothing was crimped on at all. The keys of the first
# are given: among as many joins PostgreSQL looks at a subquery last, and reads every set-up before.
_SET_UPS = Prepared(
    lambda keys, runs: (
        SetUp.objects.filter(
            Q(pk__in=keys) | Q(~Exists(Crimp.objects.filter(set_up=OuterRef("pk"))), run__in=runs)
        )
        .order_by("pk")
        .select_related(
            "specification__chart_issue__chart", "specification__die_type", "specification__stop_type"
        )
        .select_related("crimper", "die_set__die_type", "stop_part", "gauge", "calibration__gauge")
    )
)
_CRIMPS = Prepared(
    lambda keys: (
        Crimp.objects.filter(assembly__in=keys)
        .order_by("pk")
        .select_related(*_LOTS, *(f"specification__{part}" for part in _LINE_OF_A_CHART))
    )
)
_MEASUREMENTS = Prepared(
    lambda keys: (
        Measurement.objects.filter(crimp__assembly__in=keys)
        .order_by("pk")
        .select_related("gauge", "calibration__gauge", "policy")
    )
)
_COVERAGES = Prepared(
    lambda keys: (
        Coverage.objects.filter(crimp__assembly__in=keys)
        .order_by("pk")
        .select_related("entry", "before__crimp__assembly", "after__crimp__assembly")
    )
)
_LOT_CORRECTIONS = Prepared(
    lambda keys: LotCorrection.objects.filter(crimp__assembly__in=keys).order_by("pk").select_related(*_LOTS)
)
_DECISIONS = Prepared(
    lambda keys: Decision.objects.filter(assembly__in=keys).order_by("pk").select_related("about")
)
_INSPECTIONS = Prepared(
    lambda keys: Inspection.objects.filter(assembly__in=keys).order_by("pk").select_related("gauge")
)
_CONCESSIONS = of_assemblies(Concession)
_PROOF_TESTS = Prepared(
    lambda keys: (
        ProofTest.objects.filter(assembly__in=keys)
        .order_by("pk")
        .select_related("gauge", "calibration", "policy")
    )
)
_TAGS = of_assemblies(Tag)
_RELEASES = Prepared(
    lambda keys: Release.objects.filter(assembly__in=keys).order_by("pk").select_related("tag", "policy")
)
_SHIPMENTS = of_assemblies(Shipment)
_RETIREMENTS = of_assemblies(Retirement)
_REPLACEMENTS = Prepared(lambda keys: Assembly.objects.filter(replaces__in=keys).order_by("serial"))
_MEMBERS = Prepared(lambda keys: RecallMember.objects.filter(assembly__in=keys).order_by("recall_id"))
_RECALLS = Prepared(lambda keys: Recall.objects.filter(pk__in=keys).order_by())
_RECALL_FINDINGS = of_assemblies(RecallFinding)
_FAILURE_REPORTS = of_assemblies(FailureReport)
_FAILURE_FINDINGS = Prepared(
    lambda keys: FailureFinding.objects.filter(report__assembly__in=keys).order_by("pk")
)
