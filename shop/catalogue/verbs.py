"""What people do to the catalogue and to crimp charts."""

from shop.catalogue.models import (
    ChartIssue,
    ChartWithdrawal,
    CrimpSpecification,
    CutCorrection,
    FittingConfirmation,
    HoseConfirmation,
    RatingChoice,
)
from shop.ledger.registry import register_verb

FLUID_SAVED = register_verb("catalogue.fluid_saved", "wrote a fluid")
SEAL_SAVED = register_verb("catalogue.seal_saved", "wrote a seal")
HOSE_SAVED = register_verb("catalogue.hose_saved", "wrote a hose")
SERIES_SAVED = register_verb("catalogue.series_saved", "wrote a fitting series")
FITTING_SAVED = register_verb("catalogue.fitting_saved", "wrote a fitting")
FERRULE_SAVED = register_verb("catalogue.ferrule_saved", "wrote a ferrule")
DIE_TYPE_SAVED = register_verb("catalogue.die_type_saved", "wrote a die type")
STOP_TYPE_SAVED = register_verb("catalogue.stop_type_saved", "wrote a stop type")
HOSE_CONFIRMED = register_verb(
    "catalogue.hose_confirmed", "confirmed a hose's rating against its document", record=HoseConfirmation
)
FITTING_CONFIRMED = register_verb(
    "catalogue.fitting_confirmed",
    "confirmed a fitting's rating against its document",
    record=FittingConfirmation,
)
RATING_CHOSEN = register_verb(
    "catalogue.rating_chosen", "chose which rating of a hose governs", record=RatingChoice
)
CUT_CORRECTED = register_verb(
    "catalogue.cut_corrected", "corrected the cut of a hose by measured lengths", record=CutCorrection
)
CHART_SAVED = register_verb("catalogue.chart_saved", "wrote the head of a crimp chart")
CHART_LINE_SAVED = register_verb("catalogue.chart_line_saved", "typed a line of a crimp chart")
CHART_LINE_REMOVED = register_verb("catalogue.chart_line_removed", "took a typed line off a crimp chart")
CHART_CHECKED = register_verb("catalogue.chart_checked", "checked a crimp chart against its document")
CHART_ISSUED = register_verb("catalogue.chart_issued", "issued a crimp chart", record=ChartIssue)
LINE_ISSUED = register_verb(
    "catalogue.line_issued", "put a line of a crimp chart in force", record=CrimpSpecification
)
CHART_WITHDRAWN = register_verb(
    "catalogue.chart_withdrawn", "withdrew an issue of a crimp chart", record=ChartWithdrawal
)
