"""What a line comes to, laid out for reading."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from django.utils.safestring import SafeString, mark_safe

from shop.catalogue.models import CrimpSpecification, Skive
from shop.drawings.assembly import AssemblyDrawing, draw_assembly
from shop.engineering.cut_length import Datum
from shop.engineering.lengths import LengthUnit
from shop.engineering.pressures import Pressure, show_bar, show_psi
from shop.engineering.rating import RatedPart
from shop.orders.drawing import drawing_of_proposal
from shop.orders.proposal import EndProposal, Proposal
from shop.standards.models import Basis
from shop.tooling.models import Tool
from shop.web.counter.cautions import FOR_ORDERING
from shop.web.templatetags.quantities import diameter, length
from shop.web.workshop import workshop_or_default


@dataclass(frozen=True)
class Figure:
    """One figure for the part `fact.html`."""

    label: str
    value: str
    unit: str = ""
    note: str = ""


@dataclass(frozen=True)
class EndOutcome:
    """One end: what is crimped on, by which line of which chart, with what from the cabinet."""

    letter: str
    rows: tuple[tuple[str, str], ...]
    tooling: tuple[tuple[str, str], ...]
    lacking: tuple[str, ...]


@dataclass(frozen=True)
class Outcome:
    """Everything that a page shows of a proposal."""

    proposal: Proposal
    drawing: SafeString
    figures: tuple[Figure, ...]
    ends: tuple[EndOutcome, ...]
    ratings: tuple[tuple[RatedPart, bool], ...]
    cautions: tuple[str, ...] = FOR_ORDERING


def outcome_of(proposal: Proposal) -> Outcome:
    """Lay the proposal out, in the workshop's unit of length."""
    return Outcome(
        proposal=proposal,
        drawing=drawn(drawing_of_proposal(proposal, workshop_unit())),
        figures=tuple(_figures(proposal)),
        ends=tuple(_end(end) for end in proposal.ends),
        ratings=tuple((part, part is proposal.rating.governing) for part in proposal.parts),
    )


def workshop_unit() -> LengthUnit:
    """The unit in which the workshop reads lengths."""
    return LengthUnit(workshop_or_default().length_unit)


def drawn(drawing: AssemblyDrawing | None) -> SafeString:
    """The drawing as markup; nothing if there is none. Its texts were escaped when it was drawn."""
    return mark_safe("" if drawing is None else draw_assembly(drawing))  # noqa: S308  # escaped there


def _figures(proposal: Proposal) -> Iterator[Figure]:
    rating, line = proposal.rating, proposal.line
    if rating.pressure is not None and rating.governing is not None:
        label = "Rating" if rating.complete else "Lowest of the ratings so far"
        yield _pressure(label, rating.pressure, f"{rating.governing.words} governs")
    yield Figure("Highest pressure asked for", line.pressure_typed, line.pressure_unit, "surges included")
    if proposal.proof is not None:
        yield _pressure("Proof pressure", proposal.proof)
    yield Figure("Overall length", length(line.overall_length), note=f"typed {line.overall_typed}")
    if proposal.cut_length is not None:
        yield Figure("Cut length", length(proposal.cut_length))
    if proposal.finished_length is not None:
        limits = proposal.finished_length
        basis = "from memory" if limits.row.basis == Basis.MEMORY else limits.row.basis
        yield Figure(
            "Finished length",
            f"{length(limits.lower_mm)} to {length(limits.upper_mm)}",
            note=f"{limits.row.rule}, {basis}",
        )
    yield Figure("Least bend radius", length(proposal.bend_radius), note="to the inside of the bend")
    temperatures = f"{proposal.temperature_min_c} to {proposal.temperature_max_c}"
    yield Figure("Temperature", temperatures.replace("-", "−"), "°C")


def _pressure(label: str, pressure: Pressure, note: str = "") -> Figure:
    others = [shown for shown in (show_bar(pressure), show_psi(pressure)) if shown != str(pressure)]
    value, unit = str(pressure).split(" ")
    return Figure(label, value, unit, "; ".join(filter(None, [*others, note])))


def _end(end: EndProposal) -> EndOutcome:
    fitting, specification = end.fitting, end.specification
    rows = [
        ("Fitting", f"{fitting}, {fitting.form_words}, {fitting.material}"),
        ("Connection", str(fitting.connection)),
        ("Cut-off", f"{length(fitting.cut_off)}, length measured to {Datum(fitting.datum).words}"),
        ("Insertion depth", length(end.insertion_mm())),
    ]
    tooling: list[tuple[str, str]] = []
    if specification is not None:
        rows += _crimp(specification)
    if end.tooling is not None:
        owned = end.tooling
        tooling = [
            ("Die set", _listed(owned.die_sets)),
            ("Stop part", _listed(owned.stop_parts)),
            ("Crimper", _listed(arrangement.crimper for arrangement in owned.arrangements)),
        ]
    lacking = () if end.tooling is None else end.tooling.lacking
    return EndOutcome(end.end, tuple(rows), tuple((what, which) for what, which in tooling if which), lacking)


def _crimp(specification: CrimpSpecification) -> list[tuple[str, str]]:
    issue = specification.chart_issue
    skive = specification.get_skive_display()
    if specification.skive != Skive.NONE:
        skive = f"{skive}, {length(specification.skive_length)}"
    return [
        ("Chart", f"{issue}, in force from {issue.effective_from}"),
        ("Ferrule", "part of the fitting" if specification.ferrule is None else str(specification.ferrule)),
        ("Die", str(specification.die_type)),
        ("Stop", specification.stop_words),
        (
            "Crimp diameter",
            f"{diameter(specification.target)}, from {diameter(specification.lower)} "
            f"to {diameter(specification.upper)}",
        ),
        ("Skive", skive),
    ]


def _listed(things: Iterable[Tool]) -> str:
    return ", ".join(f"{thing}, {thing.place}" if thing.place else str(thing) for thing in things)
