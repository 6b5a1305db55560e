"""What the workshop's own crimps say about a stop: the diameter that came of it, press by press.

The chart prescribes the stop and the diameter governs. This only shows a stop in the wrong drawer, a
number misread, or a die that has worn.
"""

from collections import defaultdict
from collections.abc import Collection, Iterable
from dataclasses import dataclass

from django.db.models.functions import Coalesce

from shop.assemblies.models import Measurement
from shop.catalogue.models import CrimpValues, DieType, FittingSeries, Hose
from shop.engineering.errors import OffTheTable, OutOfRange
from shop.engineering.stop_geometry import StopCheck, StopCrimp, StopLine, check_stop, fit_stops
from shop.tooling.models import Crimper

MOST_CRIMPS = (
    500  # the newest of all that are asked for: older ones tell of other wear; common practice, no source
)


@dataclass(frozen=True)
class PressCrimps:
    """Crimps that one press made with dies of one type, the newest first."""

    crimper: Crimper
    die_type: DieType
    crimps: tuple[StopCrimp, ...]


@dataclass(frozen=True)
class StopHint:
    """A line of a chart whose stop leads away from its limits, by the crimps of one press."""

    crimper: Crimper
    crimps: int
    check: StopCheck


def crimps_with(
    die_types: Collection[DieType],
    *,
    crimper: Crimper | None = None,
    hose: Hose | None = None,
    series: FittingSeries | None = None,
) -> list[PressCrimps]:
    """The newest crimps with these dies and a stop part, in a constant number of queries.

    The stop's thickness is as it was measured, or else as its type is said to be; crimps whose stop has
    neither are left out. Of a crimp its first mean counts, or what that was corrected to; a later crimp
    of an end does not, since it may have been on metal that had been pressed already.
    """
    rows = Measurement.objects.filter(
        crimp__attempt=1,
        corrected_by=None,
        crimp__set_up__die_set__die_type__in=die_types,
        crimp__set_up__stop_part__isnull=False,
    )
    for name, wanted in (
        ("crimp__set_up__crimper", crimper),
        ("crimp__specification__hose", hose),
        ("crimp__specification__series", series),
    ):
        rows = rows if wanted is None else rows.filter(**{name: wanted})
    stop = "crimp__set_up__stop_part"
    newest = (
        rows.annotate(stop_thickness=Coalesce(f"{stop}__thickness", f"{stop}__stop_type__thickness"))
        .exclude(stop_thickness=None)
        .order_by("-entry")
        .values_list(
            "crimp_id", "crimp__set_up__crimper", "crimp__set_up__die_set__die_type", "stop_thickness", "mean"
        )[:MOST_CRIMPS]
    )
    # Of several measurements of a crimp the earliest comes last, and stays.
    of_crimp = {crimp: (press, die, StopCrimp(stop, mean)) for crimp, press, die, stop, mean in newest}
    found: dict[tuple[int, int], list[StopCrimp]] = defaultdict(list)
    for press, die, measured in of_crimp.values():
        found[press, die].append(measured)
    presses = Crimper.objects.in_bulk({press for press, _ in found})
    dies = DieType.objects.in_bulk({die for _, die in found})
    return [
        PressCrimps(presses[press], dies[die], tuple(crimps))
        for (press, die), crimps in sorted(found.items())
    ]


def stop_hints(lines: Iterable[CrimpValues]) -> dict[int, list[StopHint]]:
    """For each line, by its place among them, what speaks against its stop; lines without are left out.

    Every hose counts that was crimped with the line's dies: the stop sets how far they close, whatever is
    between them. It is a hint to look, and stops nothing.
    """
    every = list(lines)
    fits = _fits({line.die_type for line in every if line.stop_type is not None})
    hints: dict[int, list[StopHint]] = defaultdict(list)
    for place, line in enumerate(every):
        thickness = None if line.stop_type is None else line.stop_type.thickness
        if thickness is None:
            continue
        for of_press, fit in fits.get(line.die_type_id, ()):
            try:
                check = check_stop(fit, thickness, line.lower, line.upper)
            except OffTheTable:  # no crimp with a stop like that yet
                continue
            if not check.agrees:
                hints[place].append(StopHint(of_press.crimper, len(of_press.crimps), check))
    return dict(hints)


def _fits(die_types: Collection[DieType]) -> dict[int, list[tuple[PressCrimps, StopLine]]]:
    """A line for each press that has made enough crimps with stops of different thickness."""
    fits: dict[int, list[tuple[PressCrimps, StopLine]]] = defaultdict(list)
    for of_press in crimps_with(die_types):
        try:
            fits[of_press.die_type.pk].append((of_press, fit_stops(of_press.crimps, of_one_hose=False)))
        except OutOfRange:  # too few, or all with one stop
            continue
    return fits
