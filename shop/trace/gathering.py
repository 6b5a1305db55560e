"""The rows that belong to one assembly, each kind in one query."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import chain
from typing import TypeVar

from django.db.models import Exists, Model, OuterRef, Prefetch, QuerySet

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
from shop.orders.models import AttachedWorksheet, Resolution
from shop.orders.worksheets import attached_to
from shop.stock.models import Lot
from shop.trace.models import FailureReport

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
    found = Assembly.objects.select_related("run__line__order__customer", "replaces").get(pk=assembly.pk)
    resolutions = list(_resolutions().filter(line=found.run.line))
    found.run.resolution = next(r for r in resolutions if r.pk == found.run.resolution_id)
    return Gathered(
        assembly=found,
        resolutions=resolutions,
        worksheets=list(attached_to(found.run.line)),
        cut=_cuts().filter(assembly=found).first(),
        set_ups=list(_set_ups(found)),
        crimps=list(_crimps().filter(assembly=found)),
        decisions=list(Decision.objects.filter(assembly=found).select_related("about").order_by("entry")),
        inspections=list(Inspection.objects.filter(assembly=found).select_related("gauge").order_by("entry")),
        concessions=list(Concession.objects.filter(assembly=found).order_by("entry")),
        proof_tests=list(
            ProofTest.objects.filter(assembly=found)
            .select_related("gauge", "calibration", "policy")
            .order_by("entry")
        ),
        tags=list(Tag.objects.filter(assembly=found).order_by("entry")),
        release=Release.objects.filter(assembly=found).select_related("tag", "policy").first(),
        shipment=Shipment.objects.filter(assembly=found).first(),
        retirement=Retirement.objects.filter(assembly=found).first(),
        replaced_by=Assembly.objects.filter(replaces=found).first(),
        recalls=list(Recall.objects.filter(memberships__assembly=found).order_by("entry")),
        recall_findings=list(found.recall_findings.order_by("entry")),
        failure_reports=list(found.failure_reports.order_by("entry").prefetch_related("findings")),
    )


def _resolutions() -> QuerySet[Resolution]:
    ends = ("fitting_a", "fitting_b")
    charts = ("specification_a", "specification_b")
    return (
        Resolution.objects.order_by("entry")
        .select_related("policy", "fluid", "hose__standard", "cut_correction")
        .select_related(*(f"{end}__series" for end in ends), *(f"{end}__connection" for end in ends))
        .select_related(
            *(f"{chart}__{part}" for chart in charts for part in ("chart_issue__chart", "ferrule__series"))
        )
    )


def _cuts() -> QuerySet[Cut]:
    return Cut.objects.select_related("movement__piece__lot__hose")


def _set_ups(assembly: Assembly) -> QuerySet[SetUp]:
    """Those that it was crimped on, and those of its run that nothing was crimped on at all."""
    own = Crimp.objects.order_by().filter(assembly=assembly)
    unused = SetUp.objects.order_by().filter(
        ~Exists(Crimp.objects.filter(set_up=OuterRef("pk"))), run=assembly.run
    )
    # Their keys first: among as many joins PostgreSQL looks at them last, and reads every set-up before.
    keys = list(own.values_list("set_up").union(unused.values_list("pk")))
    return (
        SetUp.objects.filter(pk__in=[key for (key,) in keys])
        .order_by("entry")
        .select_related(
            "specification__chart_issue__chart",
            "specification__die_type",
            "specification__stop_type",
            "crimper",
            "die_set__die_type",
            "stop_part",
            "gauge",
            "calibration__gauge",
        )
    )


def _coverages() -> QuerySet[Coverage]:
    pieces = ("before__crimp__assembly", "after__crimp__assembly")
    return Coverage.objects.select_related("entry", *pieces).order_by("entry")


def _lot_corrections() -> QuerySet[LotCorrection]:
    return LotCorrection.objects.order_by("entry").select_related(
        "fitting_lot__fitting__series", "ferrule_lot__ferrule__series"
    )


def _crimps() -> QuerySet[Crimp]:
    measurements = Measurement.objects.select_related("gauge", "calibration__gauge", "policy")
    return (
        Crimp.objects.order_by("entry")
        .select_related("specification__chart_issue__chart", "specification__ferrule__series")
        .select_related("fitting_lot__fitting__series", "ferrule_lot__ferrule__series")
        .prefetch_related(Prefetch("measurements", measurements), Prefetch("coverages", _coverages()))
        .prefetch_related(Prefetch("lot_corrections", _lot_corrections()))
    )
