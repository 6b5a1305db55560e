"""What may be ordered and how it is crimped: hoses, fittings, ferrules, tooling types and charts."""

from shop.catalogue.models.charts import (
    ChartIssue,
    ChartLine,
    ChartWithdrawal,
    CrimpChart,
    CrimpSpecification,
    CrimpValues,
    Skive,
    StopKind,
)
from shop.catalogue.models.parts import (
    Attachment,
    Ferrule,
    Fitting,
    FittingConfirmation,
    FittingSeries,
    Fluid,
    Hose,
    HoseConfirmation,
)
from shop.catalogue.models.types import DieType, StopType

__all__ = [
    "Attachment",
    "ChartIssue",
    "ChartLine",
    "ChartWithdrawal",
    "CrimpChart",
    "CrimpSpecification",
    "CrimpValues",
    "DieType",
    "Ferrule",
    "Fitting",
    "FittingConfirmation",
    "FittingSeries",
    "Fluid",
    "Hose",
    "HoseConfirmation",
    "Skive",
    "StopKind",
    "StopType",
]
