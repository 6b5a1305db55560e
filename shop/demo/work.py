"""Orders at every stage: quoted, waiting, on the bench, held, scrapped, released, shipped, retired."""

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import chain, repeat

from shop.assemblies.inspection import bore_pin, inspect
from shop.assemblies.making import (
    arrangement_points,
    crimp_end,
    cut_hose,
    decide,
    find_arrangement,
    measure_crimp,
    set_up,
)
from shop.assemblies.models import Assembly, Cause, DecisionKind, End, Sampling, State
from shop.assemblies.planning import plan_replacement, start_line
from shop.assemblies.points import At, Job, asked_of
from shop.assemblies.release import make_tag, release, retire, ship
from shop.catalogue.models import CrimpSpecification
from shop.demo.cabinet import Cabinet, Stores
from shop.demo.catalogue import Catalogue
from shop.demo.people import Cast
from shop.demo.testing import prove
from shop.documents.refusals import PdfNotInstalled
from shop.documents.services import print_tag
from shop.engineering.orientation import AngleConvention
from shop.orders.models import Customer, Measured, Order, OrderLine
from shop.orders.services import save_customer, save_line, save_order
from shop.policy.services import policy_in_force, today
from shop.tooling.scales import start_on_scale

OVER_MM = (2, 3, 2, 1, 3)  # how much longer its hoses come out: crimping squeezes hose out of the ferrule


@dataclass(frozen=True)
class Demo:
    """All that the work is done with."""

    cast: Cast
    parts: Catalogue
    cabinet: Cabinet
    stores: Stores

    def order(self, customer: Customer, reference: str, due_in_days: int, **values: object) -> Order:
        """Open an order."""
        due_on = today() + datetime.timedelta(days=due_in_days)
        order = Order(customer=customer, reference=reference, due_on=due_on, **values)
        return save_order(actor=self.cast.counter, order=order)

    def line(self, order: Order, **values: object) -> OrderLine:
        """Write a line for mineral oil at 80 °C; it stays a quotation until it is started."""
        line = OrderLine(
            order=order,
            **{"fluid": self.parts.oil, "temperature_c": 80, "pressure_unit": "bar", "quantity": 1} | values,
        )
        save_line(actor=self.cast.counter, line=line)
        return line

    def start(self, line: OrderLine) -> list[Assembly]:
        """Confirm the line and plan its assemblies."""
        return start_line(actor=self.cast.counter, line=line)

    def make(self, assembly: Assembly, *, until: State) -> Assembly:
        """Do what the bench does, until the assembly stands there."""
        steps = (
            (State.CUT, self.cut),
            (State.CRIMPED_A, lambda one: self.crimp(one, End.A)),
            (State.CRIMPED_B, lambda one: self.crimp(one, End.B)),
            (State.INSPECTED, self.inspect),
            *([(State.TESTED, self._prove)] if assembly.resolution.proof_test else []),
            (State.TAGGED, self._tag),
            (State.RELEASED, self.release),
            (State.SHIPPED, lambda one: ship(actor=self.cast.counter, assembly=one)),
            (
                State.RETIRED,
                lambda one: retire(actor=self.cast.counter, assembly=one, reason="machine taken apart"),
            ),
        )
        for state, step in steps:
            step(assembly)
            assembly.refresh_from_db()
            if state == until:
                break
        return assembly

    def cut(self, assembly: Assembly) -> None:
        """Cut its hose."""
        piece = self.stores.pieces[assembly.resolution.hose]
        cut_hose(actor=self.cast.bench, assembly=assembly, piece=piece, seen=_all_ticked(At.CUT, assembly))

    def crimp(self, assembly: Assembly, end: End, off_mm: Sequence[str] = ("0",)) -> None:
        """Set up, crimp and measure one end; the readings lie off the target by `off_mm`, then by nought."""
        self.set_up(assembly, end)
        self.press(assembly, end, off_mm)

    def set_up(self, assembly: Assembly, end: End) -> None:
        """Put together what that end is crimped with, for its whole run."""
        specification = assembly.specification(end)
        crimper = self.cabinet.crimpers[specification.die_type]
        arrangement = find_arrangement(assembly=assembly, end=end, crimper=crimper)
        start = start_on_scale(specification, crimper)
        set_up(
            actor=self.cast.bench,
            assembly=assembly,
            end=end,
            crimper=crimper,
            die_set=self.cabinet.die_sets[specification.die_type],
            stop_part=self.cabinet.stop_parts[specification.stop_type] if specification.stop_type else None,
            stop_setting="" if start is None else start.value,
            gauge=self.cabinet.caliper,
            seen=arrangement_points(arrangement),
        )

    def press(self, assembly: Assembly, end: End, off_mm: Sequence[str] = ("0",)) -> None:
        """Crimp one end on the set-up of its run, and measure it if it is one of those that are."""
        specification = assembly.specification(end)
        crimp = crimp_end(
            actor=self.cast.bench,
            assembly=assembly,
            end=end,
            fitting_lot=self.stores.fittings[assembly.fitting(end)],
            ferrule_lot=self.stores.ferrules[specification.ferrule] if specification.ferrule else None,
            seen=_all_ticked(At.CRIMP, assembly, end),
        )
        if crimp.sampling != Sampling.BETWEEN:
            measure_crimp(actor=self.cast.bench, crimp=crimp, readings_mm=_readings(specification, off_mm))

    def _tag(self, assembly: Assembly) -> None:
        try:
            print_tag(actor=self.cast.inspector, assembly=assembly, prints_seen=0)
        except PdfNotInstalled:  # the record of the tag is there all the same, and can be printed later
            make_tag(actor=self.cast.inspector, assembly=assembly)

    def release(self, assembly: Assembly) -> None:
        """Scan its tag on the hose."""
        seen = _all_ticked(At.RELEASE, assembly)
        release(actor=self.cast.inspector, assembly=assembly, scanned=assembly.code, seen=seen)

    def _prove(self, assembly: Assembly) -> None:
        prove(self.cast, assembly, self.cabinet.manometer)

    def inspect(self, assembly: Assembly) -> None:
        """Look at it and measure it; it is right."""
        resolution = assembly.resolution
        inspect(
            actor=self.cast.inspector,
            assembly=assembly,
            finished_length_mm=resolution.overall_length + OVER_MM[assembly.serial % len(OVER_MM)],
            angle_deg=resolution.angle_deg,
            gauge=self.cabinet.tape,
            seen=_all_ticked(At.INSPECT, assembly),
            faults=[],
            pin_mm=bore_pin(resolution).least_mm,
        )


def _all_ticked(at: At, assembly: Assembly, end: End | None = None) -> list[str]:
    """What the person ticks there: everything that is asked."""
    return [point.code for point in asked_of(at, Job(assembly, policy_in_force(), end))]


def _readings(specification: CrimpSpecification, off_mm: Sequence[str]) -> list[Decimal]:
    offsets = chain(off_mm, repeat("0.02"))
    return [specification.target + Decimal(next(offsets)) for _ in range(specification.readings)]


def do_the_work(demo: Demo) -> None:
    """Three customers, and what they ordered."""
    parts = demo.parts

    def customer(number: str, name: str) -> Customer:
        new = Customer(number=number, name=name, contact="the workshop foreman")
        return save_customer(actor=demo.cast.counter, customer=new)

    cranes = customer("K1", "Tidewater Cranes")
    harvest = customer("K2", "Upland Harvesters")
    quarry = customer("K3", "Quarry Nine")
    medium = {"hose": parts.cascade, "fitting_a": parts.straight, "pressure_typed": "240"}

    boom = demo.order(cranes, "boom 3", 5)
    lift = demo.line(
        boom, **medium, fitting_b=parts.elbow, overall_length=Decimal(930), overall_typed="930", quantity=4
    )
    four = demo.start(lift)
    for assembly, until in zip(
        four, (State.RETIRED, State.SHIPPED, State.RELEASED, State.TAGGED), strict=True
    ):
        demo.make(assembly, until=until)
    slew = demo.line(
        boom,
        **medium,
        fitting_b=parts.straight,
        overall_length=Decimal("1397"),
        overall_typed="55 in",
        quantity=3,
    )
    inspected, held, failed = demo.start(slew)
    demo.make(inspected, until=State.INSPECTED)
    demo.make(held, until=State.CUT)
    demo.crimp(held, End.A, off_mm=["0.13", "0.14", "0.13", "0.14"])
    demo.make(failed, until=State.CUT)
    demo.crimp(failed, End.A, off_mm=["0.17", "0.16", "0.17", "0.18"])
    decide(actor=demo.cast.bench, assembly=failed, kind=DecisionKind.SCRAP, cause=Cause.STOPPED_SHORT)
    failed.refresh_from_db()
    plan_replacement(actor=demo.cast.bench, assembly=failed)

    header = demo.order(harvest, "header lift", 9)
    small = {
        "hose": parts.cascade_small, "fitting_a": parts.small_straight, "fitting_b": parts.small_straight,
        "pressure_typed": "4000", "pressure_unit": "psi",
    }  # fmt: skip
    reel_arm = demo.start(
        demo.line(header, **small, overall_length=Decimal("920.75"), overall_typed='36-1/4"', quantity=3)
    )
    for assembly, until in zip(reel_arm, (State.CRIMPED_B, State.CRIMPED_A, State.CUT), strict=True):
        demo.make(assembly, until=until)

    lift_arms = demo.line(
        demo.order(harvest, "lift arms", 6),
        **medium,
        fitting_b=parts.straight,
        overall_length=Decimal(1200),
        overall_typed="1200",
        quantity=3,
        proof_test_wanted=True,
        sleeve="textile, the whole hose",
        marking="LIFT ARM P1",
        cleanliness="18/16/13",
    )
    for assembly, until in zip(
        demo.start(lift_arms), (State.SHIPPED, State.TESTED, State.INSPECTED), strict=True
    ):
        demo.make(assembly, until=until)

    _measured_their_own_way(demo, quarry)
    _with_the_thicker_stop(demo, harvest)

    crusher = demo.order(quarry, "jaw crusher, ram 2", 2)
    demo.start(
        demo.line(
            crusher, hose=parts.bastion, fitting_a=parts.heavy_straight, fitting_b=parts.heavy_elbow,
            overall_length=Decimal(1650), overall_typed="1,65 m", pressure_typed="380", quantity=2,
        )
    )  # fmt: skip
    demo.line(
        crusher, hose=parts.tern, fitting_a=parts.straight, fitting_b=parts.straight,
        overall_length=Decimal(700), overall_typed="700", pressure_typed="200",
    )  # fmt: skip


def _measured_their_own_way(demo: Demo, quarry: Customer) -> None:
    """From tip to tip, surges apart from the pressure, and the angle counted the other way round."""
    parts = demo.parts
    steering = demo.order(quarry, "loader 4, steering", 7, angle_convention=AngleConvention.NEAR_SIX_CW.value)
    line = demo.line(
        steering, hose=parts.cascade, fitting_a=parts.elbow, fitting_b=parts.elbow, quantity=2,
        overall_length=Decimal(990), overall_typed="99 cm", measured=Measured.TIPS, angle_deg=90,
        pressure_typed="210", surge_typed="45",
    )  # fmt: skip
    first, _ = demo.start(line)
    demo.make(first, until=State.CRIMPED_A)


def _with_the_thicker_stop(demo: Demo, harvest: Customer) -> None:
    """Another hose in the same dies: with it the workshop knows what a stop's thickness does."""
    parts = demo.parts
    line = demo.line(
        demo.order(harvest, "tipper, cylinder 1", 8), hose=parts.sluice, fitting_a=parts.straight,
        fitting_b=parts.straight, quantity=2, overall_length=Decimal(1480), overall_typed="1480",
        pressure_typed="280",
    )  # fmt: skip
    for assembly in demo.start(line):
        demo.make(assembly, until=State.CRIMPED_B)
