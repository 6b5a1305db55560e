"""Taking down what failed, and what the workshop found out about it."""

import datetime
from collections.abc import Sequence
from dataclasses import dataclass

from django.db import transaction

from shop.assemblies.acting import working_on
from shop.assemblies.models import Assembly, State
from shop.ledger.actors import PROGRAM
from shop.ledger.services import write_record
from shop.people.access import require
from shop.people.models import User
from shop.people.permissions import Permission
from shop.policy.services import today
from shop.tooling.photos import keep_photo
from shop.trace import verbs
from shop.trace.failures.photos import MOST_PHOTOS
from shop.trace.models import FailureFinding, FailureMode, FailureReport, Hurt, OfReporter, Origin, Verdict
from shop.trace.refusals import (
    FailedBeforeMade,
    FailedInTheFuture,
    ModeOfNoFailure,
    NotInService,
    TextTooLong,
    TooManyPhotos,
    WhyMissing,
)

MOST_CHARACTERS = 2000
HAS_BEEN_OUT = (State.SHIPPED, State.RETIRED)


@dataclass(frozen=True)
class WhatFailed:
    """What the reporter says. `photos` are image files as they came from a camera."""

    hurt: Hurt
    mode: FailureMode = FailureMode.UNKNOWN
    failed_on: datetime.date | None = None
    hours_in_service: int | None = None
    seen: str = ""
    contact: str = ""
    photos: Sequence[bytes] = ()


def report_failure(
    *, actor: User | None, assembly: Assembly, told: WhatFailed, code: str = ""
) -> FailureReport:
    """Take down that the assembly failed, as it is told; without an actor, by whoever holds it.

    It changes nothing about the assembly: that is for `judge_report`. `code` is the reference under which
    it is to be kept; what is there already under it comes back as it is. Raises `FailedInTheFuture`,
    `FailedBeforeMade`, `TooManyPhotos`, `TextTooLong` and `NotAPhoto`.
    """
    if actor is not None:
        require(actor, Permission.TAKE_REPORTS)
    _require_possible(assembly, told)
    photos = [keep_photo(photo) for photo in told.photos]
    report = FailureReport(
        assembly=assembly,
        origin=Origin.TAG if actor is None else Origin.STAFF,
        hurt=told.hurt,
        mode=told.mode,
        failed_on=told.failed_on,
        hours_in_service=told.hours_in_service,
        photos=len(photos),
    )
    if code:
        report.code = code
    with transaction.atomic():
        Assembly.objects.select_for_update(no_key=True).get(pk=assembly.pk)
        there = FailureReport.objects.filter(code=report.code).first()
        return there or write_record(
            actor=PROGRAM if actor is None else actor,
            verb=verbs.FAILURE_REPORTED,
            record=report,
            private={
                OfReporter.SEEN: told.seen.strip(),
                OfReporter.CONTACT: told.contact.strip(),
                OfReporter.PHOTOS: "\n".join(photos),
            },
        )


def judge_report(
    *, actor: User, report: FailureReport, verdict: Verdict, mode: FailureMode | str = "", words: str
) -> FailureFinding:
    """Record what was found out about a report; it takes the place of what was found before.

    An assembly of which one newest finding is that it failed is not to be used. Raises `NotInService`,
    `ModeOfNoFailure` and `WhyMissing`.
    """
    require(actor, Permission.INSPECT)
    with working_on(report.assembly):
        if (verdict == Verdict.FAILED) != bool(mode):
            raise ModeOfNoFailure
        if verdict == Verdict.FAILED and report.assembly.state not in HAS_BEEN_OUT:
            raise NotInService(assembly=report.assembly)
        if not words.strip():
            raise WhyMissing
        return write_record(
            actor=actor,
            verb=verbs.FAILURE_JUDGED,
            record=FailureFinding(report=report, verdict=verdict, mode=mode),
            subject=report,
            private={"words": words.strip()},
        )


def _require_possible(assembly: Assembly, told: WhatFailed) -> None:
    if len(told.photos) > MOST_PHOTOS:
        raise TooManyPhotos(count=len(told.photos), most=MOST_PHOTOS)
    length = max(len(told.seen), len(told.contact))
    if length > MOST_CHARACTERS:
        raise TextTooLong(length=length, most=MOST_CHARACTERS)
    if told.failed_on is None:
        return
    if told.failed_on > today():
        raise FailedInTheFuture(day=told.failed_on)
    made = assembly.tags.order_by("number").values_list("made", flat=True).first()
    if made is not None and f"{told.failed_on:%Y-%m}" < made:
        raise FailedBeforeMade(made=made)
