"""Issued papers compared with the bytes that are kept of them."""

from collections.abc import Iterator

from shop.documents.keeping import damage_of
from shop.documents.models import Paper


def papers_that_are_not_as_issued() -> Iterator[str]:
    """A sentence for each paper whose kept copy is missing or changed."""
    for paper in Paper.objects.order_by("entry").iterator():
        if damage := damage_of(paper):
            yield f"The kept copy of {paper} (entry {paper.pk}) is {damage}."
