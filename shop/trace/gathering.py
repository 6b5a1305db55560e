"""The rows that belong to one assembly, each kind in one query."""

from collections.abc import Iterable
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
    Release,
    Retirement,
    SetUp,
    Shipment,
    Tag,
)
from shop.core.prepared import Prepared, fill
from shop.orders.models import AttachedWorksheet, Resolution
from shop.orders.worksheets import attached_to
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
    key = assembly.pk
    [found] = _ASSEMBLY.ask(key)
    resolutions = _RESOLUTIONS.ask(found.run.line_id)
    found.run.resolution = next(r for r in resolutions if r.pk == found.run.resolution_id)
    crimps = _CRIMPS.ask(key)
    fill(crimps, "measurements", _MEASUREMENTS.ask(key), of="crimp_id")
    fill(crimps, "coverages", _COVERAGES.ask(key), of="crimp_id")
    fill(crimps, "lot_corrections", _LOT_CORRECTIONS.ask(key), of="crimp_id")
    reports = _FAILURE_REPORTS.ask(key)
    fill(reports, "findings", _FAILURE_FINDINGS.ask(key), of="report_id")
    return Gathered(
        assembly=found,
        resolutions=resolutions,
        worksheets=_WORKSHEETS.ask(found.run.line_id),
        cut=_the_one(_CUTS.ask(key)),
        set_ups=_SET_UPS.ask([*{crimp.set_up_id for crimp in crimps}], found.run_id),
        crimps=crimps,
        decisions=_DECISIONS.ask(key),
        inspections=_INSPECTIONS.ask(key),
        concessions=_CONCESSIONS.ask(key),
        proof_tests=_PROOF_TESTS.ask(key),
        tags=_TAGS.ask(key),
        release=_the_one(_RELEASES.ask(key)),
        shipment=_the_one(_SHIPMENTS.ask(key)),
        retirement=_the_one(_RETIREMENTS.ask(key)),
        replaced_by=_the_one(_REPLACEMENTS.ask(key)),
        recalls=_RECALLS.ask(key),
        recall_findings=_RECALL_FINDINGS.ask(key),
        failure_reports=reports,
    )


def _the_one(rows: list[M]) -> M | None:
    return rows[0] if rows else None


_LINE_OF_A_CHART = ("chart_issue__chart", "ferrule__series")
_LOTS = ("fitting_lot__fitting__series", "ferrule_lot__ferrule__series")

_ASSEMBLY = Prepared(
    lambda key: (
        Assembly.objects.filter(pk=key).order_by().select_related("run__line__order__customer", "replaces")
    )
)
_RESOLUTIONS = Prepared(
    lambda line: (
        Resolution.objects.filter(line=line)
        .order_by("pk")
        .select_related("policy", "fluid", "hose__standard", "cut_correction")
        .select_related(*(f"fitting_{end}__{part}" for end in "ab" for part in ("series", "connection")))
        .select_related(*(f"specification_{end}__{part}" for end in "ab" for part in _LINE_OF_A_CHART))
    )
)
_WORKSHEETS = Prepared(attached_to)
_CUTS = Prepared(
    lambda key: Cut.objects.filter(assembly=key).order_by().select_related("movement__piece__lot__hose")
)
# Those that it was crimped on, and those of its run that nothing was crimped on at all. The keys of the first
# are given: among as many joins PostgreSQL looks at a subquery last, and reads every set-up before.
_SET_UPS = Prepared(
    lambda keys, run: (
        SetUp.objects.filter(
            Q(pk__in=keys) | Q(~Exists(Crimp.objects.filter(set_up=OuterRef("pk"))), run=run)
        )
        .order_by("pk")
        .select_related(
            "specification__chart_issue__chart", "specification__die_type", "specification__stop_type"
        )
        .select_related("crimper", "die_set__die_type", "stop_part", "gauge", "calibration__gauge")
    )
)
_CRIMPS = Prepared(
    lambda key: (
        Crimp.objects.filter(assembly=key)
        .order_by("pk")
        .select_related(*_LOTS, *(f"specification__{part}" for part in _LINE_OF_A_CHART))
    )
)
_MEASUREMENTS = Prepared(
    lambda key: (
        Measurement.objects.filter(crimp__assembly=key)
        .order_by("pk")
        .select_related("gauge", "calibration__gauge", "policy")
    )
)
_COVERAGES = Prepared(
    lambda key: (
        Coverage.objects.filter(crimp__assembly=key)
        .order_by("pk")
        .select_related("entry", "before__crimp__assembly", "after__crimp__assembly")
    )
)
_LOT_CORRECTIONS = Prepared(
    lambda key: LotCorrection.objects.filter(crimp__assembly=key).order_by("pk").select_related(*_LOTS)
)
_DECISIONS = Prepared(
    lambda key: Decision.objects.filter(assembly=key).order_by("pk").select_related("about")
)
_INSPECTIONS = Prepared(
    lambda key: Inspection.objects.filter(assembly=key).order_by("pk").select_related("gauge")
)
_CONCESSIONS = Prepared(lambda key: Concession.objects.filter(assembly=key).order_by("pk"))
_PROOF_TESTS = Prepared(
    lambda key: (
        ProofTest.objects.filter(assembly=key).order_by("pk").select_related("gauge", "calibration", "policy")
    )
)
_TAGS = Prepared(lambda key: Tag.objects.filter(assembly=key).order_by("pk"))
_RELEASES = Prepared(
    lambda key: Release.objects.filter(assembly=key).order_by("pk").select_related("tag", "policy")
)
_SHIPMENTS = Prepared(lambda key: Shipment.objects.filter(assembly=key).order_by("pk"))
_RETIREMENTS = Prepared(lambda key: Retirement.objects.filter(assembly=key).order_by("pk"))
_REPLACEMENTS = Prepared(lambda key: Assembly.objects.filter(replaces=key).order_by("serial"))
_RECALLS = Prepared(lambda key: Recall.objects.filter(memberships__assembly=key).order_by("pk"))
_RECALL_FINDINGS = Prepared(lambda key: RecallFinding.objects.filter(assembly=key).order_by("pk"))
_FAILURE_REPORTS = Prepared(lambda key: FailureReport.objects.filter(assembly=key).order_by("pk"))
_FAILURE_FINDINGS = Prepared(lambda key: FailureFinding.objects.filter(report__assembly=key).order_by("pk"))
