"""Which of the workshop's own tooling serves a line of a chart."""

from dataclasses import dataclass
from functools import cached_property

from shop.catalogue.models import CrimpValues, StopKind
from shop.tooling.models import Arrangement, Crimper, DieSet, StopPart


@dataclass(frozen=True)
class OwnedTooling:
    """What is in the cabinet for one line of a chart, without what is blocked; looked up when it is asked."""

    specification: CrimpValues

    @property
    def needs_stop_part(self) -> bool:
        return self.specification.stop_kind == StopKind.PART

    @cached_property
    def die_sets(self) -> tuple[DieSet, ...]:
        usable = DieSet.objects.filter(blocked_because="")
        return tuple(usable.filter(die_type=self.specification.die_type_id))

    @cached_property
    def stop_parts(self) -> tuple[StopPart, ...]:
        if not self.needs_stop_part:
            return ()
        usable = StopPart.objects.filter(blocked_because="")
        return tuple(usable.filter(stop_type=self.specification.stop_type_id))

    @cached_property
    def arrangements(self) -> tuple[Arrangement, ...]:
        """Of crimpers that may be used."""
        usable = Arrangement.objects.filter(
            die_type=self.specification.die_type_id,
            stop_type=self.specification.stop_type_id,
            crimper__stop_kind=self.specification.stop_kind,
            crimper__blocked_because="",
        )
        return tuple(usable.select_related("crimper", "die_type", "stop_type"))

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
    return OwnedTooling(specification)


def arrangement_for(specification: CrimpValues, crimper: Crimper | None = None) -> Arrangement | None:
    """What goes into that crimper for the line, or into the first that serves; None if none may be used."""
    arrangements = find_tooling(specification).arrangements
    return next((one for one in arrangements if crimper is None or one.crimper == crimper), None)
