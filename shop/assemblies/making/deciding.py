"""What becomes of an assembly that is held or failed (rules 6, 7 and 8)."""

from shop.assemblies import verbs
from shop.assemblies.acting import working_on
from shop.assemblies.models import Assembly, Crimp, Decision, DecisionKind, Measurement, Trouble
from shop.assemblies.models.assembly import ON_THE_ROAD
from shop.assemblies.refusals import CrimpAgainRefused, NothingToDecide, ReasonMissing
from shop.assemblies.standing import EndStage, EndStanding, settle, standing_of
from shop.assemblies.steps import next_step
from shop.engineering.crimp import Judged
from shop.engineering.numbers import plain
from shop.ledger.services import write_record
from shop.people.access import require
from shop.people.models import User
from shop.people.permissions import Permission
from shop.people.refusals import NeedsSecondPerson
from shop.policy.services import policy_in_force

WHO_MAY = {
    DecisionKind.TREAT_AS_FAILED: Permission.MAKE,
    DecisionKind.SCRAP: Permission.MAKE,
    DecisionKind.CRIMP_AGAIN: Permission.DECIDE,
}


def decide(*, actor: User, assembly: Assembly, kind: DecisionKind, reason: str) -> Decision:
    """Treat what is held as failed, crimp again, or scrap. A crimp outside its limits is never accepted.

    Scrapping is open to anyone at the bench, whatever the assembly's state before release. Raises
    `ReasonMissing`, `NothingToDecide`, `CrimpAgainRefused`, and `NeedsSecondPerson` if who crimped the
    end would also have it crimped again.
    """
    require(actor, WHO_MAY[kind])
    with working_on(assembly):
        if not reason.strip():
            raise ReasonMissing
        here = standing_of(assembly).end_in_trouble
        about = here.crimp if here is not None else None
        _require_open(assembly, kind, about)
        independent = about is None or about.actor_number != actor.number
        if kind == DecisionKind.CRIMP_AGAIN:
            assert here is not None, "there is a failed crimp"
            why = why_not_again(here)
            if why is not None:
                raise CrimpAgainRefused(why=why)
            if not independent and policy_in_force().needs_second_person:
                raise NeedsSecondPerson(
                    name=actor.name, did="crimped this end", act="decide to crimp it again"
                )
        decision = write_record(
            actor=actor,
            verb=verbs.DECIDED,
            record=Decision(assembly=assembly, kind=kind, about=about, independently_checked=independent),
            subject=assembly,
            private={"reason": reason.strip()},
        )
        settle(assembly)
        return decision


def can_crimp_again(assembly: Assembly) -> bool:
    """Whether the failed end of the assembly may be crimped again at all."""
    here = standing_of(assembly).end_in_trouble
    return here is not None and why_not_again(here) is None


def why_not_again(here: EndStanding) -> str | None:
    """What stands against crimping a failed end again, in words; None if nothing does."""
    if here.stage is not EndStage.FAILED or here.crimp is None or here.measurement is None:
        return "it did not fail by its readings"
    if here.crimp.attempt > 1:
        return "it was crimped again once already"
    if has_been_under_pressure(here.crimp.assembly):
        return "it has been under proof pressure, or may have been since it was inspected"
    if not here.crimp.specification.crimp_again_allowed:
        return f"{here.crimp.specification.chart_issue} doesn't allow it"
    return None if _is_too_large(here.crimp, here.measurement) else _not_too_large(here.crimp)


def has_been_under_pressure(assembly: Assembly) -> bool:
    """Whether it was pumped up, or may have been: a test that proves nothing leaves no record."""
    return assembly.proof_tests.exists() or (
        bool(assembly.resolution.proof_test) and assembly.inspections.filter(passed=True).exists()
    )


def _require_open(assembly: Assembly, kind: DecisionKind, about: Crimp | None) -> None:
    wanted = {
        DecisionKind.SCRAP: ("on the bench any more", assembly.state in ON_THE_ROAD),
        DecisionKind.TREAT_AS_FAILED: (
            "held by its readings",
            assembly.trouble == Trouble.HELD and about is not None,
        ),
        DecisionKind.CRIMP_AGAIN: (
            "failed by its readings",
            assembly.trouble == Trouble.FAILED and about is not None,
        ),
    }
    words, is_open = wanted[kind]
    if not is_open:
        raise NothingToDecide(assembly=assembly, wanted=words, next=next_step(assembly).words)


def _is_too_large(crimp: Crimp, newest: Measurement) -> bool:
    """Whether what is judged is above the upper limit, and nothing of it below the lower one."""
    limits = crimp.specification.limits
    if limits.judged is Judged.MEAN:
        too_large: bool = newest.mean > limits.upper_mm
        return too_large
    every = list(crimp.measurements.all())
    corrected = {measurement.corrects_id for measurement in every}
    readings = [
        reading
        for measurement in every
        if measurement.pk not in corrected
        for reading in (*measurement.readings_mm, *measurement.other_section_mm)
    ]
    return max(readings) > limits.upper_mm and min(readings) >= limits.lower_mm


def _not_too_large(crimp: Crimp) -> str:
    upper = plain(crimp.specification.upper)
    return f"only one that is too large, above {upper} mm, can be pressed further"
