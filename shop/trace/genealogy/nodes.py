"""A genealogy as data: what stands for what, and what leads to what."""

from dataclasses import dataclass

from django.db.models import Model

from shop.trace.suspicion import Suspicion

SUBJECT = "subject"  # the key of the node that all is about


@dataclass(frozen=True, slots=True)
class Node:
    """A thing, or a group of assemblies.

    `count` is how many assemblies (or pieces of work) it stands for. `thing` is what it is, if it is one
    thing; `narrowed` is what finds the assemblies of a group. The rest of a column, which is too long to be
    drawn, has neither.
    """

    key: str
    words: str
    note: str = ""
    count: int = 1
    thing: Model | None = None
    narrowed: Suspicion | None = None
    is_group: bool = False


@dataclass(frozen=True, slots=True)
class NodeColumn:
    """Nodes of one kind."""

    heading: str
    nodes: tuple[Node, ...]


@dataclass(frozen=True, slots=True)
class Genealogy:
    """Columns from what went in to what became of it, and lines between keys of their nodes."""

    title: str
    columns: tuple[NodeColumn, ...]
    lines: tuple[tuple[str, str], ...]
