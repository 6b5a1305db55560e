"""One physical hose assembly, and the records that its making leaves."""

from shop.assemblies.models.assembly import Assembly, End, Run, State, Trouble
from shop.assemblies.models.making import Crimp, Cut, Decision, DecisionKind, Measurement, SetUp
from shop.assemblies.models.release import Inspection, Release, Retirement, Shipment, Tag
from shop.assemblies.models.submission import Submission

__all__ = [
    "Assembly",
    "Crimp",
    "Cut",
    "Decision",
    "DecisionKind",
    "End",
    "Inspection",
    "Measurement",
    "Release",
    "Retirement",
    "Run",
    "SetUp",
    "Shipment",
    "State",
    "Submission",
    "Tag",
    "Trouble",
]
