"""The figures of what a line comes to, each with how it came about."""

from collections.abc import Iterator
from dataclasses import dataclass

from shop.engineering.elongation import LONGEST_PERCENT, SHORTEST_PERCENT
from shop.engineering.numbers import plain
from shop.engineering.orientation import AngleConvention
from shop.engineering.pressures import Pressure, show_bar, show_psi
from shop.orders.parts import rated_vacuum
from shop.orders.proposal import Proposal
from shop.standards.figures import basis_words
from shop.web.templatetags.quantities import length
from shop.web.worksheets.words import rounded_length


@dataclass(frozen=True)
class Figure:
    """One figure for the part `fact.html`."""

    label: str
    value: str
    unit: str = ""
    note: str = ""


def figures_of(proposal: Proposal) -> tuple[Figure, ...]:
    """Pressures, lengths, angle and temperatures, in the order in which they are asked for."""
    return (
        *_pressures(proposal),
        *_lengths(proposal),
        *_angle(proposal),
        Figure("Least bend radius", length(proposal.bend_radius), note="to the inside of the bend"),
        _temperature(proposal),
    )


def _pressures(proposal: Proposal) -> Iterator[Figure]:
    rating, demand, proved = proposal.rating, proposal.line.demand, proposal.proof_and_burst
    if rating.pressure is not None and rating.governing is not None:
        label = "Rating" if rating.complete else "Lowest of the ratings so far"
        yield _pressure(label, rating.pressure, f"{rating.governing.words} governs")
    surges = "surges included" if demand.surge is None else f"{demand.highest} and surges of {demand.surge}"
    yield Figure("Highest pressure asked for", plain(demand.peak.value), demand.peak.unit, surges)
    if demand.vacuum is not None:
        rated = rated_vacuum(proposal.line.hose)
        stands = "the hose is not for suction" if rated is None else f"the hose stands {rated}"
        yield Figure("Deepest vacuum", plain(demand.vacuum.value), demand.vacuum.unit, stands)
    if proved is not None:
        is_tested = proposal.policy.wants_test(ordered=proposal.line.proof_test_wanted)
        note = "each is tested at it" if is_tested else "not tested"
        yield _pressure("Proof pressure", proved.proof, note)
        yield _pressure("Least burst pressure", proved.burst, "never a working pressure")


def _lengths(proposal: Proposal) -> Iterator[Figure]:
    line, overall = proposal.line, proposal.overall_length
    if overall is not None:
        yield Figure("Overall length", length(overall), note=line.typed_words)
    if proposal.cut_length is not None:
        yield Figure("Cut length", length(proposal.cut_length), note=_correction(proposal))
    if proposal.finished_length is not None:
        limits = proposal.finished_length
        whose = "the customer's rules, " if line.order.customer.length_rules else ""
        yield Figure(
            "Finished length",
            f"{length(limits.lower_mm)} to {length(limits.upper_mm)}",
            note=f"{whose}{limits.row.rule}, {basis_words(limits.row)}",
        )
    if proposal.under_pressure is not None:
        pressed = proposal.under_pressure
        between = f"{rounded_length(pressed.shortest_mm)} to {rounded_length(pressed.longest_mm)}"
        share = f"−{-SHORTEST_PERCENT} to +{LONGEST_PERCENT} % of the free hose"
        yield Figure("Under pressure", between, note=f"{share} (FAA AC 43.13-1B Fig. 9-9)")


def _correction(proposal: Proposal) -> str:
    correction = proposal.cut_correction
    if correction is None:
        return ""
    how = "longer" if correction.mean > 0 else "shorter"
    off = length(abs(correction.mean))
    return f"corrected by {off}: {correction.pieces} finished pieces came out {off} {how}"


def _angle(proposal: Proposal) -> Iterator[Figure]:
    line, allowed = proposal.line, proposal.angle_allowed_deg
    if line.angle_deg is None or allowed is None:
        return
    convention = AngleConvention(line.order.angle_convention)
    note = f"±{plain(allowed)}°; {AngleConvention.NEAR_SIX_CCW.words}"
    if line.bench_angle_deg != line.angle_deg:
        note = f"{note}. Typed {line.angle_deg}°: {convention.words}"
    yield Figure("Angle between the ends", f"{line.bench_angle_deg}", "°", note)


def _temperature(proposal: Proposal) -> Figure:
    temperatures = f"{proposal.temperature_min_c} to {proposal.temperature_max_c}"
    return Figure(
        "Temperature", temperatures.replace("-", "−"), "°C", "the narrowest of hose, fluid and seals"
    )


def _pressure(label: str, pressure: Pressure, note: str = "") -> Figure:
    others = [shown for shown in (show_bar(pressure), show_psi(pressure)) if shown != str(pressure)]
    value, unit = str(pressure).split(" ")
    return Figure(label, value, unit, "; ".join(filter(None, [*others, note])))
