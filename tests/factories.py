"""Rows of the catalogue and the cabinet, plausible by default. The records go through the services."""

from decimal import Decimal
from typing import TypeVar

import factory
from django.db.models import Model
from factory.django import DjangoModelFactory

from shop.catalogue.models import (
    DieType,
    Ferrule,
    Fitting,
    FittingSeries,
    Fluid,
    Hose,
    Seal,
    StopKind,
    StopType,
)
from shop.engineering.cut_length import Datum
from shop.orders.models import Customer
from shop.standards.models import Basis, Connection, HoseRating
from shop.tooling.models import (
    Arrangement,
    CheckPiece,
    Crimper,
    DieSet,
    Gauge,
    GaugeKind,
    PressureGauge,
    StopPart,
)

M = TypeVar("M", bound=Model)


class RowFactory(DjangoModelFactory[M]):
    """Numbers begin where no number that a test types itself, such as "press 8", can meet them."""

    class Meta:
        abstract = True

    @classmethod
    def _setup_next_sequence(cls) -> int:
        return 1000


class FluidFactory(RowFactory[Fluid]):
    class Meta:
        model = Fluid
        django_get_or_create = ("name",)

    name = "mineral oil"


class SealFactory(RowFactory[Seal]):
    class Meta:
        model = Seal

    name = factory.Sequence(lambda n: f"elastomer {n}")


class HoseRatingFactory(RowFactory[HoseRating]):
    class Meta:
        model = HoseRating

    standard = "EN 853 2SN"
    edition = "2015"
    dash = 8
    dn = "12"
    printed_value = "27.5"
    printed_unit = "MPa"
    bend_radius = Decimal(180)
    temperature_min_c = -40
    temperature_max_c = 100
    basis = Basis.MEMORY
    source = "EN 853:2015, from memory"


class ConnectionFactory(RowFactory[Connection]):
    class Meta:
        model = Connection

    system = "37° flare (ISO 8434-2)"
    size = factory.Sequence(lambda n: f"-{n}")
    thread = "3/4-16 UNF"
    printed_value = "350"
    printed_unit = "bar"
    basis = Basis.MAKER
    source = "the fitting maker's letter"


class HoseFactory(RowFactory[Hose]):
    class Meta:
        model = Hose
        skip_postgeneration_save = True

    maker = "Quillmark"
    designation = factory.Sequence(lambda n: f"Torrent {n}")
    dash = 8
    bore = Decimal("12.7")
    outside_diameter = Decimal(23)
    bend_radius = Decimal(180)
    temperature_min_c = -40
    temperature_max_c = 100
    printed_value = "275"
    printed_unit = "bar"
    source = "Torrent data sheet 4"

    @factory.post_generation
    def fluids(self, create: bool, extracted: list[Fluid] | None) -> None:
        if create:
            self.fluids.set([FluidFactory()] if extracted is None else extracted)


class FittingSeriesFactory(RowFactory[FittingSeries]):
    class Meta:
        model = FittingSeries

    maker = "Ostrava Ends"
    name = factory.Sequence(lambda n: f"Row {n}")


class FittingFactory(RowFactory[Fitting]):
    class Meta:
        model = Fitting

    series = factory.SubFactory(FittingSeriesFactory)
    designation = factory.Sequence(lambda n: f"straight {n}")
    hose_dash = 8
    connection = factory.SubFactory(ConnectionFactory)
    angle_deg = 0
    cut_off = Decimal(25)
    insertion_depth = Decimal(30)
    datum = Datum.SEAT
    printed_value = "350"
    printed_unit = "bar"
    source = "Row data sheet 2"


class FerruleFactory(RowFactory[Ferrule]):
    class Meta:
        model = Ferrule

    series = factory.SubFactory(FittingSeriesFactory)
    designation = factory.Sequence(lambda n: f"ferrule {n}")
    length = Decimal(32)


class DieTypeFactory(RowFactory[DieType]):
    class Meta:
        model = DieType

    designation = factory.Sequence(lambda n: f"die {n}")
    dies_in_set = 8


class StopTypeFactory(RowFactory[StopType]):
    class Meta:
        model = StopType

    designation = factory.Sequence(lambda n: f"stop {n}")
    thickness = Decimal(6)


class CrimperFactory(RowFactory[Crimper]):
    class Meta:
        model = Crimper

    number = factory.Sequence(lambda n: f"press {n}")
    stop_kind = StopKind.PART


class DieSetFactory(RowFactory[DieSet]):
    class Meta:
        model = DieSet

    number = factory.Sequence(lambda n: f"dies {n}")
    mark = "two punched dots"
    die_type = factory.SubFactory(DieTypeFactory)


class StopPartFactory(RowFactory[StopPart]):
    class Meta:
        model = StopPart

    number = factory.Sequence(lambda n: f"ring {n}")
    stop_type = factory.SubFactory(StopTypeFactory)


class ArrangementFactory(RowFactory[Arrangement]):
    class Meta:
        model = Arrangement

    crimper = factory.SubFactory(CrimperFactory)
    die_type = factory.SubFactory(DieTypeFactory)
    stop_type = factory.SubFactory(StopTypeFactory)


class GaugeFactory(RowFactory[Gauge]):
    class Meta:
        model = Gauge

    number = factory.Sequence(lambda n: f"gauge {n}")
    kind = GaugeKind.CALIPER
    resolution = Decimal("0.01")


class PressureGaugeFactory(RowFactory[PressureGauge]):
    class Meta:
        model = PressureGauge

    number = factory.Sequence(lambda n: f"manometer {n}")
    unit = "bar"
    scale_to = "1000"
    division = "1"


class CheckPieceFactory(RowFactory[CheckPiece]):
    class Meta:
        model = CheckPiece

    number = factory.Sequence(lambda n: f"ring {n}")
    nominal = Decimal("25.003")
    uncertainty = Decimal("0.002")


class CustomerFactory(RowFactory[Customer]):
    class Meta:
        model = Customer

    number = factory.Sequence(lambda n: f"K{n}")
    name = "Tidewater Cranes"
