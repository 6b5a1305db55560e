"""The ratings that count for a line: hose, and fitting and connection at both ends (rule 2)."""

from shop.catalogue.models import Governs, Hose
from shop.engineering.pressures import Pressure, lowest, show_rating
from shop.engineering.rating import PartRole, RatedPart
from shop.orders.models import OrderLine
from shop.policy.services import get_workshop
from shop.standards.models import HoseRating, Rated


def rated_parts(line: OrderLine) -> tuple[RatedPart, ...]:
    """Every part with its rating; a hose counts by its maker's figure and by its standard's."""
    parts = list(rated_hose(line.hose))
    for fitting, role, connection_role in (
        (line.fitting_a, PartRole.FITTING_A, PartRole.CONNECTION_A),
        (line.fitting_b, PartRole.FITTING_B, PartRole.CONNECTION_B),
    ):
        parts.append(_rated_part(role, fitting))
        parts.append(_rated_part(connection_role, fitting.connection))
    return tuple(parts)


def rated_hose(hose: Hose) -> tuple[RatedPart, ...]:
    """The hose by its maker's figure and by its standard's, if it has both and nobody chose the maker's."""
    return tuple(
        _rated_part(
            PartRole.HOSE,
            document,
            document.temperature_min_c,
            document.upper_temperature_c(None)
            if isinstance(document, HoseRating)
            else document.temperature_max_c,
        )
        for document in rating_documents(hose)
    )


def rating_documents(hose: Hose) -> tuple[Hose | HoseRating, ...]:
    """Whose ratings of the hose count: the maker's own, the standard's, or both."""
    standard = hose.standard
    if standard is None:
        return (hose,)
    if hose.rating is None:
        return (standard,)
    choice = hose.rating_choice
    return (hose,) if choice is not None and choice.governs == Governs.MAKER else (hose, standard)


def hose_reasons(hose: Hose) -> tuple[str, ...]:
    """How the maker's rating and the published one differ, which counts, and who decided that."""
    own, standard = hose.rating, hose.standard
    published = None if standard is None else standard.rating
    if own is None or published is None or own.exact_pascals == published.exact_pascals:
        return ()
    choice = hose.rating_choice
    decided = ""
    if choice is not None:
        day = choice.recorded_at.astimezone(get_workshop().zone_info)
        decided = f": decided by {choice.actor_number} on {day:%Y-%m-%d}"
    as_published = f"{show_rating(published)} ({standard})"
    if choice is not None and choice.governs == Governs.MAKER:
        return (f"The maker's own {show_rating(own)} governs over the published {as_published}{decided}.",)
    both = f"The maker prints {show_rating(own)} for the hose; published is {as_published}."
    return (f"{both} The lower governs{decided}.",)


def rated_vacuum(hose: Hose) -> Pressure | None:
    """The vacuum that the hose stands by maker and standard, the shallower of two; None: not for suction.

    It stands in the same document as the rating, and is confirmed with it.
    """
    figures = [part.vacuum for part in (hose, hose.standard) if part is not None and part.vacuum is not None]
    return lowest(figures) if figures else None


def _rated_part(
    role: PartRole, part: Rated, lowest_c: int | None = None, highest_c: int | None = None
) -> RatedPart:
    return RatedPart(
        role=role,
        name=str(part),
        rating=part.rating,
        confirmed=part.is_confirmed,
        temperature_min_c=lowest_c,
        temperature_max_c=highest_c,
        source=part.source,
    )
