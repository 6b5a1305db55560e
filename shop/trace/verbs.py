"""What is recorded of failures in the field."""

from shop.ledger.registry import register_verb
from shop.trace.models import FailureFinding, FailureReport

FAILURE_REPORTED = register_verb("trace.failure_reported", "took down that one failed", record=FailureReport)
FAILURE_JUDGED = register_verb(
    "trace.failure_judged", "found out about a reported failure", record=FailureFinding
)
