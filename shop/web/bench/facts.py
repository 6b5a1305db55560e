"""The figures that stand above a step at the bench: what the hands need to know, and no more."""

from collections.abc import Iterator
from dataclasses import dataclass

from shop.assemblies.as_confirmed import confirmed_rating
from shop.assemblies.inspection import finished_length_limits
from shop.assemblies.models import Assembly, End
from shop.assemblies.refusals import NoLengthTolerance
from shop.assemblies.steps import Step
from shop.assemblies.testing import proof_limits
from shop.catalogue.models import Skive
from shop.engineering.cut_length import Datum
from shop.engineering.pressures import show_rating
from shop.engineering.tolerance import LengthLimits
from shop.orders.tolerance import cut_limits
from shop.policy.services import policy_in_force
from shop.standards.figures import basis_words
from shop.web.templatetags.quantities import diameter, length


@dataclass(frozen=True)
class Fact:
    """One figure: its name, the value with its unit, and a word beside it."""

    label: str
    value: str
    note: str = ""


def facts_for(assembly: Assembly, step: Step, end: End | None) -> list[Fact]:
    """What has to be known for a step that begins with scanning."""
    if step == Step.CUT:
        return list(_to_cut(assembly))
    if step == Step.INSPECT:
        return list(_to_inspect(assembly))
    if step == Step.TEST:
        return list(_to_test(assembly))
    if end is None:
        return []
    return list(_to_set_up(assembly, end) if step == Step.SET_UP else _to_crimp(assembly, end))


def _to_cut(assembly: Assembly) -> Iterator[Fact]:
    resolution = assembly.resolution
    limits = cut_limits(resolution.cut_length, resolution.hose.dash, policy_in_force())
    yield Fact("Cut to", length(resolution.cut_length), "" if limits is None else _allowed_cut(limits))
    yield Fact("Hose", str(resolution.hose))
    yield Fact("Overall", length(resolution.overall_length), resolution.typed_words)


def _allowed_cut(limits: LengthLimits) -> str:
    between = f"{length(limits.lower_mm)} to {length(limits.upper_mm)}"
    return f"{between} ({limits.row.rule}, {basis_words(limits.row)})"


def _to_set_up(assembly: Assembly, end: End) -> Iterator[Fact]:
    line = assembly.specification(end)
    yield Fact("Die", str(line.die_type))
    yield Fact("Stop", line.stop_words)
    yield Fact("Crimp diameter", diameter(line.target))
    if line.ferrule is not None:
        yield Fact("Ferrule", str(line.ferrule))
    yield Fact("Chart", str(line.chart_issue))


def _to_crimp(assembly: Assembly, end: End) -> Iterator[Fact]:
    line, fitting = assembly.specification(end), assembly.fitting(end)
    yield Fact("Fitting", str(fitting), str(fitting.connection))
    yield Fact("Ferrule", "part of the fitting" if line.ferrule is None else str(line.ferrule))
    yield Fact("Insertion depth", length(line.insertion_depth or fitting.insertion_depth), "mark the hose")
    if line.skive != Skive.NONE:
        yield Fact("Skive", length(line.skive_length), line.get_skive_display())
    yield Fact("Die", str(line.die_type))
    yield Fact("Stop", line.stop_words)
    if end == End.B:
        on_the_hose = (("Sleeve", assembly.resolution.sleeve), ("Guard", assembly.resolution.guard))
        yield from (Fact(name, what, "on the hose before you crimp") for name, what in on_the_hose if what)


def _to_test(assembly: Assembly) -> Iterator[Fact]:
    resolution, policy = assembly.resolution, policy_in_force()
    limits = proof_limits(resolution, policy)
    yield Fact("Proof pressure", str(limits.required), "reach it")
    yield Fact("Highest allowed", str(limits.highest), "never above it")
    yield Fact("Hold it for", f"{limits.hold_s} s", "without a leak or any other failure (ISO 6605:2017)")
    yield Fact("Rating", show_rating(confirmed_rating(resolution)), "its highest pressure in use")


def _angle_from_to(assembly: Assembly) -> str:
    """From where to where it is measured; empty if neither end says."""
    faces = [(end, assembly.fitting(end).faces) for end in End]
    return "; ".join(f"end {end.value}: {what}" for end, what in faces if what)


def _to_inspect(assembly: Assembly) -> Iterator[Fact]:
    resolution = assembly.resolution
    ends = "; ".join(
        f"end {end.value}: to {Datum(assembly.fitting(end).datum).words}" for end in (End.A, End.B)
    )
    yield Fact("Overall length", length(resolution.overall_length), ends)
    try:
        limits = finished_length_limits(resolution, policy_in_force())
    except NoLengthTolerance as refusal:
        yield Fact("Allowed", "not known", f"{refusal.what} {refusal.what_to_do}")
    else:
        allowed = f"{length(limits.lower_mm)} to {length(limits.upper_mm)}"
        yield Fact("Allowed", allowed, f"{limits.row.rule}, {basis_words(limits.row)}")
    if resolution.angle_deg is not None:
        yield Fact("Angle between the ends", f"{resolution.angle_deg}°", _angle_from_to(assembly))
    yield from (Fact(name, what) for name, what in resolution.extras)
