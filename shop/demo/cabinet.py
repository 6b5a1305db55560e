"""The invented workshop's tools and stores."""

import datetime
from dataclasses import dataclass
from decimal import Decimal

from shop.assemblies.wear import record_tool_check
from shop.catalogue.models import DieType, Ferrule, Fitting, Hose, StopKind, StopType
from shop.demo.catalogue import Catalogue
from shop.demo.people import Cast
from shop.policy.services import today
from shop.stock.models import Lot, Piece
from shop.stock.services import receive_hose, receive_lot
from shop.tooling.models import (
    Arrangement,
    ArrangementPart,
    Calibration,
    CheckPiece,
    Crimper,
    DieSet,
    Gauge,
    GaugeKind,
    PartTool,
    PressureCalibration,
    PressureGauge,
    StopPart,
)
from shop.tooling.pressure_gauges import record_pressure_calibration, save_pressure_gauge
from shop.tooling.services import (
    check_gauge,
    record_calibration,
    save_arrangement,
    save_check_piece,
    save_crimper,
    save_die_set,
    save_gauge,
    save_stop_part,
)


@dataclass(frozen=True)
class Cabinet:
    """Which tool makes what: by die type, the crimper, die set and stop part to take."""

    crimpers: dict[DieType, Crimper]
    die_sets: dict[DieType, DieSet]
    stop_parts: dict[StopType, StopPart]
    caliper: Gauge
    tape: Gauge
    manometer: PressureGauge


@dataclass(frozen=True)
class Stores:
    """The pieces and lots to take."""

    pieces: dict[Hose, Piece]
    fittings: dict[Fitting, Lot]
    ferrules: dict[Ferrule, Lot]


def fill_cabinet(cast: Cast, parts: Catalogue) -> Cabinet:
    """Crimpers of all three kinds of stop, their dies, gauges with their calibrations."""

    def crimper(number: str, kind: StopKind, mark: str, place: str) -> Crimper:
        offset = Decimal("0.1") if kind == StopKind.DIAL else None
        new = Crimper(number=number, stop_kind=kind, offset=offset, mark=mark, place=place)
        return save_crimper(actor=cast.bench, crimper=new)

    def die_set(number: str, die_type: DieType, mark: str) -> DieSet:
        new = DieSet(
            number=number, die_type=die_type, mark=mark, place="cabinet, drawer 2", check_every_uses=500
        )
        return save_die_set(actor=cast.bench, die_set=new)

    bollard = crimper("press 1", StopKind.PART, "the short one by the door", "bench 1")
    capstan = crimper("press 2", StopKind.DIAL, "hand wheel", "bench 1")
    windlass = crimper("press 3", StopKind.NUMERIC, "key pad", "bench 2")
    heron = die_set("17", parts.die_24, "one punched bird")
    wren = die_set("18", parts.die_19, "two file strokes")
    gannet = die_set("22", parts.die_34, "painted band")
    spare = die_set("16", parts.die_24, "one punched bird, worn")
    spare.blocked_because = "die 3 is chipped"
    save_die_set(actor=cast.bench, die_set=spare)
    record_tool_check(
        actor=cast.bench, tool=heron, passed=True, condition="faces clean and smooth, edges whole"
    )
    rings = {
        stop_type: save_stop_part(
            actor=cast.bench,
            stop_part=StopPart(
                number=number, stop_type=stop_type, thickness=Decimal(thickness), mark=f"{letter} on the rim"
            ),
        )
        for stop_type, number, thickness, letter in (
            (parts.ring_six, "31", "6.19", "S"),
            (parts.ring_seven, "32", "7.41", "M"),
        )
    }
    for press, die_type, stop_type, facing, across, take_out in (
        *((bollard, parts.die_24, ring, "narrow end to the hose", 88,
           "the long pusher; the protection sleeve") for ring in rings),
        (capstan, parts.die_19, None, "numbers to the ram", 76, "the stop ring of the last job"),
        (windlass, parts.die_34, None, "numbers to the ram", 104, ""),
    ):  # fmt: skip
        arrangement = Arrangement(crimper=press, die_type=die_type, stop_type=stop_type, take_out=take_out)
        stack = [
            ArrangementPart(role="pusher", mark="short", attitude="chamfer to the ram",
                            thickness=Decimal(22), outside_diameter=Decimal(96), bore=Decimal(52)),
            ArrangementPart(role="die set", mark="", attitude=facing, outside_diameter=Decimal(across),
                            tool=PartTool.DIE_SET),
        ]  # fmt: skip
        if stop_type is not None:
            stack.insert(
                1,
                ArrangementPart(role="stop ring", mark=stop_type.designation[-1],
                                attitude="flat side to the hose",
                                thickness=stop_type.thickness, outside_diameter=Decimal(118),
                                bore=Decimal(56), tool=PartTool.STOP),
            )  # fmt: skip
        save_arrangement(actor=cast.bench, arrangement=arrangement, parts=stack)
    caliper = _gauge(cast, "caliper 4", GaugeKind.CALIPER, "0.01", "0.03", days_ago=60)
    tape = _gauge(cast, "tape 2", GaugeKind.TAPE, "1", "1", days_ago=60)
    _gauge(cast, "caliper 2", GaugeKind.CALIPER, "0.01", "0.03", days_ago=400)
    ring_25 = save_check_piece(
        actor=cast.inspector,
        piece=CheckPiece(
            number="ring 25", nominal=Decimal("25.003"), uncertainty=Decimal("0.002"), place="bench 1"
        ),
    )
    check_gauge(actor=cast.bench, gauge=caliper, piece=ring_25, reading=Decimal("25.01"))
    return Cabinet(
        crimpers={parts.die_24: bollard, parts.die_19: capstan, parts.die_34: windlass},
        die_sets={parts.die_24: heron, parts.die_19: wren, parts.die_34: gannet},
        stop_parts=rings,
        caliper=caliper,
        tape=tape,
        manometer=_manometer(cast),
    )


def _gauge(
    cast: Cast, number: str, kind: GaugeKind, resolution: str, uncertainty: str, *, days_ago: int
) -> Gauge:
    gauge = save_gauge(
        actor=cast.bench,
        gauge=Gauge(
            number=number,
            kind=kind,
            resolution=Decimal(resolution),
            permitted_error=3 * Decimal(resolution),
            place="bench 1",
        ),
    )
    done = today() - datetime.timedelta(days=days_ago)
    record_calibration(
        actor=cast.inspector,
        calibration=Calibration(
            gauge=gauge,
            done_on=done,
            due_on=done + datetime.timedelta(days=365),
            error_as_found=Decimal(resolution),
            error_as_left=Decimal(resolution),
            expanded_uncertainty=Decimal(uncertainty),
            certificate=f"own check piece, {done:%Y-%m}",
        ),
    )
    return gauge


def _manometer(cast: Cast) -> PressureGauge:
    gauge = PressureGauge(
        number="manometer 1", unit="bar", scale_to="1000", division="1", place="test bench, behind the cover"
    )
    save_pressure_gauge(actor=cast.bench, gauge=gauge)
    done = today() - datetime.timedelta(days=60)
    record_pressure_calibration(
        actor=cast.inspector,
        calibration=PressureCalibration(
            gauge=gauge,
            done_on=done,
            due_on=done + datetime.timedelta(days=365),
            error_as_found="0.8",
            error_as_left="0.4",
            expanded_uncertainty="1.6",
            certificate=f"dead-weight tester, {done:%Y-%m}",
        ),
    )
    return gauge


def fill_stores(cast: Cast, parts: Catalogue) -> Stores:
    """Reels, remnants, and bins of fittings and ferrules."""
    made = f"{(today().month - 1) // 3 + 1}Q{today().year - 1}"

    def hose(item: Hose, batch: str, *metres: str) -> Piece:
        lot = Lot(hose=item, batch=batch, made_printed=made, supplier="Lockside Supply")
        lengths = [Decimal(m) * 1000 for m in metres]
        return receive_hose(actor=cast.bench, lot=lot, lengths_mm=lengths, place="rack A")[0]

    def fittings(item: Fitting, batch: str) -> Lot:
        return receive_lot(actor=cast.counter, lot=Lot(fitting=item, batch=batch, quantity=60))

    def ferrules(item: Ferrule, batch: str) -> Lot:
        return receive_lot(actor=cast.counter, lot=Lot(ferrule=item, batch=batch, quantity=120))

    return Stores(
        pieces={
            parts.cascade: hose(parts.cascade, "VC-2207", "50", "3.4", "1.15"),
            parts.cascade_small: hose(parts.cascade_small, "VC-2119", "40"),
            parts.sluice: hose(parts.sluice, "VS-310", "30"),
            parts.tern: hose(parts.tern, "OT-80", "25"),
            parts.bastion: hose(parts.bastion, "OB-14", "20", "2.6"),
        },
        fittings={
            parts.straight: fittings(parts.straight, "T5521"),
            parts.elbow: fittings(parts.elbow, "T5530"),
            parts.small_straight: fittings(parts.small_straight, "T5498"),
            parts.heavy_straight: fittings(parts.heavy_straight, "T6002"),
            parts.heavy_elbow: fittings(parts.heavy_elbow, "T6011"),
        },
        ferrules={
            parts.ferrule: ferrules(parts.ferrule, "F901"),
            parts.ferrule_for_sluice: ferrules(parts.ferrule_for_sluice, "F911"),
            parts.ferrule_for_tern: ferrules(parts.ferrule_for_tern, "F905"),
            parts.small_ferrule: ferrules(parts.small_ferrule, "F888"),
        },
    )
