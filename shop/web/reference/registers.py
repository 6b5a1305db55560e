"""The registers of the reference."""

from shop.catalogue.models import Fluid, Hose
from shop.catalogue.services import confirm_hose
from shop.people.permissions import Permission
from shop.web.reference import forms, tables
from shop.web.registers.register import Register

FLUIDS = Register(
    slug="fluids",
    place="reference",
    title="Fluids",
    noun="fluid",
    about="The fluids that your customers' hoses carry, such as mineral oil HLP. Add the first one.",
    model=Fluid,
    form=forms.FluidForm,
    table=tables.FluidTable,
    filterset=tables.FluidFilter,
    write=Permission.KEEP_CATALOGUE,
)
HOSES = Register(
    slug="hoses",
    place="reference",
    title="Hoses",
    noun="hose",
    about="The hoses that you stock, each by its maker and size. Add the first from its data sheet.",
    model=Hose,
    form=forms.HoseForm,
    table=tables.HoseTable,
    filterset=tables.HoseFilter,
    write=Permission.KEEP_CATALOGUE,
    rows=lambda: Hose.objects.select_related("standard").prefetch_related("confirmations__entry", "fluids"),
    confirm=lambda actor, row, document, figure: confirm_hose(
        actor=actor, hose=row, document=document, figure=figure
    ),
)
REGISTERS = (HOSES, FLUIDS)
