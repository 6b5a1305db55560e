"""Keeping the catalogue: parts, types of tooling, and crimp charts."""

from shop.catalogue.services.charts import (
    check_chart,
    issue_chart,
    remove_chart_line,
    save_chart,
    save_chart_line,
    withdraw_issue,
)
from shop.catalogue.services.governing import choose_rating
from shop.catalogue.services.parts import (
    confirm_fitting,
    confirm_hose,
    save_die_type,
    save_ferrule,
    save_fitting,
    save_fluid,
    save_hose,
    save_seal,
    save_series,
    save_stop_type,
)

__all__ = [
    "check_chart",
    "choose_rating",
    "confirm_fitting",
    "confirm_hose",
    "issue_chart",
    "remove_chart_line",
    "save_chart",
    "save_chart_line",
    "save_die_type",
    "save_ferrule",
    "save_fitting",
    "save_fluid",
    "save_hose",
    "save_seal",
    "save_series",
    "save_stop_type",
    "withdraw_issue",
]
