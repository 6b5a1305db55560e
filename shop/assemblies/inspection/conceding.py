"""Letting an assembly pass as it is because its customer takes it so: only for what isn't safety (rule 7)."""

from collections.abc import Sequence

from shop.assemblies import verbs
from shop.assemblies.acting import working_on
from shop.assemblies.inspection.findings import codes_of
from shop.assemblies.inspection.points import CONCEDABLE, LENGTH, PUT_RIGHT
from shop.assemblies.models import Assembly, Concession, Inspection
from shop.assemblies.refitting import as_ordered, shortest_mm
from shop.assemblies.refusals import (
    AgreementMissing,
    ConcessionRefused,
    NothingToDecide,
    ReasonMissing,
)
from shop.assemblies.remedies import (
    REMEDIES,
    Remedy,
    has_been_under_pressure,
    require_second_person,
    what_is_wrong,
)
from shop.assemblies.standing import settle, standing_of
from shop.assemblies.steps import next_step
from shop.ledger.services import write_record
from shop.people.access import require
from shop.people.models import User
from shop.policy.services import policy_in_force

SCRAP_IT = "Scrap the assembly and plan a replacement."
INSPECT_IT = "Let somebody else inspect it first."


def concede(*, actor: User, assembly: Assembly, agreed_by: str, paper: str, reason: str) -> Concession:
    """Let what an inspection found wrong pass: the customer has agreed to take it so, in writing.

    `agreed_by` is who agreed there, `paper` the letter, mail or order change in which it stands. Raises
    `AgreementMissing`, `ReasonMissing`, `NothingToDecide`, `ConcessionRefused`, and `NeedsSecondPerson`
    for who crimped or inspected it.
    """
    require(actor, REMEDIES[Remedy.CONCEDE].permission)
    with working_on(assembly):
        if not agreed_by.strip() or not paper.strip():
            raise AgreementMissing
        if not reason.strip():
            raise ReasonMissing
        inspection = inspection_to_concede(assembly)
        independent = require_second_person(actor, Remedy.CONCEDE, hands_on(inspection))
        concession = write_record(
            actor=actor,
            verb=verbs.CONCEDED,
            record=Concession(
                assembly=assembly,
                inspection=inspection,
                concerns=sorted(codes_of(inspection)),
                independently_checked=independent,
            ),
            subject=assembly,
            private={
                "agreed_by": agreed_by.strip(),
                "paper": paper.strip(),
                "reason": reason.strip(),
            },
        )
        settle(assembly)
        return concession


def inspection_to_concede(assembly: Assembly) -> Inspection:
    """The inspection whose findings may pass. Raises `NothingToDecide`, `ConcessionRefused`."""
    row = REMEDIES[Remedy.CONCEDE]
    if what_is_wrong(standing_of(assembly)) not in row.against:
        raise NothingToDecide(assembly=assembly, wanted=row.wanted, next=next_step(assembly).words)
    newest, *earlier = assembly.inspections.select_related("entry").order_by("-entry")
    if has_been_under_pressure(assembly):
        raise ConcessionRefused(
            why="it has been under pressure, so what is off may be damage", instead=SCRAP_IT
        )
    found = codes_of(newest)
    if not found <= CONCEDABLE.keys():
        raise ConcessionRefused(
            why=f"beside {' and '.join(CONCEDABLE.values())} everything has to be right",
            instead="Put right what is wrong and inspect it again, or scrap it and plan a replacement.",
        )
    if LENGTH in found:
        _require_hose_between(assembly, newest)
    if policy_in_force().needs_second_person:
        _require_fair_inspection(newest, earlier)
    return newest


def hands_on(inspection: Inspection) -> dict[int, str]:
    """Who had a hand in the assembly, by staff number, and in what."""
    crimps = inspection.assembly.crimps.select_related("entry")
    return {inspection.actor_number: "inspected this assembly"} | {
        crimp.actor_number: "crimped this assembly" for crimp in crimps
    }


def _require_hose_between(assembly: Assembly, inspection: Inspection) -> None:
    """However short the customer takes it, hose has to be left between the ferrules (rule 3)."""
    shortest = shortest_mm(assembly, policy_in_force())
    if inspection.finished_length < shortest:
        least = as_ordered(shortest, assembly.resolution)
        raise ConcessionRefused(
            why=f"shorter than {least} it has too little hose between the ferrules", instead=SCRAP_IT
        )


def _require_fair_inspection(newest: Inspection, earlier: Sequence[Inspection]) -> None:
    """What else is right must have been seen by somebody who may say so (rule 8)."""
    if not newest.independently_checked:
        raise ConcessionRefused(why="who inspected it had crimped it", instead=INSPECT_IT)
    newest_crimp = newest.assembly.crimps.order_by("-entry").first()
    assert newest_crimp is not None, "what is inspected is crimped"
    for before in earlier:
        is_own = before.actor_number == newest.actor_number and before.pk > newest_crimp.pk
        if is_own and not codes_of(before) <= CONCEDABLE.keys() | PUT_RIGHT:
            raise ConcessionRefused(
                why="who inspected it last had found more wrong before", instead=INSPECT_IT
            )
