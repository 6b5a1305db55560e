"""A small workshop that can make one kind of hose, built through the services as people would."""

import datetime
from dataclasses import dataclass
from decimal import Decimal

import pytest
from django.db import transaction

from shop.catalogue.models import (
    ChartIssue,
    ChartLine,
    CrimpChart,
    DieType,
    Ferrule,
    Fitting,
    FittingSeries,
    Fluid,
    Hose,
    Skive,
    StopKind,
    StopType,
)
from shop.catalogue.services import (
    check_chart,
    confirm_fitting,
    confirm_hose,
    issue_chart,
    save_chart,
    save_chart_line,
)
from shop.engineering.crimp import Judged
from shop.ledger.actors import PROGRAM
from shop.ledger.services import save_noted, write_record
from shop.orders.models import Customer, Order, OrderLine
from shop.orders.services import save_line, save_order
from shop.people.models import User
from shop.policy import verbs as policy_verbs
from shop.policy.models import Policy, Workshop
from shop.policy.services import today
from shop.standards.models import Rated
from shop.standards.services import confirm_connection
from shop.stock.models import Lot, Piece
from shop.stock.services import receive_hose, receive_lot
from shop.tooling.models import (
    Arrangement,
    ArrangementPart,
    Calibration,
    Crimper,
    DieSet,
    Gauge,
    GaugeKind,
    StopPart,
)
from shop.tooling.services import record_calibration, save_arrangement
from tests import factories

ZONE = "Europe/Lisbon"


@dataclass
class World:
    """Everything that one assembly needs, and the people."""

    owner: User
    counter: User
    bench: User
    inspector: User
    auditor: User
    workshop: Workshop
    policy: Policy
    fluid: Fluid
    hose: Hose
    series: FittingSeries
    fitting: Fitting  # straight, two-piece
    elbow: Fitting  # 90°, two-piece
    ferrule: Ferrule
    other_ferrule: Ferrule  # same series, for another hose
    die_type: DieType
    stop_type: StopType
    chart: CrimpChart
    chart_issue: ChartIssue
    crimper: Crimper
    die_set: DieSet
    stop_part: StopPart
    arrangement: Arrangement
    caliper: Gauge
    tape: Gauge
    reel: Piece
    fitting_lot: Lot
    elbow_lot: Lot
    ferrule_lot: Lot
    customer: Customer
    order: Order

    def line(self, **changes: object) -> OrderLine:
        """An order line, not saved: 930 mm, straight to straight, 250 bar, 80 °C."""
        values: dict[str, object] = {
            "order": self.order,
            "quantity": 1,
            "hose": self.hose,
            "fitting_a": self.fitting,
            "fitting_b": self.fitting,
            "overall_length": Decimal(930),
            "overall_typed": "930",
            "pressure_typed": "250",
            "pressure_unit": "bar",
            "temperature_c": 80,
            "fluid": self.fluid,
        }
        return OrderLine(**(values | changes))

    def written_line(self, **changes: object) -> OrderLine:
        """An order line, written by the counter."""
        line = self.line(**changes)
        save_line(actor=self.counter, line=line)
        return line

    def chart_line(self, **changes: object) -> ChartLine:
        """A line for the world's hose and series, not saved."""
        values: dict[str, object] = {
            "chart": self.chart,
            "hose": self.hose,
            "series": self.series,
            "ferrule": self.ferrule,
            "die_type": self.die_type,
            "stop_kind": StopKind.PART,
            "stop_type": self.stop_type,
            "target": Decimal("24.2"),
            "lower": Decimal("24.0"),
            "upper": Decimal("24.4"),
            "judged": Judged.MEAN,
            "readings": 4,
            "skive": Skive.NONE,
        }
        return ChartLine(**(values | changes))

    def issue(self, name: str, day: datetime.date | None = None) -> ChartIssue:
        """Check the chart by the inspector and put it in force."""
        check_chart(actor=self.inspector, chart=self.chart)
        self.chart.refresh_from_db()
        return issue_chart(actor=self.inspector, chart=self.chart, issue=name, effective_from=day or today())

    def confirm(self, part: Rated) -> None:
        """The inspector finds the part's rating in its document."""
        services = {"hose": confirm_hose, "fitting": confirm_fitting, "connection": confirm_connection}
        name = type(part).__name__.lower()
        services[name](actor=self.inspector, document="data sheet, 2025", figure=part.rating, **{name: part})

    def calibrate(self, gauge: Gauge, **changes: object) -> Calibration:
        """The inspector calibrates a gauge a month ago, good for a year."""
        values: dict[str, object] = {
            "gauge": gauge,
            "done_on": today() - datetime.timedelta(days=30),
            "due_on": today() + datetime.timedelta(days=335),
            "error_as_found": Decimal("0.01"),
            "error_as_left": Decimal("0.01"),
            "expanded_uncertainty": Decimal("0.03"),
            "certificate": "C-1",
        }
        return record_calibration(actor=self.inspector, calibration=Calibration(**(values | changes)))


@pytest.fixture
def world(owner: User, counter: User, bench: User, inspector: User, auditor: User) -> World:
    """The small workshop, ready to take an order."""
    workshop = Workshop(pk=1, name="Pennant Hose Works", zone=ZONE, base_address="HTTPS://HOSE.EXAMPLE")
    save_noted(actor=PROGRAM, verb=policy_verbs.WORKSHOP_STARTED, instance=workshop)
    policy = Policy(number=1, effective_from=datetime.date(2020, 1, 1), gauge_share_percent=25)
    with transaction.atomic():
        write_record(actor=owner, verb=policy_verbs.POLICY_SET, record=policy, subject=workshop)

    series = factories.FittingSeriesFactory()
    fitting = factories.FittingFactory(series=series)
    elbow = factories.FittingFactory(
        series=series,
        designation="elbow 90",
        angle_deg=90,
        cut_off=Decimal(45),
        drop=Decimal(60),
        datum="centreline",
        connection=fitting.connection,
    )
    die_type, stop_type = factories.DieTypeFactory(), factories.StopTypeFactory()
    crimper = factories.CrimperFactory()
    chart = CrimpChart(number="RW-8", origin="Row crimp charts, sheet 8, 2026-01")
    save_chart(actor=bench, chart=chart)
    arrangement = Arrangement(
        crimper=crimper, die_type=die_type, stop_type=stop_type, take_out="the spacer plate"
    )
    save_arrangement(
        actor=bench,
        arrangement=arrangement,
        parts=[
            ArrangementPart(position=1, role="pusher", mark="plain", attitude="chamfer to the ram"),
            ArrangementPart(position=2, role="stop ring", attitude="flat side up", thickness=Decimal(6)),
            ArrangementPart(position=3, role="die set", attitude="numbers to the operator"),
        ],
    )
    hose = factories.HoseFactory()
    new = World(
        owner=owner,
        counter=counter,
        bench=bench,
        inspector=inspector,
        auditor=auditor,
        workshop=workshop,
        policy=policy,
        fluid=factories.FluidFactory(),
        hose=hose,
        series=series,
        fitting=fitting,
        elbow=elbow,
        ferrule=factories.FerruleFactory(series=series),
        other_ferrule=factories.FerruleFactory(series=series),
        die_type=die_type,
        stop_type=stop_type,
        chart=chart,
        chart_issue=None,
        crimper=crimper,  # type: ignore[arg-type]  # issued below
        die_set=factories.DieSetFactory(die_type=die_type),
        stop_part=factories.StopPartFactory(stop_type=stop_type),
        arrangement=arrangement,
        caliper=factories.GaugeFactory(number="caliper 1"),
        tape=factories.GaugeFactory(number="tape 1", kind=GaugeKind.TAPE, resolution=Decimal(1)),
        reel=None,
        fitting_lot=None,
        elbow_lot=None,
        ferrule_lot=None,  # type: ignore[arg-type]  # received below
        customer=factories.CustomerFactory(),
        order=None,  # type: ignore[arg-type]  # opened below
    )
    for part in (hose, fitting, elbow, fitting.connection):
        new.confirm(part)
    save_chart_line(actor=bench, line=new.chart_line())
    new.chart_issue = new.issue("1")
    new.calibrate(new.caliper)
    new.calibrate(new.tape, expanded_uncertainty=Decimal(1))
    [new.reel] = receive_hose(
        actor=bench,
        lot=Lot(hose=hose, batch="T-771", made_printed=f"1Q{today().year}", supplier="Harbour Supply"),
        lengths_mm=[Decimal(50_000)],
    )
    new.fitting_lot = receive_lot(actor=bench, lot=Lot(fitting=fitting, batch="F-1", quantity=100))
    new.elbow_lot = receive_lot(actor=bench, lot=Lot(fitting=elbow, batch="F-2", quantity=40))
    new.ferrule_lot = receive_lot(actor=bench, lot=Lot(ferrule=new.ferrule, batch="H-1", quantity=100))
    new.order = save_order(actor=counter, order=Order(customer=new.customer, reference="boom 3"))
    return new
