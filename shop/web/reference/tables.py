"""Lists of the reference."""

import django_tables2 as tables

from shop.catalogue.models import Fluid, Hose
from shop.web.registers.filters import RatedFilter, RegisterFilter
from shop.web.registers.tables import ConfirmedColumn, FigureColumn, ItemColumn, LengthColumn, RatingColumn


class FluidTable(tables.Table):
    name = ItemColumn("fluids")

    class Meta:
        model = Fluid
        fields = ("name",)


class FluidFilter(RegisterFilter):
    SEARCH = ("name",)


class HoseTable(tables.Table):
    designation = ItemColumn("hoses")
    maker = tables.Column()
    dash = FigureColumn(verbose_name="Size")
    outside_diameter = LengthColumn()
    rating = RatingColumn()
    confirmed = ConfirmedColumn()
    standard = tables.Column(verbose_name="Built to")

    class Meta:
        model = Hose
        fields = ("designation", "maker", "dash", "outside_diameter", "standard", "rating", "confirmed")


class HoseFilter(RatedFilter):
    SEARCH = ("maker", "designation", "standard__standard")

    class Meta:
        model = Hose
        fields = ("maker", "dash")
