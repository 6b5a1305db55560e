"""What somebody has to be allowed who takes a step: who isn't, is told who is before anything is typed."""

from shop.assemblies.models import Assembly, End
from shop.assemblies.steps import Step, newest_set_up
from shop.authority.models import AuthorisedStep
from shop.authority.refusals import NotAuthorised
from shop.authority.services import require_authority
from shop.people.models import User
from shop.people.permissions import Permission
from shop.tooling.finding import find_tooling
from shop.tooling.models import Crimper

PERMITS = {
    Step.CUT: Permission.MAKE,
    Step.SET_UP: Permission.MAKE,
    Step.CRIMP: Permission.MAKE,
    Step.MEASURE: Permission.MAKE,
    Step.DECIDE: Permission.MAKE,
    Step.INSPECT: Permission.INSPECT,
    Step.TEST: Permission.MAKE,
    Step.TAG: Permission.RELEASE,
    Step.RELEASE: Permission.RELEASE,
}

AUTHORISED = {
    Step.SET_UP: AuthorisedStep.SET_UP,
    Step.CRIMP: AuthorisedStep.CRIMP,
    Step.INSPECT: AuthorisedStep.INSPECT,
    Step.TEST: AuthorisedStep.TEST,
    Step.TAG: AuthorisedStep.RELEASE,
    Step.RELEASE: AuthorisedStep.RELEASE,
}


def why_not_authorised(person: User, assembly: Assembly, step: Step, end: End | None) -> NotAuthorised | None:
    """Why the person may not take the step today, before anything is typed; None if he or she may.

    To set up it is enough to be authorised on one of the crimpers that serve.
    """
    if step not in AUTHORISED:
        return None
    series = assembly.series if end is None else [assembly.specification(end).series]
    refused: list[NotAuthorised] = []
    for crimper in _crimpers(assembly, step, end):
        try:
            require_authority(person, AUTHORISED[step], series, crimper)
        except NotAuthorised as refusal:
            refused.append(refusal)
        else:
            return None
    return refused[0] if refused else None


def _crimpers(assembly: Assembly, step: Step, end: End | None) -> list[Crimper | None]:
    """On which crimpers the step may be taken: none is named where none is used."""
    if end is None:
        return [None]
    if step is Step.SET_UP:
        return [found.crimper for found in find_tooling(assembly.specification(end)).arrangements]
    set_up = newest_set_up(assembly, end)
    return [] if set_up is None else [set_up.crimper]
