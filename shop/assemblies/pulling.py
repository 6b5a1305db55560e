"""A run is pulled before its turn by hand, and put back."""

from django.db import transaction
from django.utils import timezone

from shop.assemblies import verbs
from shop.assemblies.models import Assembly, Run
from shop.assemblies.refusals import NothingToPull
from shop.ledger.services import save_noted
from shop.people.access import require
from shop.people.models import User
from shop.people.permissions import Permission


@transaction.atomic
def pull_run(*, actor: User, run: Run) -> Run:
    """Put the run before all others but those that were pulled earlier.

    One that is pulled already keeps its place. Raises `NothingToPull` if nothing of it is left to make.
    """
    require(actor, Permission.MAKE)
    run = Run.objects.select_for_update(no_key=True).get(pk=run.pk)
    if not Assembly.objects.on_the_bench().filter(run=run).exists():
        raise NothingToPull(run=run)
    if run.pulled_at is not None:
        return run
    run.pulled_at, run.pulled_by = timezone.now(), actor
    return save_noted(actor=actor, verb=verbs.RUN_PULLED, instance=run)


@transaction.atomic
def put_run_back(*, actor: User, run: Run) -> Run:
    """Let the run wait for its turn again. Whoever may make may put back what somebody else pulled."""
    require(actor, Permission.MAKE)
    run = Run.objects.select_for_update(no_key=True).get(pk=run.pk)
    run.pulled_at, run.pulled_by = None, None
    return save_noted(actor=actor, verb=verbs.RUN_PUT_BACK, instance=run)
