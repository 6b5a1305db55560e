"""A seal each day without anybody's doing, while the workshop's server runs."""

import logging
from datetime import timedelta
from threading import Event

from django.db import DatabaseError, connection
from django.utils import timezone

from shop.core.refusals import Refusal
from shop.ledger.actors import PROGRAM
from shop.ledger.models import Chain, LedgerSeal
from shop.ledger.refusals import NothingToSeal
from shop.ledger.services import newest_seal, seal_ledger, unsealed

EVERY = timedelta(days=1)
LOOK_AFTER_S = 15 * 60
OVERDUE_AFTER = timedelta(days=2)

log = logging.getLogger(__name__)


def seal_if_due() -> list[LedgerSeal]:
    """Seal the ledger if its newest seal is a day old or there is none yet, and if there is anything new.

    Raises what `seal_ledger` raises, but for `NothingToSeal`.
    """
    newest = LedgerSeal.objects.order_by("-pk").first()
    if newest is not None and timezone.now() - newest.sealed_at < EVERY:
        return []
    try:
        return seal_ledger(actor=PROGRAM)
    except NothingToSeal:
        return []


def overdue() -> int:
    """How many entries are in no seal although the oldest of them is two days old; seals don't count."""
    count = 0
    for chain in Chain.objects.order_by("site"):
        waiting = unsealed(chain, newest_seal(chain))
        oldest = waiting.order_by("number").first()
        if oldest is not None and timezone.now() - oldest.recorded_at >= OVERDUE_AFTER:
            count += waiting.count()
    return count


def seal_daily(stop: Event) -> None:
    """Look every quarter of an hour whether a seal is due, until it is told to stop.

    What keeps it from sealing is logged, and the page of the seals shows that there is no new one; the
    next look tries again.
    """
    while not stop.is_set():
        try:
            seal_if_due()
        except (Refusal, DatabaseError) as error:
            log.error("The ledger was not sealed. %s", error)
        finally:
            connection.close()
        stop.wait(LOOK_AFTER_S)
