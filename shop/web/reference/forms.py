"""Forms of the reference: published tables and the catalogue.

The ranges outside which a value is asked about are common practice, no source; sizes are compared with
the published nominal bores.
"""

from collections.abc import Iterator
from decimal import Decimal

from shop.catalogue.models import DieType, Ferrule, Fitting, FittingSeries, Fluid, Hose, StopType
from shop.catalogue.services import (
    save_die_type,
    save_ferrule,
    save_fitting,
    save_fluid,
    save_hose,
    save_series,
    save_stop_type,
)
from shop.people.models import User
from shop.standards.loading import nominal_bores
from shop.standards.models import Connection, HoseRating
from shop.standards.services import save_connection, save_hose_rating
from shop.web.registers.forms import RatedForm, RegisterForm
from shop.web.templatetags.quantities import length

BORE_SHARE = Decimal("0.35")  # 100R5 and R14 count the tube: their bores are up to a quarter below


class HoseRatingForm(RatedForm):
    """One row of the published table of hoses."""

    USUAL_MM = {"bend_radius": (10, 3000)}

    class Meta(RatedForm.Meta):
        model = HoseRating
        fields = [
            "standard",
            "edition",
            "dash",
            "dn",
            "rating",
            "bend_radius",
            "temperature_min_c",
            "temperature_max_c",
            "source",
            "basis",
        ]

    def write(self, *, actor: User, sure: frozenset[str]) -> HoseRating:
        return save_hose_rating(actor=actor, rating=self.instance)


class ConnectionForm(RatedForm):
    """One row of the table of connections."""

    USUAL_MM = {"flange_head": (15, 200)}

    class Meta(RatedForm.Meta):
        model = Connection
        fields = ["system", "size", "thread", "flange_head", "rating", "source", "basis", "note"]

    def write(self, *, actor: User, sure: frozenset[str]) -> Connection:
        return save_connection(actor=actor, connection=self.instance)


class FluidForm(RegisterForm):
    """A fluid."""

    class Meta(RegisterForm.Meta):
        model = Fluid
        fields = ["name"]

    def write(self, *, actor: User, sure: frozenset[str]) -> Fluid:
        return save_fluid(actor=actor, fluid=self.instance)


class HoseForm(RatedForm):
    """A maker's hose."""

    USUAL_MM = {
        "outside_diameter": (6, 180),
        "bend_radius": (10, 3000),
        "least_between_ferrules": (20, 2000),
    }

    class Meta(RatedForm.Meta):
        model = Hose
        fields = [
            "maker",
            "designation",
            "dash",
            "bore",
            "outside_diameter",
            "standard",
            "rating",
            "source",
            "proof_printed",
            "bend_radius",
            "temperature_min_c",
            "temperature_max_c",
            "fluids",
            "least_between_ferrules",
        ]

    def unusual(self) -> Iterator[str]:
        yield from super().unusual()
        size, bore = self.cleaned_data["dash"], self.cleaned_data["bore"]
        nominal = nominal_bores().get(size)
        if nominal is None:
            yield f"Size -{size} (no published size)"
        elif abs(bore - nominal) > nominal * BORE_SHARE:
            yield f"True bore {length(bore)} in size -{size} (nominal {length(nominal)})"

    def write(self, *, actor: User, sure: frozenset[str]) -> Hose:
        return save_hose(actor=actor, hose=self.instance, fluids=self.cleaned_data["fluids"])


class SeriesForm(RegisterForm):
    """A fitting series."""

    class Meta(RegisterForm.Meta):
        model = FittingSeries
        fields = ["maker", "name", "attachment"]

    def write(self, *, actor: User, sure: frozenset[str]) -> FittingSeries:
        return save_series(actor=actor, series=self.instance)


class FittingForm(RatedForm):
    """A fitting."""

    USUAL_MM = {"cut_off": (5, 400), "drop": (8, 400), "insertion_depth": (8, 150)}

    class Meta(RatedForm.Meta):
        model = Fitting
        fields = [
            "series",
            "designation",
            "hose_dash",
            "connection",
            "angle_deg",
            "cut_off",
            "drop",
            "insertion_depth",
            "datum",
            "material",
            "is_one_piece",
            "rotates",
            "rating",
            "source",
        ]

    def unusual(self) -> Iterator[str]:
        yield from super().unusual()
        if self.cleaned_data["angle_deg"] and self.cleaned_data["drop"] is None:
            yield "A bent fitting without its drop (it can't be drawn to proportion)"

    def write(self, *, actor: User, sure: frozenset[str]) -> Fitting:
        return save_fitting(actor=actor, fitting=self.instance)


class FerruleForm(RegisterForm):
    """A loose ferrule."""

    USUAL_MM = {"length": (10, 200)}

    class Meta(RegisterForm.Meta):
        model = Ferrule
        fields = ["series", "designation", "length", "material"]

    def write(self, *, actor: User, sure: frozenset[str]) -> Ferrule:
        return save_ferrule(actor=actor, ferrule=self.instance)


class DieTypeForm(RegisterForm):
    """A die as charts name it."""

    USUAL_MM = {"closed_diameter": (5, 250)}

    class Meta(RegisterForm.Meta):
        model = DieType
        fields = ["designation", "dies_in_set", "closed_diameter", "note"]

    def write(self, *, actor: User, sure: frozenset[str]) -> DieType:
        return save_die_type(actor=actor, die_type=self.instance)


class StopTypeForm(RegisterForm):
    """A stop part as charts name it."""

    USUAL_MM = {"thickness": (Decimal("0.5"), 200)}

    class Meta(RegisterForm.Meta):
        model = StopType
        fields = ["designation", "thickness", "note"]

    def write(self, *, actor: User, sure: frozenset[str]) -> StopType:
        return save_stop_type(actor=actor, stop_type=self.instance)
