"""What people do to assemblies."""

from shop.assemblies.models import (
    Concession,
    Coverage,
    Crimp,
    CustomerAnswer,
    Cut,
    Decision,
    Inspection,
    LotCorrection,
    Measurement,
    ProofTest,
    Recall,
    RecallAddition,
    RecallClosing,
    RecallFinding,
    Release,
    Retirement,
    SetUp,
    Shipment,
    Tag,
)
from shop.ledger.registry import register_verb

RUN_PLANNED = register_verb("assemblies.run_planned", "planned a run")
RUN_PULLED = register_verb("assemblies.run_pulled", "pulled a run before its turn")
RUN_PUT_BACK = register_verb("assemblies.run_put_back", "put a run back into its turn")
ASSEMBLY_PLANNED = register_verb("assemblies.planned", "planned an assembly")
ASSEMBLY_MOVED = register_verb("assemblies.moved", "moved an assembly to another run")
RUN_RESOLVED_AGAIN = register_verb("assemblies.run_resolved_again", "put a run on a newer resolution")
CUT = register_verb("assemblies.cut", "cut the hose from a piece", record=Cut)
SET_UP = register_verb("assemblies.set_up", "set up a crimper", record=SetUp)
CRIMPED = register_verb("assemblies.crimped", "crimped an end", record=Crimp)
LOTS_CORRECTED = register_verb(
    "assemblies.lots_corrected", "corrected which lots a crimp was made of", record=LotCorrection
)
MEASURED = register_verb("assemblies.measured", "measured a crimp", record=Measurement)
COVERED = register_verb(
    "assemblies.covered", "covered a crimp by measured pieces before and after it", record=Coverage
)
QUESTIONED = register_verb(
    "assemblies.questioned", "put a crimp in question by a measured piece of its run", record=Coverage
)
DECIDED = register_verb("assemblies.decided", "decided about a held or failed assembly", record=Decision)
CONCEDED = register_verb("assemblies.conceded", "passed an assembly under a concession", record=Concession)
INSPECTED = register_verb("assemblies.inspected", "inspected an assembly", record=Inspection)
TESTED = register_verb("assemblies.tested", "proof tested an assembly", record=ProofTest)
TAGGED = register_verb("assemblies.tagged", "made a tag", record=Tag)
RELEASED = register_verb("assemblies.released", "released an assembly", record=Release)
SHIPPED = register_verb("assemblies.shipped", "shipped an assembly", record=Shipment)
RETIRED = register_verb("assemblies.retired", "took an assembly out of service", record=Retirement)
RECALLED = register_verb("assemblies.recalled", "opened a recall", record=Recall)
RECALLED_TOO = register_verb(
    "assemblies.recalled_too", "took more assemblies into a recall", record=RecallAddition
)
RECALL_FOLLOWED = register_verb(
    "assemblies.recall_followed", "found out about a member of a recall", record=RecallFinding
)
RECALL_ANSWERED = register_verb(
    "assemblies.recall_answered", "noted a customer's answer to a recall", record=CustomerAnswer
)
RECALL_CLOSED = register_verb("assemblies.recall_closed", "closed a recall", record=RecallClosing)
