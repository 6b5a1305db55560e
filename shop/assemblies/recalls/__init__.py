"""Recalls: which assemblies are not to be used, and what becomes of each."""

from shop.assemblies.recalls.following import (
    answer_recall,
    close_recall,
    record_finding,
)
from shop.assemblies.recalls.opening import add_to_recall, open_recall
from shop.assemblies.recalls.standing import (
    Progress,
    keeping_from_use,
    open_recalls_of,
    progress_of,
    require_not_recalled,
)

__all__ = [
    "Progress",
    "add_to_recall",
    "answer_recall",
    "close_recall",
    "keeping_from_use",
    "open_recall",
    "open_recalls_of",
    "progress_of",
    "record_finding",
    "require_not_recalled",
]
