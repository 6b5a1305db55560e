"""The sizes page: a size under all its names, found by any of them, and hose that is sized by its tube."""

from dataclasses import dataclass
from decimal import Decimal

from django import forms
from django.core.exceptions import ValidationError
from django.db.models import Count
from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from shop.catalogue.models import Hose
from shop.engineering.errors import EngineeringError
from shop.engineering.sizes import (
    FORMS,
    Bore,
    Size,
    TubeSizedBore,
    dash_mm,
    parse_size,
    size_by_dash,
    true_bore,
)
from shop.people.permissions import Permission
from shop.standards.figures import Confirmations, confirmations
from shop.standards.loading import published_sizes, tube_sized_bores
from shop.web.access import StaffRequest, needs
from shop.web.reference.printed import Standing, standing

CAUTIONS = (
    "A fitting goes with a hose because a chart names that hose, never because both have the same dash.",
    "A nominal bore is a label. The hose's own document gives the limits of the real one.",
    "Rows from memory were not compared with their documents. Look them up before you rely on one.",
)


@dataclass(frozen=True)
class SizeRow:
    """A size, what its dash number counts in mm, and how many hoses of the catalogue are of it."""

    size: Size
    counted_mm: Decimal
    hoses: int
    standing: Standing

    @property
    def dn(self) -> str:
        """Every DN that documents print for it: 19/20."""
        return "/".join(map(str, self.size.dn_labels))


@dataclass(frozen=True)
class TubeRow:
    """A hose that is sized by its tube, with its bore and the size of other hoses of that dash number."""

    row: TubeSizedBore
    bore: Bore
    usual: Size
    standing: Standing


class SizeField(forms.CharField):
    """A size as people say it: cleans to `Size`."""

    def clean(self, value: str | None) -> Size | None:
        text = super().clean(value)
        try:
            return parse_size(text, published_sizes()) if text else None
        except EngineeringError as error:
            raise ValidationError(str(error)) from error


class SizeForm(forms.Form):
    """What is asked of the sizes page."""

    size = SizeField(
        label="Find a size", max_length=30, help_text=f"As it was said: {FORMS}.", required=False
    )


@require_GET
@needs(Permission.READ)
def sizes(request: StaffRequest) -> HttpResponse:
    """Every size under all its names; the one that was asked for on top."""
    form = SizeForm(request.GET if "size" in request.GET else None)
    found = form.cleaned_data["size"] if form.is_valid() else None
    confirmed = confirmations()
    rows, of_tubes = size_rows(confirmed), tube_rows(confirmed)
    context = {
        "form": form,
        "found": next((row for row in rows if row.size == found), None),
        "rows": rows,
        "tube_rows": of_tubes,
        "found_tube_rows": [row for row in of_tubes if row.usual == found],
        "cautions": CAUTIONS,
        "may_confirm": request.user.may(Permission.CONFIRM_RATINGS),
    }
    return render(request, "web/reference/sizes.html", context)


def size_rows(confirmed: Confirmations) -> list[SizeRow]:
    """Every published size, with the catalogue's hoses counted in one query."""
    hoses = dict(Hose.objects.order_by().values_list("dash").annotate(Count("pk")))
    return [
        SizeRow(size, dash_mm(size.dash), hoses.get(size.dash, 0), standing(size, confirmed))
        for size in published_sizes()
    ]


def tube_rows(confirmed: Confirmations) -> list[TubeRow]:
    """Every hose that is sized by its tube."""
    published, tube_sized = published_sizes(), tube_sized_bores()
    return [
        TubeRow(
            row,
            true_bore(row.standard, row.dash, published, tube_sized),
            size_by_dash(row.dash, published),
            standing(row, confirmed),
        )
        for row in tube_sized
    ]
