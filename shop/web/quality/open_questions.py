"""What somebody in quality has to look at: counted here, answered on other pages."""

from collections.abc import Iterator
from dataclasses import dataclass
from urllib.parse import urlencode

from django.db.models import QuerySet
from django.urls import reverse

from shop.assemblies.models import Assembly, Recall, Trouble
from shop.assemblies.records import with_records
from shop.assemblies.wear import ROLES, due_for_a_check, with_wear
from shop.catalogue.models import CrimpChart, Fitting, Hose
from shop.ledger.sealing.daily import overdue
from shop.standards.models import Connection, HoseRating
from shop.trace.models import FailureReport
from shop.web.quality.charts.register import unchecked_charts
from shop.web.quality.failures.tables import OPEN
from shop.web.registers.filters import UNCONFIRMED
from shop.web.registers.rated import unconfirmed

REPORTS = ("report", "reports")
RECALLS = ("recall", "recalls")
ASSEMBLIES = ("assembly", "assemblies")
CHARTS = ("chart", "charts")
ENTRIES = ("entry", "entries")
TOOLS = ("tool", "tools")
RATINGS = ("rating", "ratings")


@dataclass(frozen=True)
class Question:
    """Something open: how many, what they are, and where they are answered."""

    count: int
    label: str
    unit: tuple[str, str]  # of one, of several
    url: str

    @property
    def unit_words(self) -> str:
        """The unit that goes with the count."""
        one, several = self.unit
        return one if self.count == 1 else several


def held_or_failed() -> QuerySet[Assembly]:
    """Assemblies with an open question, with what a list of them shows."""
    rows = with_records(Assembly.objects.exclude(trouble=Trouble.NONE))
    return rows.select_related("run__line__order__customer", "run__line__hose").prefetch_related(
        "crimps__specification"
    )


def open_questions() -> Iterator[Question]:
    """Everything that can be open, the most urgent first, with its count."""
    recalls = Recall.objects.filter(closing=None)
    yield Question(recalls.count(), "Open recalls", RECALLS, reverse("web:recalls"))
    unread = FailureReport.objects.unread().count()
    failures = f"{reverse('web:failures')}?stands={OPEN}"
    yield Question(unread, "Failures that nobody has looked at", REPORTS, failures)
    yield Question(held_or_failed().count(), "Held or failed", ASSEMBLIES, reverse("web:held"))
    yield Question(overdue(), "In no seal for two days", ENTRIES, reverse("web:ledger_seals"))
    due = sum(due_for_a_check(with_wear(kind._default_manager.all())).count() for kind in ROLES)
    yield Question(due, "Tools to look at", TOOLS, reverse("web:tools"))
    charts = reverse("web:charts")
    yield Question(unchecked_charts().count(), "Charts to check", CHARTS, f"{charts}?checked=no")
    unissued = CrimpChart.objects.exclude(checked_by=None).filter(issues=None)
    yield Question(unissued.count(), "Checked, never issued", CHARTS, f"{charts}?checked=yes")
    narrowed = urlencode({"rating": UNCONFIRMED})
    for label, page, parts in (
        ("Hoses to confirm", "hoses", unconfirmed(Hose.objects.all())),
        ("Fittings to confirm", "fittings", unconfirmed(Fitting.objects.all())),
        (
            "Connections of our fittings to confirm",
            "connections",
            unconfirmed(Connection.objects.filter(fittings__isnull=False).distinct()),
        ),
        (
            "Published ratings of our hoses to confirm",
            "hose_ratings",
            unconfirmed(HoseRating.objects.filter(hoses__isnull=False).distinct()),
        ),
    ):
        yield Question(parts.count(), label, RATINGS, f"{reverse(f'web:{page}')}?{narrowed}")
