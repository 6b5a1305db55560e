"""What an assembly is proved with, and the least that it bursts at."""

from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from shop.catalogue.models import Hose
from shop.engineering.errors import OutOfRange
from shop.engineering.numbers import rounded_down, trim
from shop.engineering.pressures import PASCALS_PER_UNIT, Pressure, exceeds, lowest
from shop.engineering.proof_burst import PrintedPressures, ProofAndBurst, proof_and_burst
from shop.engineering.rating import AssemblyRating, PartRole
from shop.orders.parts import rating_documents
from shop.policy.models import Policy
from shop.standards.models import HoseRating

Document = Hose | HoseRating


def proof_and_burst_of(rating: AssemblyRating, hose: Hose, policy: Policy) -> ProofAndBurst | None:
    """Proof and burst as the document prints them whose rating of the hose governs, else by factor.

    Both are in the unit of the rating. By factor neither is above what a document of the hose prints.
    None without a rating. Raises `OutOfRange` if the printed figures don't rise, or if the policy's
    proof factor reaches the factor of burst.
    """
    working, governing = rating.pressure, rating.governing
    if working is None or governing is None:
        return None
    documents = rating_documents(hose)
    factor = Decimal(policy.proof_factor_percent) / 100
    by_factor = proof_and_burst(working, proof_factor=factor)
    document = None
    if governing.role is PartRole.HOSE:
        document = next(each for each in documents if str(each) == governing.name)
    proof, burst = _printed(document, "proof"), _printed(document, "burst")
    if document is not None and proof is not None and burst is not None:
        name = str(document).removesuffix(f" -{document.dash}")
        row = PrintedPressures(name, document.dash, working, proof, burst, document.source, note="")
        return proof_and_burst(working, row, factor)
    return _by_factor_and_print(by_factor, working, document, documents)


def _by_factor_and_print(
    by_factor: ProofAndBurst, working: Pressure, document: Document | None, documents: Iterable[Document]
) -> ProofAndBurst:
    """Each of the two as printed if it is, else by factor and no higher than any document has it."""
    found, reasons = [], []
    for what, reckoned, why in zip(
        ("proof", "burst"), (by_factor.proof, by_factor.burst), by_factor.reasons, strict=True
    ):
        printed = _printed(document, what)
        caps = [figure for each in documents if (figure := _printed(each, what)) is not None]
        if printed is not None:
            found.append(printed)
            reasons.append(f"{what.capitalize()} pressure as {document} prints it: {printed}.")
        elif caps and exceeds(reckoned, lowest(caps)):
            cap = _in_unit_of(working, lowest(caps))
            found.append(cap)
            reasons.append(f"By factor {what} would be {reckoned}; the hose's document prints {cap}.")
        else:
            found.append(reckoned)
            reasons.append(why)
    proof, burst = found
    if exceeds(working, proof) or not exceeds(burst, proof):
        raise OutOfRange(
            f"Working pressure {working}, proof {proof} and burst {burst} don't rise.",
            argument="printed pressures",
            unit=working.unit,
            allowed="working up to proof, proof below burst",
            got=f"{working}, {proof}, {burst}",
        )
    return replace(by_factor, proof=proof, burst=burst, reasons=tuple(reasons))


def _printed(document: Document | None, what: str) -> Pressure | None:
    """The figure that a document prints, in the unit of its rating."""
    figure = getattr(document, f"{what}_printed", "")
    if document is None or document.rating is None or not figure:
        return None
    return Pressure(Decimal(figure), document.rating.unit)


def _in_unit_of(working: Pressure, pressure: Pressure) -> Pressure:
    """The pressure in the unit of the rating, down to the next thousandth if it has to be converted."""
    if pressure.unit is working.unit:
        return pressure
    exact = Fraction(pressure.exact_pascals) / PASCALS_PER_UNIT[working.unit]
    return Pressure(trim(rounded_down(exact, 3)), working.unit)
