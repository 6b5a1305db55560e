"""The ratings that count for a line: hose, and fitting and connection at both ends (rule 2)."""

from shop.catalogue.models import Hose
from shop.engineering.rating import PartRole, RatedPart
from shop.orders.models import OrderLine
from shop.standards.models import Rated


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
    """The hose by its maker's figure and by its standard's, if it has both."""
    standard, parts = hose.standard, []
    if hose.rating is not None or standard is None:
        parts.append(_rated_part(PartRole.HOSE, hose, hose.temperature_min_c, hose.temperature_max_c))
    if standard is not None:
        parts.append(
            _rated_part(PartRole.HOSE, standard, standard.temperature_min_c, standard.temperature_max_c)
        )
    return tuple(parts)


def _rated_part(
    role: PartRole, part: Rated, lowest: int | None = None, highest: int | None = None
) -> RatedPart:
    return RatedPart(
        role=role,
        name=str(part),
        rating=part.rating,
        confirmed=part.is_confirmed,
        temperature_min_c=lowest,
        temperature_max_c=highest,
        source=part.source,
    )
