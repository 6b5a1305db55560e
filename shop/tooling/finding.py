"""Which of the workshop's own tooling serves a line of a chart."""

from dataclasses import dataclass

from shop.catalogue.models import CrimpValues, StopKind
from shop.tooling.models import Arrangement, Crimper, DieSet, StopPart


@dataclass(frozen=True)
class OwnedTooling:
    """What is in the cabinet for one line of a chart, without what is blocked."""

    die_sets: tuple[DieSet, ...]
    stop_parts: tuple[StopPart, ...]
    arrangements: tuple[Arrangement, ...]
    needs_stop_part: bool

    @property
    def lacking(self) -> tuple[str, ...]:
        """What is missing, in words; empty if the crimp can be set up."""
        wanted = [
            ("a die set", self.die_sets),
            ("a stop part", self.stop_parts or not self.needs_stop_part),
            ("a crimper with an arrangement for it", self.arrangements),
        ]
        return tuple(words for words, there in wanted if not there)


def find_tooling(specification: CrimpValues) -> OwnedTooling:
    """The usable die sets, stop parts and crimpers (by their arrangements) for that line."""
    needs_stop_part = specification.stop_kind == StopKind.PART
    stop_parts = StopPart.objects.filter(stop_type=specification.stop_type, blocked_because="")
    return OwnedTooling(
        die_sets=tuple(DieSet.objects.filter(die_type=specification.die_type_id, blocked_because="")),
        stop_parts=tuple(stop_parts) if needs_stop_part else (),
        arrangements=tuple(
            Arrangement.objects.filter(
                die_type=specification.die_type_id,
                stop_type=specification.stop_type_id,
                crimper__stop_kind=specification.stop_kind,
                crimper__blocked_because="",
            ).select_related("crimper", "die_type", "stop_type")
        ),
        needs_stop_part=needs_stop_part,
    )


def arrangement_for(specification: CrimpValues, crimper: Crimper | None = None) -> Arrangement | None:
    """What goes into that crimper for the line, or into the first that serves; None if none may be used."""
    arrangements = find_tooling(specification).arrangements
    return next((one for one in arrangements if crimper is None or one.crimper == crimper), None)
