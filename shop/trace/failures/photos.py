"""Photos of what failed: kept like those of tools, with their hashes beside the chain, and erased."""

from collections.abc import Iterable, Iterator

from django.db.models import QuerySet

from shop.core.kept import sha256_of
from shop.ledger.models import PrivateText
from shop.tooling.models import ToolCheck
from shop.tooling.photos import PHOTOS
from shop.trace.models import FailureReport, OfReporter
from shop.trace.verbs import FAILURE_REPORTED

MOST_PHOTOS = 3


def also_named_by(sha256: str, report: FailureReport) -> list[FailureReport | ToolCheck]:
    """What is recorded with the same photo besides the report: as long as there is any, its file stays."""
    naming = _kept_texts().filter(value__contains=sha256).exclude(entry=report.pk)
    reports = FailureReport.objects.filter(pk__in=naming.values("entry"))
    return [*reports, *ToolCheck.objects.filter(photo_sha256=sha256)]


def take_off_the_shelf(hashes: Iterable[str], report: FailureReport) -> None:
    """Remove the files of photos that were erased of the report and that nothing else names."""
    for sha256 in hashes:
        if not also_named_by(sha256, report):
            PHOTOS.discard(sha256)


def photos_that_are_not_as_kept() -> Iterator[str]:
    """A sentence for each photo of a report that is missing or changed; what was erased is not looked for."""
    for text in _kept_texts().order_by("entry").iterator():
        for sha256 in (text.value or "").split():
            path = PHOTOS.path(sha256)
            if not path.exists():
                yield f"The photo {sha256[:8]} of a report (entry {text.entry_id}) is missing."
            elif sha256_of(path.read_bytes()) != sha256:
                yield f"The photo {sha256[:8]} of a report (entry {text.entry_id}) is not what was kept."


def _kept_texts() -> QuerySet[PrivateText]:
    """The texts that name the photos of reports, but for those that were erased."""
    return PrivateText.objects.filter(
        entry__verb=FAILURE_REPORTED.name, name=OfReporter.PHOTOS, erased_by=None
    )
