"""What people do to customers and orders."""

from shop.ledger.registry import register_verb
from shop.orders.models import AttachedWorksheet, Resolution, WorksheetRemoval

CUSTOMER_SAVED = register_verb("orders.customer_saved", "wrote a customer's entry")
ORDER_SAVED = register_verb("orders.order_saved", "wrote the head of an order")
LINE_SAVED = register_verb("orders.line_saved", "wrote an order line")
LINE_CANCELLED = register_verb("orders.line_cancelled", "cancelled an order line")
LINE_CONFIRMED = register_verb("orders.line_confirmed", "confirmed an order line", record=Resolution)
WORKSHEET_ATTACHED = register_verb(
    "orders.worksheet_attached", "attached a worksheet to an order line", record=AttachedWorksheet
)
WORKSHEET_REMOVED = register_verb(
    "orders.worksheet_removed", "took a worksheet off an order line", record=WorksheetRemoval
)
