"""Forms of the reference: published tables and the catalogue.

The ranges outside which a value is asked about are common practice, no source; sizes are compared with
the published nominal bores.
"""

from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from django.core.exceptions import ValidationError
from django.db import models

from shop.catalogue.models import DieType, Ferrule, Fitting, FittingSeries, Fluid, Hose, Seal, StopType
from shop.catalogue.services import (
    save_die_type,
    save_ferrule,
    save_fitting,
    save_fluid,
    save_hose,
    save_seal,
    save_series,
    save_stop_type,
)
from shop.people.models import User
from shop.standards.loading import usual_bore
from shop.standards.models import Connection, HoseRating
from shop.standards.services import save_connection, save_hose_rating
from shop.web.fields import LengthField
from shop.web.registers.forms import RatedForm, RegisterForm
from shop.web.templatetags.quantities import length, pressure

# Of hose that is built to no type, which may be sized by its tube: bores are then up to a quarter below.
BORE_SHARE = Decimal("0.35")
FIGURES_BESIDE_THE_RATING = ["proof_printed", "burst_printed", "vacuum_printed", "vacuum_unit"]


def _help(model: type[models.Model], column: str) -> str:
    field = model._meta.get_field(column)
    assert isinstance(field, models.Field)
    return str(field.help_text)


class HoseFiguresForm(RatedForm):
    """A part of which documents print more than the rating: proof, burst, and the vacuum it stands."""

    READS = {
        "proof_printed": lambda hose: pressure(hose.proof),
        "burst_printed": lambda hose: pressure(hose.burst),
        "vacuum_printed": lambda hose: pressure(hose.vacuum) or "none: not for suction",
        "vacuum_unit": None,  # it stands with the figure
    }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in FIGURES_BESIDE_THE_RATING[:-1]:
            self.fields[name].widget.attrs |= {"inputmode": "decimal", "autocomplete": "off", "size": 12}

    class Meta(RatedForm.Meta):
        labels = {"vacuum_unit": "Unit of that vacuum"}


class HoseRatingForm(HoseFiguresForm):
    """One row of the published table of hoses."""

    USUAL_MM = {"bend_radius": (10, 3000)}

    class Meta(HoseFiguresForm.Meta):
        model = HoseRating
        fields = [
            "standard",
            "edition",
            "dash",
            "dn",
            "rating",
            *FIGURES_BESIDE_THE_RATING,
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
    """A fluid, and where hose may carry it."""

    class Meta(RegisterForm.Meta):
        model = Fluid
        fields = ["name", "temperature_min_c", "temperature_max_c"]

    def write(self, *, actor: User, sure: frozenset[str]) -> Fluid:
        return save_fluid(actor=actor, fluid=self.instance)


class SealForm(RegisterForm):
    """What an end seals with."""

    class Meta(RegisterForm.Meta):
        model = Seal
        fields = ["name", "fluids", "temperature_min_c", "temperature_max_c", "source"]

    def write(self, *, actor: User, sure: frozenset[str]) -> Seal:
        return save_seal(actor=actor, seal=self.instance, fluids=self.cleaned_data["fluids"])


class HoseForm(HoseFiguresForm):
    """A maker's hose."""

    USUAL_MM = {
        "outside_diameter": (6, 180),
        "bend_radius": (10, 3000),
        "least_between_ferrules": (20, 2000),
    }

    class Meta(HoseFiguresForm.Meta):
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
            *FIGURES_BESIDE_THE_RATING,
            "bend_radius",
            "temperature_min_c",
            "temperature_max_c",
            "fluids",
            "least_between_ferrules",
        ]

    def unusual(self) -> Iterator[str]:
        yield from super().unusual()
        size, bore = self.cleaned_data["dash"], self.cleaned_data["bore"]
        nominal = usual_bore("", size)
        if nominal is None:
            yield f"Size -{size} (no published size)"
        elif self.cleaned_data["standard"]:
            return  # its type says more of its bore: the service compares the two
        elif abs(bore - nominal.mm) > nominal.mm * BORE_SHARE:
            yield f"True bore {length(bore)} in size -{size} (nominal {length(nominal.mm)})"

    def write(self, *, actor: User, sure: frozenset[str]) -> Hose:
        fluids = self.cleaned_data["fluids"]
        return save_hose(actor=actor, hose=self.instance, fluids=fluids, sure=sure)


class SeriesForm(RegisterForm):
    """A fitting series."""

    class Meta(RegisterForm.Meta):
        model = FittingSeries
        fields = ["maker", "name", "attachment"]

    def write(self, *, actor: User, sure: frozenset[str]) -> FittingSeries:
        return save_series(actor=actor, series=self.instance)


class FittingForm(RatedForm):
    """A fitting."""

    USUAL_MM = {
        "cut_off": (5, 400),
        "drop": (8, 400),
        "insertion_depth": (8, 150),
        "beyond_datum": (0, 150),
        "bore": (2, 80),
    }

    # Signed, because a flange ends where its length is measured to: nought has to be read.
    beyond_datum = LengthField(
        signed=True, required=False, label="Metal beyond that point", help_text=_help(Fitting, "beyond_datum")
    )

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
            "beyond_datum",
            "bore",
            "seal",
            "material",
            "is_one_piece",
            "rotates",
            "direction",
            "rating",
            "source",
        ]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if cleaned.get("direction") and (cleaned.get("angle_deg") or cleaned.get("rotates")):
            self.add_error(
                "direction", "Leave it empty: a bent one faces where it bends, and what turns, nowhere."
            )
        return cleaned

    def clean_beyond_datum(self) -> Decimal | None:
        beyond: Decimal | None = self.cleaned_data["beyond_datum"]
        if beyond is not None and beyond < 0:
            raise ValidationError("Metal beyond that point adds to the length: it is nought or more.")
        return beyond

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

    USUAL_MM = {"closed_diameter": (5, 250), "length": (10, 300)}

    class Meta(RegisterForm.Meta):
        model = DieType
        fields = [
            "designation", "dies_in_set", "closed_diameter", "length", "tapers", "taper_deg", "note"
        ]  # fmt: skip

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
