"""What becomes of an assembly that is held or failed (rules 6, 7, 8 and 11)."""

from decimal import Decimal

from shop.assemblies import verbs
from shop.assemblies.acting import working_on
from shop.assemblies.models import Assembly, Cause, Crimp, Decision, DecisionKind, End
from shop.assemblies.refitting import require_length_allows
from shop.assemblies.refusals import (
    CrimpAgainRefused,
    EndNotNamed,
    NothingToDecide,
    RefitRefused,
)
from shop.assemblies.remedies import (
    FAILED_ENDS,
    REMEDIES,
    Remedy,
    Wrong,
    has_been_under_pressure,
    require_cause,
    require_second_person,
    what_is_wrong,
)
from shop.assemblies.standing import settle, standing_of
from shop.assemblies.steps import next_step
from shop.engineering.numbers import plain
from shop.ledger.services import write_record
from shop.people.access import require
from shop.people.models import User

UNDER_PRESSURE = "it has been under proof pressure, or may have been since it was inspected"


def decide(
    *,
    actor: User,
    assembly: Assembly,
    kind: DecisionKind,
    cause: Cause = Cause.OTHER,
    reason: str = "",
) -> Decision:
    """Treat what is held as failed, crimp again, or scrap. A crimp outside its limits is never accepted.

    Scrapping is open to anyone at the bench, whatever the assembly's state before release. Raises
    `ReasonMissing` for a cause that needs words, `CauseOfAnotherAct`, `NothingToDecide`,
    `CrimpAgainRefused`, and `NeedsSecondPerson` if who crimped the end would also have it crimped again.
    """
    remedy = Remedy(kind.value)
    assert remedy is not Remedy.REFIT, "refit_end takes the length that comes off"
    require(actor, REMEDIES[remedy].permission)
    with working_on(assembly):
        require_cause(kind, cause, reason)
        about = crimp_to_decide_about(assembly, remedy)
        return _decided(actor, Decision(assembly=assembly, kind=kind, about=about, cause=cause), reason)


def refit_end(
    *,
    actor: User,
    assembly: Assembly,
    end: End | None = None,
    cut_off_mm: Decimal,
    cause: Cause = Cause.OTHER,
    reason: str = "",
) -> Decision:
    """Have a failed end cut off, so much of the hose with it, and a new fitting crimped on what is left.

    `end` has to be named after an inspection that was not right; else it is the one that failed. Fitting
    and ferrule that come off are scrap (rule 11). Raises `ReasonMissing`, `CauseOfAnotherAct`,
    `NothingToDecide`, `EndNotNamed`, `RefitRefused`, what `require_length_allows` raises, and
    `NeedsSecondPerson` if who crimped the end would also have it refitted.
    """
    require(actor, REMEDIES[Remedy.REFIT].permission)
    with working_on(assembly):
        require_cause(DecisionKind.REFIT, cause, reason)
        about = crimp_to_decide_about(assembly, Remedy.REFIT, end)
        assert about is not None, "only what is crimped is cut off"
        left = require_length_allows(assembly, End(about.end), cut_off_mm)
        decision = Decision(
            assembly=assembly,
            kind=DecisionKind.REFIT,
            about=about,
            cause=cause,
            cut_off=cut_off_mm,
            length_left=left,
        )
        return _decided(actor, decision, reason)


def crimp_to_decide_about(assembly: Assembly, remedy: Remedy, end: End | None = None) -> Crimp | None:
    """The crimp that the remedy is for; None if it is for the assembly as a whole.

    `end` names it where an inspection was not right. Raises `NothingToDecide`, `CrimpAgainRefused`,
    `RefitRefused`, `EndNotNamed`.
    """
    standing = standing_of(assembly)
    wrong, here = what_is_wrong(standing), standing.end_in_trouble
    about = here.crimp if here is not None else None
    if wrong not in REMEDIES[remedy].against:
        if remedy is Remedy.CRIMP_AGAIN and wrong in FAILED_ENDS:
            assert about is not None, "what failed is crimped"
            raise CrimpAgainRefused(why=_why_not_again(wrong, about))
        raise NothingToDecide(
            assembly=assembly, wanted=REMEDIES[remedy].wanted, next=next_step(assembly).words
        )
    if remedy is Remedy.CRIMP_AGAIN:
        assert about is not None, "what is too large is crimped"
        _require_again_allowed(about)
    if remedy is Remedy.REFIT:
        if has_been_under_pressure(assembly):
            raise RefitRefused(why=UNDER_PRESSURE)
        if wrong is Wrong.NOT_RIGHT:
            if end is None:
                raise EndNotNamed
            return standing.end(end).crimp
        if here is not None and end not in (None, here.end):
            raise RefitRefused(why=f"{here.end.label} is the one that failed")
    return about


def _decided(actor: User, decision: Decision, reason: str) -> Decision:
    about, assembly = decision.about, decision.assembly
    done_by = {} if about is None else {about.actor_number: "crimped this end"}
    decision.independently_checked = require_second_person(actor, Remedy(decision.kind), done_by)
    written = write_record(
        actor=actor,
        verb=verbs.DECIDED,
        record=decision,
        subject=assembly,
        private={"reason": reason.strip()},
    )
    settle(assembly)
    return written


def _why_not_again(wrong: Wrong, crimp: Crimp) -> str:
    if wrong is Wrong.AGAIN:
        return "it was crimped again once already"
    if wrong is Wrong.AS_FAILED:
        return "it did not fail by its readings"
    upper = plain(crimp.specification.upper)
    return f"only one that is too large, above {upper} mm, can be pressed further"


def _require_again_allowed(crimp: Crimp) -> None:
    if has_been_under_pressure(crimp.assembly):
        raise CrimpAgainRefused(why=UNDER_PRESSURE)
    if not crimp.specification.crimp_again_allowed:
        raise CrimpAgainRefused(why=f"{crimp.specification.chart_issue} doesn't allow it")
