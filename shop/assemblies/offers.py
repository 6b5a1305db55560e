"""What one person may decide about an assembly now, and what not and why: by the same checks as the acts."""

from collections.abc import Iterator
from dataclasses import dataclass

from shop.assemblies.inspection.conceding import hands_on, inspection_to_concede
from shop.assemblies.making.deciding import crimp_to_decide_about
from shop.assemblies.models import Assembly, End
from shop.assemblies.refitting import least_cut_off, require_not_too_short
from shop.assemblies.refusals import NothingToDecide
from shop.assemblies.remedies import REMEDIES, Remedy, Wrong, require_second_person, what_is_wrong
from shop.assemblies.standing import standing_of
from shop.core.refusals import Refusal
from shop.people.access import require
from shop.people.models import User


@dataclass(frozen=True)
class Offer:
    """A remedy, for an end if one has to be chosen, and what stands against it; None if nothing does."""

    remedy: Remedy
    end: End | None
    refusal: Refusal | None


def offers_for(person: User, assembly: Assembly) -> tuple[Offer, ...]:
    """What could help at all, in the order of the table; what is no help against it is left out.

    What the assembly itself stands in the way of is said first, then who may, then who had a hand in it.
    """
    return tuple(
        Offer(remedy, end, refusal)
        for remedy, end in _possible(assembly)
        if not isinstance(refusal := _against(person, assembly, remedy, end), NothingToDecide)
    )


def _possible(assembly: Assembly) -> Iterator[tuple[Remedy, End | None]]:
    either_end = what_is_wrong(standing_of(assembly)) is Wrong.NOT_RIGHT
    for remedy in Remedy:
        if remedy is Remedy.REFIT and either_end:
            yield from ((remedy, end) for end in End)
        else:
            yield remedy, None


def _against(person: User, assembly: Assembly, remedy: Remedy, end: End | None) -> Refusal | None:
    try:
        done_by = _done_by(assembly, remedy, end)
        require(person, REMEDIES[remedy].permission)
        require_second_person(person, remedy, done_by)
    except Refusal as refusal:
        return refusal
    return None


def _done_by(assembly: Assembly, remedy: Remedy, end: End | None) -> dict[int, str]:
    """Whose work it is, by staff number; raises what the assembly itself stands in the way with."""
    if remedy is Remedy.CONCEDE:
        return hands_on(inspection_to_concede(assembly))
    crimp = crimp_to_decide_about(assembly, remedy, end)
    if crimp is None:
        return {}
    if remedy is Remedy.REFIT:
        require_not_too_short(assembly, least_cut_off(assembly, End(crimp.end)))
    return {crimp.actor_number: "crimped this end"}
