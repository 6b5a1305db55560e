"""Failures in the field: reports, what the workshop found out about them, and which count."""

from shop.trace.failures.counting import (
    Failure,
    failed_assemblies,
    failures,
    has_failed,
    require_not_failed,
)
from shop.trace.failures.investigating import Investigation, investigate
from shop.trace.failures.photos import MOST_PHOTOS
from shop.trace.failures.services import MOST_CHARACTERS, WhatFailed, judge_report, report_failure

__all__ = [
    "MOST_CHARACTERS",
    "MOST_PHOTOS",
    "Failure",
    "Investigation",
    "WhatFailed",
    "failed_assemblies",
    "failures",
    "has_failed",
    "investigate",
    "judge_report",
    "report_failure",
    "require_not_failed",
]
