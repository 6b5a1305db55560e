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
from shop.catalogue.models.governing import CutCorrection, Governs, RatingChoice
from shop.catalogue.models.parts import (
    Attachment,
    Ferrule,
    Fitting,
    FittingConfirmation,
    FittingSeries,
    Fluid,
    Hose,
    HoseConfirmation,
    Seal,
)
from shop.catalogue.models.types import DieTapers, DieType, StopType

__all__ = [
    "Attachment",
    "ChartIssue",
    "ChartLine",
    "ChartWithdrawal",
    "CrimpChart",
    "CrimpSpecification",
    "CrimpValues",
    "CutCorrection",
    "DieTapers",
    "DieType",
    "Ferrule",
    "Fitting",
    "FittingConfirmation",
    "FittingSeries",
    "Fluid",
    "Governs",
    "Hose",
    "HoseConfirmation",
    "RatingChoice",
    "Seal",
    "Skive",
    "StopKind",
    "StopType",
]
