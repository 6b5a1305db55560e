"""What an assembly is, in words that may stand on its tag and before everybody's eyes."""

from dataclasses import dataclass

from shop.assemblies.models import Assembly, End
from shop.catalogue.models import Fitting
from shop.engineering.lengths import LengthUnit, show_length


@dataclass(frozen=True, slots=True)
class Identity:
    """Hose, both ends and overall length. No customer, no person, no lot."""

    hose: str
    built_to: str  # the standard's type, edition and size; empty if none is named
    end_a: str
    end_b: str
    length: str


def identity_of(assembly: Assembly, unit: LengthUnit) -> Identity:
    """The assembly as it was ordered, its length in the unit where that is exact, else in millimetres."""
    resolution = assembly.resolution
    standard = resolution.hose.standard
    return Identity(
        hose=str(resolution.hose),
        built_to="" if standard is None else str(standard),
        end_a=_end_words(assembly.fitting(End.A)),
        end_b=_end_words(assembly.fitting(End.B)),
        length=show_length(resolution.overall_length, unit),
    )


def _end_words(fitting: Fitting) -> str:
    """'37° flare (ISO 8434-2) -8, straight'."""
    return f"{fitting.connection}, {fitting.form_words}"
