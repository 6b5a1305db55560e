"""What people do to the published tables."""

from shop.ledger.registry import register_verb
from shop.standards.models import ConnectionConfirmation, FigureConfirmation, HoseRatingConfirmation

TABLES_LOADED = register_verb("standards.loaded", "loaded the published tables")
RATING_SAVED = register_verb("standards.rating_saved", "wrote a published hose rating")
CONNECTION_SAVED = register_verb("standards.connection_saved", "wrote a connection")
RATING_CONFIRMED = register_verb(
    "standards.rating_confirmed",
    "confirmed a published hose rating against its document",
    record=HoseRatingConfirmation,
)
CONNECTION_CONFIRMED = register_verb(
    "standards.connection_confirmed",
    "confirmed a connection's rating against its document",
    record=ConnectionConfirmation,
)
FIGURE_CONFIRMED = register_verb(
    "standards.figure_confirmed",
    "confirmed the figures of a printed table against its document",
    record=FigureConfirmation,
)
