"""Whether a batch of hose can be of the edition that its hose is built to, by the year it was made."""

from shop.catalogue.models import Hose
from shop.engineering.dates import Made
from shop.engineering.editions import RatingRow, rate_by_edition
from shop.engineering.errors import OffTheTable
from shop.engineering.pressures import exceeds
from shop.standards.models import HoseRating
from shop.stock.refusals import MayBeOlderEdition, OutsideEdition


def require_its_edition(hose: Hose, made: Made | None, sure: frozenset[str]) -> None:
    """Raise `OutsideEdition` for hose made when another edition of its type held.

    Without a date, raise `MayBeOlderEdition` if another edition rates its size lower, unless somebody is
    sure: of hose that may be of several editions the lowest rating governs. Hose that is built to no
    published type, or to an edition that names no years, goes by its maker's document.
    """
    standard = hose.standard
    if standard is None:
        return
    if made is not None and not standard.covers(made.year):
        raise OutsideEdition(
            hose=hose, standard=standard, year=made.year, held=_what_held(standard, made.year)
        )
    if made is None and (lower := _what_is_lower(standard)):
        doubt = MayBeOlderEdition(hose=hose, standard=standard, lower=lower)
        if doubt.code not in sure:
            raise doubt


def _what_held(standard: HoseRating, year: int) -> str:
    """What hose of the type and size was rated in that year, or that its type was in no edition then."""
    try:
        held = rate_by_edition(_rows(standard), standard.standard, standard.dash, year)
    except OffTheTable as error:
        return str(error)
    return f"In {year} held {held.reasons[0]}"


def _what_is_lower(standard: HoseRating) -> str:
    """The edition that rates the type and size lowest, if it rates them lower than this one."""
    own = standard.as_row()
    if own is None:
        return ""
    lowest = rate_by_edition(_rows(standard), standard.standard, standard.dash, None)
    return f"Rated lower is {lowest.reasons[0]}" if exceeds(own.rating, lowest.rating) else ""


def _rows(standard: HoseRating) -> list[RatingRow]:
    of_type = HoseRating.objects.filter(standard=standard.standard)
    return [row for rating in of_type if (row := rating.as_row()) is not None]
