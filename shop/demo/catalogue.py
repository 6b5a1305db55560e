"""The invented catalogue: hoses of two makers, two fitting series, and the charts that join them."""

from dataclasses import dataclass
from decimal import Decimal

from shop.catalogue.models import (
    ChartLine,
    CrimpChart,
    DieTapers,
    DieType,
    Ferrule,
    Fitting,
    FittingSeries,
    Fluid,
    Governs,
    Hose,
    Seal,
    StopKind,
    StopType,
)
from shop.catalogue.services import (
    check_chart,
    choose_rating,
    confirm_fitting,
    confirm_hose,
    issue_chart,
    save_chart,
    save_chart_line,
    save_die_type,
    save_ferrule,
    save_fitting,
    save_fluid,
    save_hose,
    save_seal,
    save_series,
    save_stop_type,
)
from shop.demo.people import Cast
from shop.engineering.cut_length import Datum
from shop.policy.services import today
from shop.standards.loading import load_standards
from shop.standards.models import Basis, Connection, HoseRating
from shop.standards.services import confirm_connection, confirm_hose_rating, save_connection, save_hose_rating


@dataclass(frozen=True)
class Catalogue:
    """What the demo orders are made of."""

    oil: Fluid
    glycol: Fluid
    cascade: Hose  # Veldrin, -8, two wire braids
    cascade_small: Hose  # Veldrin, -6
    sluice: Hose  # Veldrin, -8, thicker: the same dies as the Cascade, with a thicker stop
    tern: Hose  # Ombrake, -8: built to the same standard, named by no chart for the Linnet series
    bastion: Hose  # Ombrake, -12, four spirals
    linnet: FittingSeries  # two-piece
    dunlin: FittingSeries  # one-piece
    straight: Fitting
    elbow: Fitting
    small_straight: Fitting
    heavy_straight: Fitting  # one-piece
    heavy_elbow: Fitting  # one-piece
    ferrule: Ferrule
    ferrule_for_sluice: Ferrule
    ferrule_for_tern: Ferrule
    small_ferrule: Ferrule
    die_24: DieType
    die_19: DieType
    die_34: DieType
    ring_six: StopType
    ring_seven: StopType


def _connection(cast: Cast, system: str, size: str, thread: str, bar: str) -> Connection:
    connection = save_connection(
        actor=cast.inspector,
        connection=Connection(
            system=system,
            size=size,
            thread=thread,
            printed_value=bar,
            printed_unit="bar",
            basis=Basis.MAKER,
            source="Tarnholt, letter on end ratings, 2026",
        ),
    )
    confirm_connection(
        actor=cast.inspector,
        connection=connection,
        document="Tarnholt, letter on end ratings, 2026",
        figure=connection.rating,  # type: ignore[arg-type]  # typed just above
    )
    return connection


def _rule(cast: Cast) -> HoseRating:
    """An invented association's type that rates a hose lower than its maker does."""
    rating = save_hose_rating(
        actor=cast.inspector,
        rating=HoseRating(
            standard="Quarrymen's rule 4 type H", edition="2021", dash=12, dn="19", printed_value="400",
            printed_unit="bar", temperature_min_c=-40, temperature_max_c=100, basis=Basis.READ,
            source="Quarrymen's rule 4, edition 2021, table H",
        ),
    )  # fmt: skip
    confirm_hose_rating(
        actor=cast.inspector,
        rating=rating,
        document=rating.source,
        figure=rating.rating,  # type: ignore[arg-type]  # typed just above
    )
    return rating


def _hose(cast: Cast, fluids: list[Fluid], **values: object) -> Hose:
    hose = save_hose(
        actor=cast.inspector,
        hose=Hose(temperature_min_c=-40, temperature_max_c=100, printed_unit="bar", **values),
        fluids=fluids,
    )
    confirm_hose(actor=cast.inspector, hose=hose, document=hose.source, figure=hose.rating)  # type: ignore[arg-type]
    return hose


def _fitting(cast: Cast, **values: object) -> Fitting:
    fitting = save_fitting(actor=cast.inspector, fitting=Fitting(printed_unit="bar", **values))
    confirm_fitting(
        actor=cast.inspector,
        fitting=fitting,
        document=fitting.source,
        figure=fitting.rating,  # type: ignore[arg-type]  # each has one
    )
    return fitting


def write_catalogue(cast: Cast) -> Catalogue:
    """Write, confirm and issue everything; the figures are invented and belong to no maker."""
    load_standards(actor=cast.owner)
    oil = save_fluid(actor=cast.inspector, fluid=Fluid(name="mineral oil"))
    glycol = save_fluid(
        actor=cast.inspector, fluid=Fluid(name="water glycol", temperature_min_c=-40, temperature_max_c=70)
    )
    water = save_fluid(
        actor=cast.inspector, fluid=Fluid(name="water", temperature_min_c=0, temperature_max_c=70)
    )
    sheet = "Veldrin data sheet 11, edition 3"
    cascade = _hose(
        cast, [oil, glycol, water], maker="Veldrin", designation="Cascade", dash=8, bore=Decimal("12.7"),
        outside_diameter=Decimal("21.6"), bend_radius=Decimal(180), printed_value="275",
        proof_printed="550", burst_printed="1100", source=sheet,
    )  # fmt: skip
    cascade_small = _hose(
        cast, [oil, glycol, water], maker="Veldrin", designation="Cascade", dash=6, bore=Decimal("9.5"),
        outside_diameter=Decimal("17.6"), bend_radius=Decimal(130), printed_value="330",
        proof_printed="660", burst_printed="1320", source=sheet,
    )  # fmt: skip
    sluice = _hose(
        cast, [oil, glycol, water], maker="Veldrin", designation="Sluice", dash=8, bore=Decimal("12.7"),
        outside_diameter=Decimal("22.3"), bend_radius=Decimal(180), printed_value="300",
        proof_printed="600", burst_printed="1200", source=sheet,
    )  # fmt: skip
    tern = _hose(
        cast, [oil], maker="Ombrake", designation="Tern", dash=8, bore=Decimal("12.7"),
        outside_diameter=Decimal("22.1"), bend_radius=Decimal(180), printed_value="275",
        source="Ombrake sheet T, 2025",
    )  # fmt: skip
    bastion = _hose(
        cast, [oil], maker="Ombrake", designation="Bastion", dash=12, bore=Decimal("19.0"),
        outside_diameter=Decimal("32.1"), bend_radius=Decimal(240), printed_value="420",
        proof_printed="840", burst_printed="1680", source="Ombrake sheet B, 2025", standard=_rule(cast),
    )  # fmt: skip
    choose_rating(
        actor=cast.owner,
        hose=bastion,
        governs=Governs.MAKER,
        reason="Ombrake's letter of 2026-04-14 warrants 420 bar for this hose; filed with its data sheet.",
    )
    linnet = save_series(actor=cast.inspector, series=FittingSeries(maker="Tarnholt", name="Linnet"))
    dunlin = save_series(actor=cast.inspector, series=FittingSeries(maker="Tarnholt", name="Dunlin"))
    flare = _connection(cast, "37° flare, female", "-8", "3/4-16 UNF", "345")
    small_flare = _connection(cast, "37° flare, female", "-6", "9/16-18 UNF", "345")
    flange = _connection(cast, "Split flange, heavy", "-12", "flange head 41.3 mm", "413")
    fittings = "Tarnholt catalogue, 2026"
    two_piece = {  # a flare seals metal to metal: no seal
        "series": linnet, "datum": Datum.SEAT, "source": fittings, "printed_value": "350",
        "beyond_datum": Decimal(9), "bore": Decimal("9.6"),
    }  # fmt: skip
    ring = save_seal(
        actor=cast.inspector,
        seal=Seal(
            name="nitrile, 90 Shore A", temperature_min_c=-30, temperature_max_c=100,
            source="Tarnholt seal sheet 3, 2026",
        ),
        fluids=[oil, glycol, water],
    )  # fmt: skip
    straight = _fitting(
        cast, **two_piece, designation="straight 8", hose_dash=8, connection=flare, cut_off=Decimal("26.5"),
        insertion_depth=Decimal(32),
    )  # fmt: skip
    elbow = _fitting(
        cast, **two_piece | {"datum": Datum.CENTRELINE, "beyond_datum": Decimal("13.5")},
        designation="bent 90 8", hose_dash=8, connection=flare, angle_deg=90, cut_off=Decimal(52),
        drop=Decimal(58), insertion_depth=Decimal(32),
    )  # fmt: skip
    small_straight = _fitting(
        cast, **two_piece | {"bore": Decimal("7.1")},
        designation="straight 6", hose_dash=6, connection=small_flare,
        cut_off=Decimal("22.4"), insertion_depth=Decimal(28),
    )  # fmt: skip
    one_piece = {
        "series": dunlin, "datum": Datum.FACE, "source": fittings, "printed_value": "420",
        "is_one_piece": True, "hose_dash": 12, "connection": flange, "insertion_depth": Decimal(48),
        "beyond_datum": Decimal(0), "bore": Decimal("14.8"), "seal": ring,
    }  # fmt: skip
    heavy_straight = _fitting(cast, **one_piece, designation="flange 12", cut_off=Decimal(61))
    heavy_elbow = _fitting(
        cast, **one_piece | {"datum": Datum.CENTRELINE, "beyond_datum": Decimal("20.6")},
        designation="flange 90 12", angle_deg=90,
        cut_off=Decimal(94), drop=Decimal(71),
    )  # fmt: skip

    def ferrule(designation: str, length: str) -> Ferrule:
        new = Ferrule(series=linnet, designation=designation, length=Decimal(length))
        return save_ferrule(actor=cast.inspector, ferrule=new)

    def stop_ring(designation: str, thickness: str) -> StopType:
        new = StopType(designation=designation, thickness=Decimal(thickness))
        return save_stop_type(actor=cast.inspector, stop_type=new)

    def die(designation: str, note: str, length: str, tapers: DieTapers, deg: str | None = None) -> DieType:
        new = DieType(
            designation=designation, note=note, length=Decimal(length), tapers=tapers,
            taper_deg=None if deg is None else Decimal(deg),
        )  # fmt: skip
        return save_die_type(actor=cast.inspector, die_type=new)

    catalogue = Catalogue(
        oil=oil,
        glycol=glycol,
        cascade=cascade,
        cascade_small=cascade_small,
        sluice=sluice,
        tern=tern,
        bastion=bastion,
        linnet=linnet,
        dunlin=dunlin,
        straight=straight,
        elbow=elbow,
        small_straight=small_straight,
        heavy_straight=heavy_straight,
        heavy_elbow=heavy_elbow,
        ferrule=ferrule("ferrule 8 C", "34.0"),
        ferrule_for_sluice=ferrule("ferrule 8 S", "34.0"),
        ferrule_for_tern=ferrule("ferrule 8 T", "34.0"),
        small_ferrule=ferrule("ferrule 6 C", "30.0"),
        die_24=die("heron", "for the 8 size", "60", DieTapers.ONE, "9"),
        die_19=die("wren", "for the 6 size", "56", DieTapers.TWO, "12"),
        die_34=die("gannet", "for the 12 size", "75", DieTapers.NONE),
        ring_six=stop_ring("ring S", "6.2"),
        ring_seven=stop_ring("ring M", "7.4"),
    )
    _issue_charts(cast, catalogue)
    return catalogue


def _issue_charts(cast: Cast, parts: Catalogue) -> None:
    """Two charts in force, and a third that was typed and waits for its check."""
    light = save_chart(
        actor=cast.bench,
        chart=CrimpChart(number="LN-2", origin="Tarnholt, Linnet crimp table, edition 2026-02"),
    )
    common = {"chart": light, "series": parts.linnet, "readings": 4}
    small = common | {
        "hose": parts.cascade_small, "ferrule": parts.small_ferrule, "die_type": parts.die_19,
        "target": Decimal("18.90"), "lower": Decimal("18.75"), "upper": Decimal("19.05"),
        "ovality": Decimal("0.20"),
    }  # fmt: skip
    medium = common | {
        "hose": parts.cascade, "ferrule": parts.ferrule, "die_type": parts.die_24, "target": Decimal("23.40"),
        "lower": Decimal("23.25"), "upper": Decimal("23.55"), "ovality": Decimal("0.20"),
    }  # fmt: skip
    thick = medium | {
        "hose": parts.sluice, "ferrule": parts.ferrule_for_sluice,
        "target": Decimal("23.80"), "lower": Decimal("23.65"), "upper": Decimal("23.95"),
    }  # fmt: skip
    for values in (
        thick | {"stop_kind": StopKind.PART, "stop_type": parts.ring_seven},
        medium | {"stop_kind": StopKind.PART, "stop_type": parts.ring_six},
        small | {"stop_kind": StopKind.DIAL, "stop_setting": "4.6"},
    ):
        save_chart_line(actor=cast.bench, line=ChartLine(**values))
    heavy = save_chart(
        actor=cast.bench,
        chart=CrimpChart(number="DN-1", origin="Tarnholt, Dunlin crimp table, edition 2025-10"),
    )
    save_chart_line(
        actor=cast.bench,
        line=ChartLine(
            chart=heavy, hose=parts.bastion, series=parts.dunlin, die_type=parts.die_34,
            stop_kind=StopKind.NUMERIC, stop_setting="34.6", target=Decimal("34.60"), lower=Decimal("34.40"),
            upper=Decimal("34.80"), readings=4, skive="outside", skive_length=Decimal(46),
            crimp_again_allowed=True,
        ),
    )  # fmt: skip
    for chart, issue in ((light, "A"), (heavy, "1")):
        chart.refresh_from_db()
        check_chart(actor=cast.inspector, chart=chart)
        chart.refresh_from_db()
        issue_chart(actor=cast.inspector, chart=chart, issue=issue, effective_from=today())
    waiting = save_chart(
        actor=cast.bench,
        chart=CrimpChart(number="LN-3", origin="Tarnholt, Linnet crimp table, edition 2026-09"),
    )
    # It is typed with the wrong ring: what was crimped with both says so to whoever checks it.
    save_chart_line(
        actor=cast.bench,
        line=ChartLine(
            chart=waiting, hose=parts.tern, series=parts.linnet, ferrule=parts.ferrule_for_tern,
            die_type=parts.die_24, stop_kind=StopKind.PART, stop_type=parts.ring_six,
            target=Decimal("23.80"), lower=Decimal("23.65"), upper=Decimal("23.95"), readings=4,
        ),
    )  # fmt: skip
