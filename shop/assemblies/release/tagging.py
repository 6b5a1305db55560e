"""The tag and the permanent mark (rules 2 and 13)."""

from decimal import Decimal

from shop.assemblies import verbs
from shop.assemblies.acting import working_on
from shop.assemblies.models import Assembly, State, Tag
from shop.assemblies.refusals import NoTagYet, RatingDoubtful, RatingLower
from shop.assemblies.standing import settle
from shop.assemblies.steps import Step, next_step
from shop.engineering.dates import month_made
from shop.engineering.pressures import Pressure, PressureUnit, exceeds, show_rating
from shop.ledger.services import write_record
from shop.orders.models import Resolution
from shop.orders.refusals import PartNotRated, RatingNotConfirmed
from shop.orders.resolution import resolve_line
from shop.people.access import require
from shop.people.models import User
from shop.people.permissions import Permission
from shop.policy.models import Workshop
from shop.policy.services import get_workshop, today

DEMO_ADDRESS = "HTTPS://DEMO.INVALID"
TAGGED_BEFORE = (State.TAGGED, State.RELEASED, State.SHIPPED)


def make_tag(*, actor: User, assembly: Assembly) -> Tag:
    """Record what the tag says; called again, a reprint with the next number.

    Raises `NoTagYet` before the inspection has passed, `RatingDoubtful` if a part's rating is not
    confirmed (any more), `RatingLower` if the parts come to less than was confirmed.
    """
    require(actor, Permission.RELEASE)
    with working_on(assembly):
        now = next_step(assembly)
        if now.step is not Step.TAG and assembly.state not in TAGGED_BEFORE:
            raise NoTagYet(assembly=assembly, state=assembly.get_state_display(), next=now.words)
        require_rating_stands(assembly)
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
                temperature_words=f"{resolution.temperature_min_c} to {resolution.temperature_max_c} °C",
                made=made,
                mark=f"{workshop.name} {assembly.serial} {rating} {made}",
            ),
            subject=assembly,
        )
        settle(assembly)
        return tag


def tag_address(assembly: Assembly, workshop: Workshop) -> str:
    """What the QR code says, in upper case, which makes the symbol smaller."""
    base = workshop.base_address.rstrip("/").upper() if workshop.tags_are_real else DEMO_ADDRESS
    return f"{base}/T/{assembly.code}"


def month_made_of(assembly: Assembly, workshop: Workshop) -> str:
    """Year and month of the last crimp, in the workshop's zone: that is when it was made."""
    last = assembly.crimps.select_related("entry").order_by("-entry").first()
    assert last is not None, "what is tagged is crimped"
    return month_made(last.happened_at.astimezone(workshop.zone_info).date())


def require_rating_stands(assembly: Assembly) -> None:
    """Raise unless every part's rating is confirmed today, and not lower than when it was resolved."""
    resolution = assembly.resolution
    proposal = resolve_line(resolution.line, today())
    for point in proposal.open_points:
        if isinstance(point, PartNotRated | RatingNotConfirmed):
            raise RatingDoubtful(why=point.what)
    confirmed, now = confirmed_rating(resolution), proposal.rating.pressure
    if now is not None and exceeds(confirmed, now):
        raise RatingLower(assembly=assembly, confirmed=show_rating(confirmed), now=show_rating(now))


def confirmed_rating(resolution: Resolution) -> Pressure:
    """What the assembly was confirmed to bear, in the unit in which the governing part prints it."""
    return Pressure(Decimal(resolution.rating_value), PressureUnit(resolution.rating_unit))
