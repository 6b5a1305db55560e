"""The registers of the reference: published tables, hoses, and what goes on their ends."""

from functools import partial

from django.db.models import Count

from shop.catalogue.models import DieType, Ferrule, Fitting, FittingSeries, Fluid, Hose, Seal, StopType
from shop.catalogue.services import confirm_fitting, confirm_hose
from shop.people.permissions import Permission
from shop.standards.models import Connection, HoseRating
from shop.standards.services import confirm_connection, confirm_hose_rating
from shop.web.reference import filters, forms, tables
from shop.web.reference.governing import governing_of
from shop.web.reference.published import more_of_published
from shop.web.registers.register import Register

register = partial(Register, place="reference", write=Permission.KEEP_CATALOGUE)

HOSE_RATINGS = register(
    slug="hose-ratings",
    title="Published hose ratings",
    noun="hose rating",
    about="What standards print for each type and size of hose. "
    "Load the tables that come with the program from the reference's first page, or add a row.",
    model=HoseRating,
    form=forms.HoseRatingForm,
    table=tables.HoseRatingTable,
    filterset=filters.HoseRatingFilter,
    rows=lambda: HoseRating.objects.prefetch_related("confirmations__entry"),
    confirm=lambda actor, row, document, figure: confirm_hose_rating(
        actor=actor, rating=row, document=document, figure=figure
    ),
    list_template="web/reference/hose_ratings.html",
    more_of_list=more_of_published,
)
CONNECTIONS = register(
    slug="connections",
    title="Connections",
    noun="connection",
    about="End forms and threads by size. "
    "Load the tables that come with the program from the reference's first page, or add a row.",
    model=Connection,
    form=forms.ConnectionForm,
    table=tables.ConnectionTable,
    filterset=filters.ConnectionFilter,
    rows=lambda: Connection.objects.prefetch_related("confirmations__entry"),
    confirm=lambda actor, row, document, figure: confirm_connection(
        actor=actor, connection=row, document=document, figure=figure
    ),
)
FLUIDS = register(
    slug="fluids",
    title="Fluids",
    noun="fluid",
    about="The fluids that your customers' hoses carry, such as mineral oil. Add the first one.",
    model=Fluid,
    form=forms.FluidForm,
    table=tables.FluidTable,
    filterset=filters.NamedFilter,
)
SEALS = register(
    slug="seals",
    title="Seals",
    noun="seal",
    about="What your ends seal with, such as an O-ring's elastomer: which fluids it stands, and from what to "
    "what temperature. An end that seals metal to metal needs none. Add the first from its data sheet.",
    model=Seal,
    form=forms.SealForm,
    table=tables.SealTable,
    filterset=filters.SealFilter,
    rows=lambda: Seal.objects.prefetch_related("fluids").annotate(parts=Count("fittings")),
)
HOSES = register(
    slug="hoses",
    title="Hoses",
    noun="hose",
    about="The hoses that you stock, each by its maker and size. Add the first from its data sheet.",
    model=Hose,
    form=forms.HoseForm,
    table=tables.HoseTable,
    filterset=filters.HoseFilter,
    rows=lambda: Hose.objects.select_related("standard").prefetch_related("confirmations__entry", "fluids"),
    confirm=lambda actor, row, document, figure: confirm_hose(
        actor=actor, hose=row, document=document, figure=figure
    ),
    item_template="web/reference/hose.html",
    more_of_row=governing_of,
)
SERIES = register(
    slug="series",
    title="Fitting series",
    noun="fitting series",
    about="Fittings and ferrules that are made to be crimped together. Add the series that you stock first.",
    model=FittingSeries,
    form=forms.SeriesForm,
    table=tables.SeriesTable,
    filterset=filters.SeriesFilter,
    rows=lambda: FittingSeries.objects.annotate(parts=Count("fittings")),
)
FITTINGS = register(
    slug="fittings",
    title="Fittings",
    noun="fitting",
    about="The inserts that you stock, with cut-off allowance and rating. Add the first from its data sheet.",
    model=Fitting,
    form=forms.FittingForm,
    table=tables.FittingTable,
    filterset=filters.FittingFilter,
    rows=lambda: Fitting.objects.select_related("series", "connection", "seal").prefetch_related(
        "confirmations__entry"
    ),
    confirm=lambda actor, row, document, figure: confirm_fitting(
        actor=actor, fitting=row, document=document, figure=figure
    ),
)
FERRULES = register(
    slug="ferrules",
    title="Ferrules",
    noun="ferrule",
    about="Loose ferrules. Which one goes on depends on the hose as much as on the fitting. Add the first.",
    model=Ferrule,
    form=forms.FerruleForm,
    table=tables.FerruleTable,
    filterset=filters.FerruleFilter,
    rows=lambda: Ferrule.objects.select_related("series"),
)
DIE_TYPES = register(
    slug="die-types",
    title="Die types",
    noun="die type",
    about="Dies as your charts name them. The sets in your cabinet are kept under Tools. Add the first.",
    model=DieType,
    form=forms.DieTypeForm,
    table=tables.DieTypeTable,
    filterset=filters.TypeFilter,
)
STOP_TYPES = register(
    slug="stop-types",
    title="Stop types",
    noun="stop type",
    about="Stop parts as your charts name them; a dial or a set-point needs none. Add the first.",
    model=StopType,
    form=forms.StopTypeForm,
    table=tables.StopTypeTable,
    filterset=filters.TypeFilter,
)
REGISTERS = (
    HOSE_RATINGS,
    CONNECTIONS,
    FLUIDS,
    SEALS,
    HOSES,
    SERIES,
    FITTINGS,
    FERRULES,
    DIE_TYPES,
    STOP_TYPES,
)
