"""What people do to lots and pieces."""

from shop.ledger.registry import register_verb
from shop.stock.models import Lot, LotCondemnation, PieceMovement

LOT_RECEIVED = register_verb("stock.lot_received", "received a lot", record=Lot)
LOT_CONDEMNED = register_verb("stock.lot_condemned", "condemned a lot", record=LotCondemnation)
PIECE_MOVED = register_verb("stock.piece_moved", "changed the length of a piece", record=PieceMovement)
PIECE_PLACED = register_verb("stock.piece_placed", "put a piece somewhere")
