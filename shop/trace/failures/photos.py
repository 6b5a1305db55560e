"""Photos of what failed: kept like those of tools, with their hashes beside the chain."""

from collections.abc import Iterator

from shop.core.kept import sha256_of
from shop.ledger.models import PrivateText
from shop.tooling.photos import PHOTOS
from shop.trace.verbs import FAILURE_REPORTED

MOST_PHOTOS = 3


def photos_that_are_not_as_kept() -> Iterator[str]:
    """A sentence for each photo of a report that is missing or changed; what was erased is not looked for."""
    texts = PrivateText.objects.filter(
        entry__verb=FAILURE_REPORTED.name, name="photos", erased_by=None
    ).order_by("entry")
    for text in texts.iterator():
        for sha256 in (text.value or "").split():
            path = PHOTOS.path(sha256)
            if not path.exists():
                yield f"The photo {sha256[:8]} of a report (entry {text.entry_id}) is missing."
            elif sha256_of(path.read_bytes()) != sha256:
                yield f"The photo {sha256[:8]} of a report (entry {text.entry_id}) is not what was kept."
