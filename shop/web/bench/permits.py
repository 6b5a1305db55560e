"""What somebody has to be allowed who takes a step: who isn't, is told who is before anything is typed."""

from shop.assemblies.steps import Step
from shop.people.permissions import Permission

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
