"""Starting the workshop and setting its policy."""

import datetime

from django.conf import settings
from django.db import transaction
from django.db.models import Max
from django.utils import timezone

from shop.engineering.flow import read_velocity_limits
from shop.ledger.actors import PROGRAM
from shop.ledger.services import save_noted, write_record
from shop.people.access import require
from shop.people.models import User
from shop.people.permissions import Permission, Role
from shop.people.services import write_person
from shop.policy import verbs
from shop.policy.models import CUT_RULES, LastingMark, Policy, Workshop
from shop.policy.reading import find_workshop, forget_policies, remembered_policy
from shop.policy.refusals import NoSuchVelocityLimits, NoWorkshopYet, PolicyInThePast, WorkshopStarted

VELOCITIES = settings.BASE_DIR / "fixtures" / "standards" / "velocity_limits.csv"


def get_workshop() -> Workshop:
    """The workshop of this installation; raises `NoWorkshopYet`."""
    workshop = find_workshop()
    if workshop is None:
        raise NoWorkshopYet
    return workshop


def today() -> datetime.date:
    """Today in the workshop's zone."""
    return timezone.now().astimezone(get_workshop().zone_info).date()


def policy_on(day: datetime.date) -> Policy:
    """The policy in force that day: of those begun by then the one set last."""
    return remembered_policy(day, lambda: _read_policy(day))


def _read_policy(day: datetime.date) -> Policy:
    policy = Policy.objects.filter(effective_from__lte=day).order_by("-effective_from", "-number").first()
    if policy is None:
        raise NoWorkshopYet
    return policy


def policy_in_force() -> Policy:
    """The policy in force today."""
    return policy_on(today())


@transaction.atomic
def start_workshop(
    *, workshop: Workshop, owner: User, password: str, policy: Policy | None = None
) -> Workshop:
    """Begin an empty workshop with its first owner and its first policy.

    Raises `WorkshopStarted` if there is one, `ValidationError` for values that can't be.
    """
    if (there := Workshop.objects.first()) is not None:
        raise WorkshopStarted(name=there.name)
    workshop.pk = 1
    save_noted(actor=PROGRAM, verb=verbs.WORKSHOP_STARTED, instance=workshop)
    owner.roles = [Role.OWNER.value]
    write_person(actor=PROGRAM, person=owner, password=password)
    first = policy or Policy(cut_rules=CUT_RULES[0][0], lasting_mark=LastingMark.FERRULE)
    first.number = 1
    first.effective_from = today()
    write_record(actor=owner, verb=verbs.POLICY_SET, record=first, subject=workshop)
    return workshop


@transaction.atomic
def save_workshop(*, actor: User, workshop: Workshop) -> Workshop:
    """Change the workshop's name, units, zone or address for tags."""
    require(actor, Permission.SET_POLICY)
    return save_noted(actor=actor, verb=verbs.WORKSHOP_SAVED, instance=workshop)


@transaction.atomic
def set_policy(*, actor: User, policy: Policy) -> Policy:
    """Put a new version of the policy in force from its day on. Earlier versions stay as they were.

    Raises `PolicyInThePast`, `NoSuchVelocityLimits`.
    """
    require(actor, Permission.SET_POLICY)
    workshop = Workshop.objects.select_for_update(no_key=True).get()
    if policy.effective_from < today():
        raise PolicyInThePast(day=policy.effective_from)
    known = read_velocity_limits(VELOCITIES)
    if policy.velocity_limits and policy.velocity_limits not in known:
        raise NoSuchVelocityLimits(name=policy.velocity_limits, known=", ".join(known))
    policy.number = (Policy.objects.aggregate(last=Max("number"))["last"] or 0) + 1
    written = write_record(actor=actor, verb=verbs.POLICY_SET, record=policy, subject=workshop)
    forget_policies()
    return written
