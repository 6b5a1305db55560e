"""Where an assembly came from and what a thing led to, to be drawn: never more than can be read."""

from shop.trace.genealogy.ancestry import ancestry_of
from shop.trace.genealogy.descent import MOST, descent_of
from shop.trace.genealogy.nodes import SUBJECT, Genealogy, Node, NodeColumn

__all__ = ["MOST", "SUBJECT", "Genealogy", "Node", "NodeColumn", "ancestry_of", "descent_of"]
