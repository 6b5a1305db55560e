"""An end of several pieces as it stands on a job card: tooling, crimps and readings, written down at once."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db import transaction

from shop.assemblies.making import arrangement_points, crimp_end, find_arrangement, measure_crimp, set_up
from shop.assemblies.models import Assembly, Crimp, End
from shop.assemblies.occasion import Earlier
from shop.people.models import User
from shop.stock.models import Lot
from shop.tooling.models import Crimper, DieSet, Gauge, StopPart


@dataclass(frozen=True)
class ReadOnCard:
    """The readings of one crimp in mm, those nearer its other end apart."""

    section_mm: Sequence[Decimal]
    other_mm: Sequence[Decimal] = ()


@dataclass(frozen=True)
class EndOnCard:
    """What a job card says of one end. `seen` is what was ticked for each crimp."""

    end: End
    crimper: Crimper
    die_set: DieSet
    stop_part: StopPart | None
    stop_setting: str
    gauge: Gauge
    fitting_lot: Lot
    ferrule_lot: Lot | None
    seen: Sequence[str]
    readings: Mapping[Assembly, ReadOnCard]


def enter_end(*, actor: User, pieces: Sequence[Assembly], card: EndOnCard, earlier: Earlier) -> list[Crimp]:
    """Write down that an end of the pieces was set up, crimped one by one, and measured where it was read.

    The list of parts on the card was ticked throughout: an arrangement is stated as it is. Each step goes
    through its own service, so it raises what `set_up`, `crimp_end` and `measure_crimp` raise, such as
    `RunNotProven` for a crimp after a piece that had to be measured and was not. All or nothing.
    """
    with transaction.atomic():
        arrangement = find_arrangement(assembly=pieces[0], end=card.end, crimper=card.crimper)
        set_up(
            actor=actor,
            assembly=pieces[0],
            end=card.end,
            crimper=card.crimper,
            die_set=card.die_set,
            stop_part=card.stop_part,
            stop_setting=card.stop_setting,
            gauge=card.gauge,
            seen=arrangement_points(arrangement),
            earlier=earlier,
        )
        return [_enter_crimp(actor, piece, card, earlier) for piece in pieces]


def _enter_crimp(actor: User, piece: Assembly, card: EndOnCard, earlier: Earlier) -> Crimp:
    crimp = crimp_end(
        actor=actor,
        assembly=piece,
        end=card.end,
        fitting_lot=card.fitting_lot,
        ferrule_lot=card.ferrule_lot,
        seen=card.seen,
        earlier=earlier,
    )
    read = card.readings.get(piece)
    if read is not None:
        measure_crimp(
            actor=actor,
            crimp=crimp,
            readings_mm=read.section_mm,
            other_section_mm=read.other_mm,
            sure=earlier.sure,
            earlier=earlier,
        )
    return crimp
