"""What is left, hose by hose: what somebody who takes an order asks first."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from shop.catalogue.models import Hose
from shop.stock.models import Piece


@dataclass
class StockOfHose:
    """The pieces of one hose together, and the longest of them: a length has to come from one piece."""

    hose: Hose
    pieces: int = 0
    together_mm: Decimal = Decimal(0)
    longest_mm: Decimal = Decimal(0)

    def add(self, piece: Piece) -> None:
        """Count a piece in."""
        self.pieces += 1
        self.together_mm += piece.length_left
        self.longest_mm = max(self.longest_mm, piece.length_left)


def stock_by_hose(pieces: Iterable[Piece]) -> list[StockOfHose]:
    """The pieces by their hose, in the order of the hoses' names."""
    stock: dict[int, StockOfHose] = {}
    for piece in pieces:
        stock.setdefault(piece.hose.pk, StockOfHose(piece.hose)).add(piece)
    return sorted(stock.values(), key=lambda row: str(row.hose))
