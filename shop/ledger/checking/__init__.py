"""Finding out whether anything recorded was changed, and naming it.

The chains are walked from their first entry to their head, and every record is compared with what
its entry says of it. A changed row is found by its entry, a changed entry by its hash, a hash made
anew by the next entry, and an end cut off by the copy of the heads outside the database.
"""

from shop.ledger.checking.consistency import noted_rows_that_disagree, register_consistency_check
from shop.ledger.checking.results import Checkpoint, CheckResult, Fault, Progress
from shop.ledger.checking.running import check_ledger

__all__ = [
    "CheckResult",
    "Checkpoint",
    "Fault",
    "Progress",
    "check_ledger",
    "noted_rows_that_disagree",
    "register_consistency_check",
]
