"""What the lists of the reference are narrowed by."""

import django_filters

from shop.catalogue.models import Ferrule, Fitting, Fluid, Hose, Seal
from shop.standards.models import Connection, HoseRating
from shop.web.registers.filters import RatedFilter, RegisterFilter


class HoseRatingFilter(RatedFilter):
    SEARCH = ("standard", "edition", "dn", "source")
    SIZE = "dash"

    standard = django_filters.AllValuesFilter(label="Type", empty_label="any")

    class Meta:
        model = HoseRating
        fields = ("standard", "dash", "basis")


class ConnectionFilter(RatedFilter):
    SEARCH = ("system", "size", "thread", "note")

    system = django_filters.AllValuesFilter(label="System", empty_label="any")

    class Meta:
        model = Connection
        fields = ("system", "basis")


class HoseFilter(RatedFilter):
    SEARCH = ("maker", "designation", "standard__standard")
    SIZE = "dash"

    maker = django_filters.AllValuesFilter(label="Maker", empty_label="any")

    class Meta:
        model = Hose
        fields = ("maker", "dash")


class FittingFilter(RatedFilter):
    SEARCH = ("designation", "series__maker", "series__name", "connection__system", "connection__size")
    SIZE = "hose_dash"

    class Meta:
        model = Fitting
        fields = ("series", "hose_dash", "angle_deg", "seal")


class FerruleFilter(RegisterFilter):
    SEARCH = ("designation", "series__maker", "series__name", "material")

    class Meta:
        model = Ferrule
        fields = ("series",)


class SealFilter(RegisterFilter):
    SEARCH = ("name", "source")

    fluids = django_filters.ModelChoiceFilter(
        queryset=Fluid.objects.all(), label="Approved for", empty_label="any"
    )

    class Meta:
        model = Seal
        fields = ("fluids",)


class NamedFilter(RegisterFilter):
    SEARCH = ("name",)


class SeriesFilter(RegisterFilter):
    SEARCH = ("name", "maker")


class TypeFilter(RegisterFilter):
    SEARCH = ("designation", "note")
