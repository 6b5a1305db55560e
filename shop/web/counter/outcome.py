"""What a line comes to, laid out for reading."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from django.utils.safestring import SafeString, mark_safe

from shop.catalogue.models import CrimpSpecification, Skive
from shop.drawings.assembly import AssemblyDrawing, draw_assembly
from shop.engineering.cut_length import Datum
from shop.engineering.lengths import LengthUnit
from shop.engineering.rating import RatedPart
from shop.orders.drawing import drawing_of_proposal
from shop.orders.proposal import EndProposal, Proposal
from shop.tooling.models import Tool
from shop.web.counter.cautions import FOR_ORDERING
from shop.web.counter.figures import Figure, figures_of
from shop.web.templatetags.quantities import diameter, length
from shop.web.workshop import workshop_or_default


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
    reasons: tuple[str, ...]  # what the other figures don't say already
    cautions: tuple[str, ...]


def outcome_of(proposal: Proposal) -> Outcome:
    """Lay the proposal out, in the workshop's unit of length."""
    return Outcome(
        proposal=proposal,
        drawing=drawn(drawing_of_proposal(proposal, workshop_unit())),
        figures=figures_of(proposal),
        ends=tuple(_end(end) for end in proposal.ends),
        ratings=tuple((part, part is proposal.rating.governing) for part in proposal.parts),
        reasons=tuple(why for why in proposal.reasons if why not in proposal.rating.reasons),
        cautions=(*FOR_ORDERING, *_cautions(proposal)),
    )


def workshop_unit() -> LengthUnit:
    """The unit in which the workshop reads lengths."""
    return LengthUnit(workshop_or_default().length_unit)


def drawn(drawing: AssemblyDrawing | None) -> SafeString:
    """The drawing as markup; nothing if there is none. Its texts were escaped when it was drawn."""
    return mark_safe("" if drawing is None else draw_assembly(drawing))  # noqa: S308  # escaped there


def _cautions(proposal: Proposal) -> Iterator[str]:
    for working_out in (proposal.proof_and_burst, proposal.under_pressure):
        if working_out is not None:
            yield from working_out.cautions


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
