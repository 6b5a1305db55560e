"""Releasing, shipping, and taking out of service."""

from collections.abc import Collection

from shop.assemblies import verbs
from shop.assemblies.acting import working_on
from shop.assemblies.as_confirmed import confirmed_rating, temperature_words
from shop.assemblies.independence import independently_checked
from shop.assemblies.models import Assembly, Release, Retirement, Shipment, Tag
from shop.assemblies.points import At, Job, require_ticked
from shop.assemblies.refusals import (
    AnotherTag,
    NoLongerFit,
    ReasonMissing,
    TagNotRead,
    TagSaysOtherwise,
)
from shop.assemblies.release.tagging import require_still_sound
from shop.assemblies.standing import settle
from shop.assemblies.steps import Step, require_step
from shop.authority.models import AuthorisedStep
from shop.authority.services import require_authority
from shop.core.refusals import Refusal
from shop.engineering.codes import read_code
from shop.engineering.errors import NotUnderstood
from shop.engineering.pressures import show_rating
from shop.ledger.services import write_record
from shop.people.access import require
from shop.people.models import User
from shop.people.permissions import Permission
from shop.policy.services import policy_in_force


def release(*, actor: User, assembly: Assembly, scanned: str, seen: Collection[str] = ()) -> Release:
    """Bind the tag to the hose by scanning it there (its address, or the code as typed), and release it.

    `seen` are the codes of what was ticked as seen on it, such as the lasting mark that the policy wants.
    Raises `NotTheNextStep`, `NotAuthorised`, `TagNotRead`, `AnotherTag`, `TagSaysOtherwise` if the line was
    resolved again to another rating or other temperatures since, `NotTicked`, and what
    `require_still_sound` refuses.
    """
    require(actor, Permission.RELEASE)
    with working_on(assembly):
        standing = require_step(assembly, Step.RELEASE)
        require_authority(actor, AuthorisedStep.RELEASE, assembly.series)
        _require_own_tag(assembly, scanned)
        require_still_sound(assembly, standing)
        assert standing.tag is not None, "it is tagged"
        _require_as_tagged(assembly, standing.tag)
        policy = policy_in_force()
        ticked = require_ticked(At.RELEASE, Job(assembly, policy), seen)
        done = write_record(
            actor=actor,
            verb=verbs.RELEASED,
            record=Release(
                assembly=assembly,
                tag=standing.tag,
                independently_checked=independently_checked(assembly),
                policy=policy,
                seen=ticked,
            ),
            subject=assembly,
        )
        settle(assembly)
        return done


def ship(*, actor: User, assembly: Assembly) -> Shipment:
    """Record that it left the workshop for its customer.

    The last gate: raises `NotTheNextStep`, and `NoLongerFit` if it would not be released today.
    """
    require(actor, Permission.SHIP)
    with working_on(assembly):
        standing = require_step(assembly, Step.SHIP)
        try:
            require_still_sound(assembly, standing)
        except Refusal as refusal:
            raise NoLongerFit(assembly=assembly, why=refusal.what) from refusal
        done = write_record(
            actor=actor, verb=verbs.SHIPPED, record=Shipment(assembly=assembly), subject=assembly
        )
        settle(assembly)
        return done


def retire(*, actor: User, assembly: Assembly, reason: str) -> Retirement:
    """Take a released or shipped assembly out of service. Raises `NotTheNextStep`, `ReasonMissing`."""
    require(actor, Permission.SHIP)
    with working_on(assembly):
        require_step(assembly, Step.RETIRE)
        if not reason.strip():
            raise ReasonMissing
        done = write_record(
            actor=actor,
            verb=verbs.RETIRED,
            record=Retirement(assembly=assembly),
            subject=assembly,
            private={"reason": reason.strip()},
        )
        settle(assembly)
        return done


def _require_own_tag(assembly: Assembly, scanned: str) -> None:
    try:
        code = read_code(scanned)
    except NotUnderstood as error:
        raise TagNotRead(why=str(error)) from error
    if code.kind != Assembly.KIND_LETTER:
        raise TagNotRead(why="it is the label of something else.")
    if code.text != assembly.code:
        other = Assembly.objects.filter(code=code.text).first()
        raise AnotherTag(assembly=assembly, found=other or "no assembly of this workshop")


def _require_as_tagged(assembly: Assembly, tag: Tag) -> None:
    resolution = assembly.resolution
    rating = show_rating(confirmed_rating(resolution))
    temperatures = temperature_words(resolution.temperature_min_c, resolution.temperature_max_c)
    if (tag.rating_words, tag.temperature_words) != (rating, temperatures):
        raise TagSaysOtherwise(
            tag=f"{tag.rating_words}, {tag.temperature_words}", now=f"{rating}, {temperatures}"
        )
