"""Working pressure with its surges, and vacuum, against what a hose is rated for, with proof and burst."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.core.exceptions import ValidationError

from shop.catalogue.models import Hose
from shop.drawings.bars import Bar, BarsDrawing, draw_bars
from shop.engineering.duty import (
    NOT_A_MARGIN,
    PEAK_KNOWN,
    DutyCheck,
    PressureClass,
    check_suction,
    check_surge,
    lowest_class_for,
    peak_of,
)
from shop.engineering.errors import OffTheTable
from shop.engineering.numbers import plain
from shop.engineering.pressures import Pressure, show_rating
from shop.engineering.proof_burst import ProofAndBurst, proof_and_burst
from shop.engineering.rating import rate_assembly
from shop.orders.parts import hose_reasons, rated_hose, rated_vacuum
from shop.orders.proving import proof_and_burst_of
from shop.policy.services import policy_in_force
from shop.web.counter.named import HOSES, NamedField
from shop.web.fields import PressureField
from shop.web.worksheets.forms import WorksheetForm
from shop.web.worksheets.sheet import Basis, Fact, Sheet, Verdict, Working, Worksheet

NO_CLASS = "none: above the highest class"
_WHOLE_ASSEMBLY = (
    "This asks the hose alone. Fittings and connections have ratings of their own, and the lowest is the "
    "assembly's."
)
_TEMPERATURE = "The hose is within its temperatures. Above them its rating doesn't hold."


class DutyForm(WorksheetForm):
    GROUPS = {
        "What is asked": ("working", "surge", "vacuum"),
        "The hose": ("hose", "rating", "rated_vacuum"),
    }
    ARGUMENTS = {
        "working pressure": ("working",),
        "pressure": ("working",),
        "rating": ("rating",),
        "vacuum": ("vacuum",),
        "vacuum rating": ("rated_vacuum",),
        "printed pressures": ("hose",),
    }

    working = PressureField(label="Working pressure", help_text="The highest that the system holds.")
    surge = PressureField(
        label="Surge on top of it", required=False, help_text="Empty: the pressure has the surges in it."
    )
    vacuum = PressureField(
        label="Vacuum", required=False, help_text="How far below atmosphere; empty: no suction."
    )
    hose = NamedField(HOSES, label="Hose", required=False, help_text="Of the catalogue, or its figures:")
    rating = PressureField(label="Its rating", required=False)
    rated_vacuum = PressureField(label="Vacuum it stands", required=False, help_text="Empty: none printed.")

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        typed = [name for name in ("rating", "rated_vacuum") if cleaned.get(name) is not None]
        if cleaned.get("hose") is not None and typed:
            raise ValidationError("Name a hose of the catalogue or type its figures, not both.")
        return cleaned


@dataclass(frozen=True)
class _Rated:
    """What the hose is rated for, how that came about, and with what it is proved; None: not known."""

    rating: Pressure | None
    vacuum: Pressure | None
    proved: ProofAndBurst | None
    reasons: Sequence[str] = ()
    doubts: Sequence[str] = ()
    basis: Sequence[Basis] = ()

    @property
    def is_unknown(self) -> bool:
        """Whether nobody has said what hose it is."""
        return self.rating is None and self.vacuum is None


def work(answers: Mapping[str, Any]) -> Sheet:
    """The peak, its pressure class, and whether the hose is for it."""
    working, surge, vacuum = answers["working"], answers["surge"], answers["vacuum"]
    peak = peak_of(working, surge)
    rated = _rated(answers)
    pressed = None if rated.rating is None else check_surge(working, surge, rated.rating)
    sucked = None if vacuum is None or rated.is_unknown else check_suction(vacuum, rated.vacuum)
    checks = [check for check in (pressed, sucked) if check is not None]
    pressure_class = _class_for(peak)
    return Sheet(
        says=" ".join([f"The peak is {peak}.", *(check.reason for check in checks)]),
        verdicts=(*(Verdict("care", doubt) for doubt in rated.doubts), *map(_verdict, checks)),
        answers=tuple(_facts(peak, pressure_class, rated)),
        drawing=draw_bars(_bars(working, surge, peak, rated)),
        workings=tuple(_workings(answers, peak, rated)),
        assumptions=_once(
            PEAK_KNOWN,
            _TEMPERATURE,
            *(said for check in checks for said in check.assumptions),
            *(() if rated.proved is None else rated.proved.assumptions),
        ),
        cautions=_once(
            _WHOLE_ASSEMBLY,
            NOT_A_MARGIN,
            *(said for check in checks for said in check.cautions),
            *(() if pressure_class is None else pressure_class.cautions),
            *(() if rated.proved is None else rated.proved.cautions),
        ),
        basis=(Basis("That the peak counts: SAE J1273", "memory"), *rated.basis),
    )


def _rated(answers: Mapping[str, Any]) -> _Rated:
    hose: Hose | None = answers["hose"]
    if hose is not None:
        return _of_the_catalogue(hose)
    rating: Pressure | None = answers["rating"]
    proved = None
    if rating is not None:
        proved = proof_and_burst(rating, proof_factor=Decimal(policy_in_force().proof_factor_percent) / 100)
    return _Rated(rating, answers["rated_vacuum"], proved)


def _of_the_catalogue(hose: Hose) -> _Rated:
    """By the same rule as in orders: the lower of maker and standard, unless an owner chose the maker's."""
    rating = rate_assembly(rated_hose(hose), None)
    doubts = [f"{part.name} has no rating in the catalogue." for part in rating.unrated]
    doubts += [
        f"Nobody has compared the rating of {part.name} with its document." for part in rating.unconfirmed
    ]
    governing = rating.governing
    return _Rated(
        rating=rating.pressure,
        vacuum=rated_vacuum(hose),
        proved=proof_and_burst_of(rating, hose, policy_in_force()),
        reasons=hose_reasons(hose),
        doubts=doubts,
        basis=()
        if governing is None
        else (Basis(f"The hose's rating: {governing.source}", "read" if governing.confirmed else "memory"),),
    )


def _class_for(peak: Pressure) -> PressureClass | None:
    try:
        return lowest_class_for(peak)
    except OffTheTable:
        return None


def _verdict(check: DutyCheck) -> Verdict:
    return (
        Verdict("pass", "Within.", check.reason)
        if check.within
        else Verdict("fail", "Not within.", check.reason)
    )


def _facts(peak: Pressure, pressure_class: PressureClass | None, rated: _Rated) -> Iterator[Fact]:
    yield Fact("Peak", str(peak))  # in another unit it would be rounded down, as ratings are
    shown = NO_CLASS if pressure_class is None else show_rating(pressure_class.rating)
    yield Fact("Class of ISO 18752", shown, "the lowest that covers the peak; from memory")
    if rated.rating is not None:
        yield Fact("The hose's rating", show_rating(rated.rating), " ".join(rated.reasons))
    if rated.vacuum is not None:
        yield Fact("Vacuum it stands", show_rating(rated.vacuum))
    if rated.proved is not None:
        proof, burst = rated.proved.reasons
        yield Fact("Proof pressure", show_rating(rated.proved.proof), proof)
        yield Fact("Bursts at, least", show_rating(rated.proved.burst), burst)


def _bars(working: Pressure, surge: Pressure | None, peak: Pressure, rated: _Rated) -> BarsDrawing:
    """All in the unit of the working pressure."""
    unit = working.unit
    parts = (working.value,) if surge is None else (working.value, surge.in_unit(unit))
    asked = f"asked: {working}" if surge is None else f"asked: {working} + {surge} = {peak}"
    bars = [Bar("asked", asked, parts)]
    if rated.rating is not None and rated.proved is not None:
        proved = rated.proved
        bars += [
            Bar("rating", f"rating: {rated.rating}", (rated.rating.in_unit(unit),)),
            Bar(
                "proof",
                f"proof, new and once: {proved.proof}",
                (proved.proof.in_unit(unit),),
                is_hatched=True,
            ),
            Bar(
                "burst", f"burst, never to be worked at: {proved.burst}", (proved.burst.in_unit(unit),), True
            ),
        ]
    return BarsDrawing(
        title="; ".join(bar.words for bar in bars),
        label=str(unit),
        bars=tuple(bars),
        limit=None if rated.rating is None else rated.rating.in_unit(unit),
    )


def _workings(answers: Mapping[str, Any], peak: Pressure, rated: _Rated) -> Iterator[Working]:
    surge: Pressure | None = answers["surge"]
    added = str(answers["working"]) if surge is None else f"{answers['working']} + {surge}"
    yield Working(
        "Peak",
        "working pressure + surge",
        added,
        str(peak),
        "SAE J1273, from memory: the rating covers the peak",
    )
    if rated.proved is not None and answers["hose"] is None:
        factor = plain(Decimal(policy_in_force().proof_factor_percent) / 100)
        yield Working(
            "Proof pressure",
            "factor of the policy × rating",
            f"{factor} × {answers['rating']}",
            str(rated.proved.proof),
            "ISO 6605:2017 5.2: twice, where no document prints one",
        )


def _once(*sentences: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(sentences))


WORKSHEET = Worksheet(
    slug="duty",
    title="Pressure and duty",
    about="Working pressure with its surges, and vacuum, against a hose's rating; class, proof and burst.",
    form=DutyForm,
    work=work,
    example={"working": "210 bar", "surge": "50 bar", "rating": "275 bar"},
)
