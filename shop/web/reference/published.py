"""What the list of published ratings says below its rows: types with one rating, and classes of pressure."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from shop.engineering.duty import CLASSES_BAR, CLASSES_FROM_MEMORY, UPPER_TEMPERATURE_C
from shop.engineering.editions import RatingRow, is_constant_pressure
from shop.engineering.pressures import Pressure, PressureUnit
from shop.standards.models import Basis, HoseRating


@dataclass(frozen=True)
class ConstantPressure:
    """A hose type of one edition with one rating in all the sizes that the table has."""

    standard: str
    edition: str
    rating: Pressure
    sizes: str
    from_memory: bool


def constant_pressure_types() -> Iterator[ConstantPressure]:
    """Those in the table, in its order, in one query. A type with a single size says nothing of others."""
    by_type: dict[str, list[RatingRow]] = defaultdict(list)
    for rating in HoseRating.objects.all():
        if (row := rating.as_row()) is not None:
            by_type[row.standard].append(row)
    for standard, rows in by_type.items():
        if len({row.dash for row in rows}) > 1 and is_constant_pressure(rows, standard):
            yield from _editions(rows)


def _editions(rows: Sequence[RatingRow]) -> Iterator[ConstantPressure]:
    for edition in dict.fromkeys(row.edition for row in rows):
        of_edition = [row for row in rows if row.edition == edition]
        yield ConstantPressure(
            standard=of_edition[0].standard,
            edition=edition,
            rating=of_edition[0].rating,
            sizes=", ".join(f"-{row.dash}" for row in of_edition),
            from_memory=any(row.basis == Basis.MEMORY for row in of_edition),
        )


def more_of_published() -> Mapping[str, Any]:
    """What the list's page shows below its rows."""
    return {
        "constant": list(constant_pressure_types()),
        "classes": [Pressure(bar, PressureUnit.BAR) for bar in CLASSES_BAR],
        "classes_basis": CLASSES_FROM_MEMORY,
        "grades": [(grade, highest) for grade, highest in UPPER_TEMPERATURE_C.items()],
    }
