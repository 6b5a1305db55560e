"""Who took a step at the bench, when, and who writes it down; and what that step may rest on.

Mostly a step is recorded by who takes it, as it is taken. What was done without the program, in a power
cut or away from the workshop, is written down from its job card: by anybody who may take the step, in the
name of who took it. Charts, calibrations, policy, authorities and ages are then those of the day on which
it happened. What was found wrong since counts all the same: a tool that was blocked, a chart that was
withdrawn.
"""

import datetime
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property
from typing import TypeVar

from django.db import models
from django.db.models import Max
from django.utils import timezone

from shop.assemblies.models import Assembly
from shop.assemblies.refusals import HappenedTooEarly, LongAgo
from shop.ledger.facts import subject_of
from shop.ledger.models import Entry, Record
from shop.ledger.refusals import HappenedInTheFuture
from shop.ledger.registry import Verb
from shop.ledger.services import write_record
from shop.people.access import require
from shop.people.models import User
from shop.people.permissions import Permission
from shop.policy.models import Policy
from shop.policy.services import get_workshop, policy_on
from shop.stock.models import MovementKind, Piece, PieceMovement
from shop.stock.services import move_piece

R = TypeVar("R", bound=Record)

# What is written down after so long is asked about: common practice, no source.
LONG_AGO = datetime.timedelta(days=14)


@dataclass(frozen=True)
class Earlier:
    """What a job card says of a step: who took it, and when (aware); `sure` are the doubts answered of it."""

    by: User
    at: datetime.datetime
    sure: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Occasion:
    """A step being taken: `actor` writes it down, `by` has done it, `at` that moment."""

    actor: User
    by: User
    at: datetime.datetime
    is_earlier: bool

    @cached_property
    def day(self) -> datetime.date:
        """The day in the workshop's zone."""
        return self.at.astimezone(get_workshop().zone_info).date()

    @cached_property
    def policy(self) -> Policy:
        """The policy that was in force that day."""
        return policy_on(self.day)

    def require(self, permission: Permission) -> None:
        """Raise `NotAllowed` unless both may: who did it, and who says so."""
        require(self.actor, permission)
        require(self.by, permission)

    def require_after(self, assembly: Assembly, rests_on: Mapping[str, Record | None] | None = None) -> None:
        """Raise `HappenedTooEarly` unless it came after all that was done to the assembly before.

        `rests_on` is what else came first, by what happened to it: 'lot 12 came in'. A step that is recorded
        as it is taken comes after everything. A card tells minutes, so seconds don't count.
        """
        if not self.is_earlier:
            return
        done = Entry.objects.filter(subject=subject_of(assembly)).aggregate(last=Max("happened_at"))
        moments = {
            "its line was confirmed": assembly.resolution.happened_at,
            "what was done to it before": done["last"],
            **{what: record.happened_at for what, record in (rests_on or {}).items() if record is not None},
        }
        for what, moment in moments.items():
            if self.at < moment.replace(second=0, microsecond=0):
                raise HappenedTooEarly(
                    assembly=assembly, at=in_words(self.at), what=what, when=in_words(moment)
                )

    def move_piece(self, piece: Piece, kind: MovementKind, change_mm: Decimal) -> PieceMovement:
        """Take length (mm, negative) off a piece. Raises `NotEnoughLeft`."""
        return move_piece(
            actor=self.actor,
            piece=piece,
            kind=kind,
            change_mm=change_mm,
            happened_at=self.at if self.is_earlier else None,
            done_by=self.by,
        )

    def write(
        self,
        *,
        verb: Verb,
        record: R,
        subject: models.Model,
        private: Mapping[str, str] | None = None,
    ) -> R:
        """Write the record with its entry, which tells both times and both people."""
        return write_record(
            actor=self.actor,
            verb=verb,
            record=record,
            subject=subject,
            private=private,
            happened_at=self.at if self.is_earlier else None,
            done_by=self.by,
        )


def occasion(actor: User, earlier: Earlier | None) -> Occasion:
    """Now and by who is there, unless it was done earlier.

    Raises `HappenedInTheFuture`, and doubts what happened `LongAgo`.
    """
    now = timezone.now()
    if earlier is None:
        return Occasion(actor, actor, now, is_earlier=False)
    if earlier.at > now:
        raise HappenedInTheFuture(happened_at=earlier.at)
    doubt = LongAgo(days=(now - earlier.at).days, at=in_words(earlier.at))
    if now - earlier.at > LONG_AGO and doubt.code not in earlier.sure:
        raise doubt
    return Occasion(actor, earlier.by, earlier.at, is_earlier=True)


def in_words(moment: datetime.datetime) -> str:
    """The moment in the workshop's zone, to the minute."""
    return f"{moment.astimezone(get_workshop().zone_info):%Y-%m-%d %H:%M}"
