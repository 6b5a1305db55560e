"""Lists of the reference."""

import django_tables2 as tables

from shop.catalogue.models import DieType, Ferrule, Fitting, FittingSeries, Fluid, Hose, Seal, StopType
from shop.standards.models import Connection, HoseRating
from shop.web.registers.tables import (
    ConfirmedColumn,
    FigureColumn,
    ItemColumn,
    LengthColumn,
    RatingColumn,
    SizeColumn,
)


class BasisColumn(tables.Column):
    """How a value came into the table, in two words."""

    def render(self, value: str) -> str:
        return value.partition(":")[0]


class HoseRatingTable(tables.Table):
    standard = ItemColumn("hose_ratings")
    dash = SizeColumn()
    bend_radius = LengthColumn()
    rating = RatingColumn()
    confirmed = ConfirmedColumn()
    basis = BasisColumn()

    class Meta:
        model = HoseRating
        fields = ("standard", "edition", "dash", "dn", "rating", "confirmed", "bend_radius", "basis")


class ConnectionTable(tables.Table):
    system = ItemColumn("connections")
    rating = RatingColumn()
    confirmed = ConfirmedColumn()
    basis = BasisColumn()

    class Meta:
        model = Connection
        fields = ("system", "size", "thread", "rating", "confirmed", "basis")


class DegreesColumn(FigureColumn):
    """A temperature in °C, with the sign that print has."""

    def render(self, value: int) -> str:
        return f"{value} °C".replace("-", "−")


class FluidTable(tables.Table):
    name = ItemColumn("fluids")
    temperature_min_c = DegreesColumn(verbose_name="From")
    temperature_max_c = DegreesColumn(verbose_name="To")

    class Meta:
        model = Fluid
        fields = ("name", "temperature_min_c", "temperature_max_c")


class SealTable(tables.Table):
    name = ItemColumn("seals")
    fluids = tables.ManyToManyColumn(verbose_name="Approved for", orderable=False)
    temperature_min_c = DegreesColumn(verbose_name="From")
    temperature_max_c = DegreesColumn(verbose_name="To")
    parts = FigureColumn(verbose_name="Fittings")

    class Meta:
        model = Seal
        fields = ("name", "fluids", "temperature_min_c", "temperature_max_c", "parts")


class HoseTable(tables.Table):
    designation = ItemColumn("hoses")
    dash = SizeColumn()
    bore = LengthColumn()
    outside_diameter = LengthColumn()
    rating = RatingColumn()
    confirmed = ConfirmedColumn()

    class Meta:
        model = Hose
        fields = (
            "designation",
            "maker",
            "dash",
            "bore",
            "outside_diameter",
            "rating",
            "confirmed",
            "standard",
        )


class SeriesTable(tables.Table):
    name = ItemColumn("series")
    parts = FigureColumn(verbose_name="Fittings")

    class Meta:
        model = FittingSeries
        fields = ("name", "maker", "parts")


class FittingTable(tables.Table):
    designation = ItemColumn("fittings")
    hose_dash = SizeColumn()
    form_words = tables.Column(verbose_name="Form", order_by="angle_deg")
    cut_off = LengthColumn()
    rating = RatingColumn()
    confirmed = ConfirmedColumn()

    class Meta:
        model = Fitting
        fields = (
            "designation",
            "series",
            "hose_dash",
            "connection",
            "form_words",
            "cut_off",
            "rating",
            "confirmed",
        )


class FerruleTable(tables.Table):
    designation = ItemColumn("ferrules")
    length = LengthColumn()

    class Meta:
        model = Ferrule
        fields = ("designation", "series", "length", "material")


class DieTypeTable(tables.Table):
    designation = ItemColumn("die_types")
    dies_in_set = FigureColumn()
    closed_diameter = LengthColumn()
    length = LengthColumn()

    class Meta:
        model = DieType
        fields = ("designation", "dies_in_set", "closed_diameter", "length", "tapers", "note")


class StopTypeTable(tables.Table):
    designation = ItemColumn("stop_types")
    thickness = LengthColumn()

    class Meta:
        model = StopType
        fields = ("designation", "thickness", "note")
