"""The tag and the permanent mark (rules 2 and 13)."""

from shop.assemblies import verbs
from shop.assemblies.acting import working_on
from shop.assemblies.as_confirmed import (
    confirmed_rating,
    require_chart_in_force,
    require_crimps_as_confirmed,
    require_parts_stand,
    resolved_today,
    temperature_words,
)
from shop.assemblies.models import Assembly, End, State, Tag
from shop.assemblies.recalls import require_not_recalled
from shop.assemblies.refusals import NoTagYet
from shop.assemblies.standing import Standing, settle, standing_of
from shop.assemblies.steps import Step, next_step
from shop.authority.models import AuthorisedStep
from shop.authority.services import require_authority
from shop.engineering.dates import month_made
from shop.engineering.pressures import show_rating
from shop.ledger.services import write_record
from shop.people.access import require
from shop.people.models import User
from shop.people.permissions import Permission
from shop.policy.models import Workshop
from shop.policy.services import get_workshop

DEMO_ADDRESS = "HTTPS://DEMO.INVALID"
TAGGED_BEFORE = (State.TAGGED, State.RELEASED, State.SHIPPED)


def make_tag(*, actor: User, assembly: Assembly) -> Tag:
    """Record what the tag says; called again, a reprint with the next number.

    Raises `NoTagYet` before the inspection has passed, and what stands against the assembly by what is
    known today: `NotAuthorised`, `ChartMovedOn`, `CrimpedToAnotherChart`, what `require_parts_stand` refuses.
    """
    require(actor, Permission.RELEASE)
    with working_on(assembly):
        standing = standing_of(assembly)
        now = next_step(assembly, standing)
        if now.step is not Step.TAG and assembly.state not in TAGGED_BEFORE:
            raise NoTagYet(assembly=assembly, state=assembly.get_state_display(), next=now.words)
        require_authority(actor, AuthorisedStep.RELEASE, assembly.series)
        require_still_sound(assembly, standing)
        workshop, resolution = get_workshop(), assembly.resolution
        rating, made = show_rating(confirmed_rating(resolution)), month_made_of(assembly, workshop)
        tag = write_record(
            actor=actor,
            verb=verbs.TAGGED,
            record=Tag(
                assembly=assembly,
                number=assembly.tags.count() + 1,
                address=tag_address(assembly, workshop),
                is_demo=not workshop.tags_are_real,
                rating_value=resolution.rating_value,
                rating_unit=resolution.rating_unit,
                rating_words=rating,
                temperature_words=temperature_words(
                    resolution.temperature_min_c, resolution.temperature_max_c
                ),
                made=made,
                mark=lasting_mark(assembly, workshop, rating, made),
            ),
            subject=assembly,
        )
        settle(assembly)
        return tag


def lasting_mark(assembly: Assembly, workshop: Workshop, rating: str, made: str) -> str:
    """What is marked on it to last (rule 13): who made it, its number, its rating, year and month.

    DGUV 113-020 Annex 1 Table 1 wants all but the number, which leads to the record when the tag is gone.
    """
    return f"{workshop.name} {assembly.serial} {rating} {made}"


def tag_address(assembly: Assembly, workshop: Workshop) -> str:
    """What the QR code says, in upper case, which makes the symbol smaller."""
    base = workshop.base_address.rstrip("/").upper() if workshop.tags_are_real else DEMO_ADDRESS
    return f"{base}/T/{assembly.code}"


def month_made_of(assembly: Assembly, workshop: Workshop) -> str:
    """Year and month of the last crimp, in the workshop's zone: that is when it was made."""
    last = assembly.crimps.select_related("entry").order_by("-entry").first()
    assert last is not None, "what is tagged is crimped"
    return month_made(last.happened_at.astimezone(workshop.zone_info).date())


def require_still_sound(assembly: Assembly, standing: Standing) -> None:
    """Raise unless charts, crimps and parts are today what it was confirmed as, and nothing recalls it."""
    require_not_recalled(assembly)
    now = resolved_today(assembly)
    require_chart_in_force(assembly, now, *End)
    require_crimps_as_confirmed(assembly, standing)
    require_parts_stand(assembly, now)
