"""The bytes of issued papers, each in a file named by its SHA-256."""

from shop.core.kept import Shelf
from shop.documents.models import Paper
from shop.documents.refusals import PaperDamaged

PAPERS = Shelf("papers", ".pdf")


def keep(content: bytes) -> str:
    """Keep the content before the transaction that records the paper commits; returns its SHA-256."""
    return PAPERS.keep(content)


def kept_bytes(paper: Paper) -> bytes:
    """The bytes as they were issued. Raises `PaperDamaged` if they are gone or changed."""
    damage = damage_of(paper)
    if damage:
        raise PaperDamaged(paper=paper, damage=damage)
    return PAPERS.path(paper.sha256).read_bytes()


def damage_of(paper: Paper) -> str:
    """'missing' or 'not what was kept'; empty if the kept copy is as it was."""
    return PAPERS.damage_of(paper.sha256, paper.size)
