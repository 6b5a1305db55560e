"""What people do with papers."""

from shop.documents.models import Paper
from shop.ledger.registry import register_verb

PAPER_ISSUED = register_verb("documents.issued", "printed a paper", record=Paper)
EVIDENCE_TAKEN = register_verb("documents.evidence_taken", "took an evidence package out")
