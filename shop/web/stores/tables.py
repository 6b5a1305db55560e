"""Lists of the stores."""

import datetime
from decimal import Decimal
from typing import Any

import django_filters
import django_tables2 as tables
from django.db.models import QuerySet
from django.template.loader import render_to_string
from django.utils.safestring import SafeString

from shop.assemblies.models import Assembly
from shop.policy.models import Policy
from shop.stock.models import Lot, LotCondemnation, Piece, PieceMovement
from shop.web.registers.filters import RegisterFilter
from shop.web.registers.tables import FigureColumn, ItemColumn, LengthColumn
from shop.web.stores.ages import Age, age_of
from shop.web.templatetags.quantities import clock, length, stretch

CONDEMNED = "condemned"
KEEP = {"td": {"class": "keep"}}  # codes and times are not broken into two lines
_HOSE, _FITTING, _FERRULE = "hose", "fitting", "ferrule"


class TimeColumn(tables.Column):
    """A time in the workshop's zone."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(attrs=KEEP, **kwargs)

    def render(self, value: datetime.datetime) -> str:
        return clock(value)


class StretchColumn(LengthColumn):
    """A length of stock for looking over; exact in an export."""

    def render(self, value: Decimal) -> str:
        return stretch(value)

    def value(self, value: Decimal) -> str:
        return length(value)


class AgedTable(tables.Table):
    """A list with ages by one policy on one day."""

    def __init__(self, rows: QuerySet[Any], *, policy: Policy, today: datetime.date, **kwargs: Any) -> None:
        self.policy, self.today = policy, today
        super().__init__(rows, **kwargs)

    def render_age(self, record: Lot | Piece) -> SafeString:
        return render_to_string("web/stores/_age.html", {"age": self._age(record)})

    def value_age(self, record: Lot | Piece) -> str:
        return self._age(record).words

    def _age(self, record: Lot | Piece) -> Age:
        return age_of(record if isinstance(record, Lot) else record.lot, self.policy, self.today)


class CondemnedColumn(tables.Column):
    """Whether nothing is taken from it any more."""

    def __init__(self, accessor: str) -> None:
        super().__init__(accessor=accessor, verbose_name="Stands", orderable=False, attrs=KEEP)

    def render(self, value: LotCondemnation) -> SafeString:
        return render_to_string("web/parts/state.html", {"state": CONDEMNED, "label": CONDEMNED})

    def value(self, value: LotCondemnation) -> str:
        return CONDEMNED


class LotTable(AgedTable):
    """What came in, newest first."""

    code = ItemColumn("lots", verbose_name="Lot", order_by="code", attrs=KEEP)
    item = tables.Column(verbose_name="Of", orderable=False)
    batch = tables.Column()
    made_printed = tables.Column(verbose_name="Made", orderable=False)
    age = tables.Column(accessor="pk", verbose_name="Age", orderable=False, attrs=KEEP)
    stands = CondemnedColumn("condemnation")
    supplier = tables.Column()
    quantity = FigureColumn(verbose_name="Pieces")
    received = TimeColumn(accessor="entry__recorded_at", verbose_name="Received", order_by="entry")

    class Meta:
        model = Lot
        fields = (
            "code",
            "stands",
            "item",
            "batch",
            "made_printed",
            "age",
            "supplier",
            "quantity",
            "received",
        )
        order_by = "-received"
        default = "—"

    def render_code(self, record: Lot) -> str:
        return record.printed_code


class LotFilter(RegisterFilter):
    """Lots can be narrowed to what they are of."""

    SEARCH = (
        "batch",
        "supplier",
        "hose__maker",
        "hose__designation",
        "fitting__designation",
        "fitting__series__name",
        "ferrule__designation",
        "ferrule__series__name",
    )

    of = django_filters.ChoiceFilter(
        method="by_kind",
        label="Of",
        empty_label="anything",
        choices=[(_HOSE, "hose"), (_FITTING, "fittings"), (_FERRULE, "ferrules")],
    )

    def by_kind(self, rows: QuerySet[Lot], name: str, value: str) -> QuerySet[Lot]:
        return rows.filter(**{f"{value}__isnull": False})


class PieceTable(AgedTable):
    """Reels and remnants."""

    code = ItemColumn("pieces", verbose_name="Piece", order_by="code", attrs=KEEP)
    hose = tables.Column(accessor="lot__hose", order_by="lot__hose__designation")
    length_left = StretchColumn(verbose_name="Left")
    place = tables.Column()
    batch = tables.Column(accessor="lot__batch")
    made = tables.Column(accessor="lot__made_printed", orderable=False)
    age = tables.Column(accessor="pk", verbose_name="Age", orderable=False, attrs=KEEP)
    stands = CondemnedColumn("lot__condemnation")

    class Meta:
        model = Piece
        fields = ("code", "stands", "hose", "length_left", "place", "batch", "made", "age")
        order_by = "hose"
        default = "—"

    def render_code(self, record: Piece) -> str:
        return record.printed_code


class PieceFilter(RegisterFilter):
    """Pieces; those with nothing left only if somebody asks for them."""

    SEARCH = ("lot__hose__maker", "lot__hose__designation", "lot__batch", "place")

    left = django_filters.ChoiceFilter(
        method="by_rest",
        label="Left on it",
        empty_label="some hose",
        choices=[("none", "nothing"), ("any", "some or nothing")],
    )

    def by_rest(self, rows: QuerySet[Piece], name: str, value: str) -> QuerySet[Piece]:
        return rows.filter(length_left=0) if value == "none" else rows

    def filter_queryset(self, queryset: QuerySet[Piece]) -> QuerySet[Piece]:
        rows: QuerySet[Piece] = super().filter_queryset(queryset)
        return rows if self.form.cleaned_data["left"] else rows.filter(length_left__gt=0)


class MovementTable(tables.Table):
    """What changed the length of a piece, newest first."""

    number = FigureColumn(verbose_name="No.")
    kind = tables.Column(verbose_name="What", orderable=False)
    change = LengthColumn()
    balance = LengthColumn(verbose_name="Left")
    assembly = tables.Column(
        accessor="cut__assembly",
        verbose_name="For",
        orderable=False,
        linkify=("web:assembly", [tables.A("cut__assembly__code")]),
    )
    who = tables.Column(accessor="entry__doer_number", verbose_name="Who", orderable=False)
    happened = TimeColumn(accessor="entry__happened_at", verbose_name="Happened", orderable=False)
    recorded = TimeColumn(accessor="entry__recorded_at", verbose_name="Recorded", orderable=False)

    class Meta:
        model = PieceMovement
        fields = ("number", "kind", "change", "balance", "assembly", "who", "happened", "recorded")
        order_by = "-number"
        default = "—"
        caption = "Movements"

    def __init__(self, rows: QuerySet[PieceMovement], *, names: dict[int, str], **kwargs: Any) -> None:
        self.names = names
        super().__init__(rows, **kwargs)

    def render_change(self, record: PieceMovement) -> str:
        return f"+{length(record.change)}" if record.change > 0 else length(record.change)

    def render_who(self, value: int) -> str:
        return self.names[value]


class UsedTable(tables.Table):
    """The assemblies that a lot went into."""

    serial = tables.Column(verbose_name="Assembly", linkify=("web:assembly", [tables.A("code")]))
    state = tables.Column(verbose_name="Stands", orderable=False)
    hose = tables.Column(accessor="run__line__hose", orderable=False)
    customer = tables.Column(accessor="run__line__order__customer", orderable=False)

    class Meta:
        model = Assembly
        fields = ("serial", "state", "hose", "customer")
        order_by = "-serial"
        caption = "Assemblies with it"

    def render_state(self, record: Assembly) -> SafeString:
        state, label = record.state, record.get_state_display()
        if record.trouble:
            state, label = record.trouble, record.get_trouble_display()
        return render_to_string("web/parts/state.html", {"state": state, "label": label})

    def value_state(self, record: Assembly) -> str:
        return record.get_trouble_display() if record.trouble else record.get_state_display()
