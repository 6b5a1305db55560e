"""One physical hose assembly, and the records that its making leaves."""

from shop.assemblies.models.assembly import Assembly, End, Run, State, Trouble
from shop.assemblies.models.correcting import LotCorrection, lots_of
from shop.assemblies.models.deciding import (
    CAUSES,
    CRIMPED_ANEW,
    Cause,
    Concession,
    Decision,
    DecisionKind,
)
from shop.assemblies.models.making import (
    Coverage,
    Crimp,
    Cut,
    Measurement,
    Sampling,
    SetUp,
)
from shop.assemblies.models.recall import (
    CustomerAnswer,
    FindingKind,
    Recall,
    RecallAddition,
    RecallClosing,
    RecallFinding,
    RecallMember,
)
from shop.assemblies.models.release import Inspection, Release, Retirement, Shipment, Tag
from shop.assemblies.models.submission import Submission
from shop.assemblies.models.testing import ProofFluid, ProofOutcome, ProofTest

__all__ = [
    "CAUSES",
    "CRIMPED_ANEW",
    "Assembly",
    "Cause",
    "Concession",
    "Coverage",
    "Crimp",
    "CustomerAnswer",
    "Cut",
    "Decision",
    "DecisionKind",
    "End",
    "FindingKind",
    "Inspection",
    "LotCorrection",
    "Measurement",
    "ProofFluid",
    "ProofOutcome",
    "ProofTest",
    "Recall",
    "RecallAddition",
    "RecallClosing",
    "RecallFinding",
    "RecallMember",
    "Release",
    "Retirement",
    "Run",
    "Sampling",
    "SetUp",
    "Shipment",
    "State",
    "Submission",
    "Tag",
    "Trouble",
    "lots_of",
]
