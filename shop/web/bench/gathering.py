"""What a step needs, scanned or picked one by one; what is wrong is refused before the press moves."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from shop.assemblies.making import check_tool
from shop.assemblies.models import Assembly, End
from shop.assemblies.refusals import NotAPressureGauge
from shop.assemblies.steps import Step
from shop.assemblies.testing import require_pressure_gauge
from shop.catalogue.models import StopKind
from shop.core.labels import Labelled
from shop.core.refusals import Refusal
from shop.policy.services import policy_in_force, today
from shop.stock.models import Lot, Piece
from shop.tooling.finding import find_tooling
from shop.tooling.models import Gauge, GaugeKind, PressureGauge
from shop.tooling.pressure_gauges import usable_pressure_gauges
from shop.trace.lookup import find_labelled
from shop.web.templatetags.quantities import stretch

QUESTIONS = {
    "piece": "Scan the piece of hose",
    "crimper": "Scan the crimper",
    "die set": "Scan the die set",
    "stop part": "Scan the stop part",
    "caliper": "Scan the caliper",
    "fittings": "Scan the bin of fittings",
    "ferrules": "Scan the bin of ferrules",
    "tape": "Scan the tape",
    "pressure gauge": "Scan the pressure gauge",
}


class NotNeededNow(Refusal):
    says = "{thing} is right for this job, but not needed for this step."
    do = "{question}."


class NotAGauge(Refusal):
    says = "{thing} is no gauge."
    do = "Scan the label of a caliper."
    field = "caliper"


@dataclass(frozen=True)
class Pick:
    """Something that could be taken, for who would rather tap than scan."""

    code: str
    words: str
    place: str


class Gathering:
    """The things scanned so far for one step of one assembly."""

    def __init__(self, assembly: Assembly, step: Step, end: End | None) -> None:
        self.assembly = assembly
        self.step = step
        self.end = end
        self._things: dict[str, Labelled] = {}

    @property
    def wanted(self) -> tuple[str, ...]:
        """The roles that the step needs filled, in order."""
        if self.step == Step.CUT:
            return ("piece",)
        if self.step == Step.INSPECT:
            return ("tape",)
        if self.step == Step.TEST:
            return ("pressure gauge",)
        assert self.end is not None, "set-up and crimp are at an end"
        specification = self.assembly.specification(self.end)
        if self.step == Step.CRIMP:
            return ("fittings",) if specification.ferrule_id is None else ("fittings", "ferrules")
        stop = ("stop part",) if specification.stop_kind == StopKind.PART else ()
        return ("crimper", "die set", *stop, "caliper")

    @property
    def missing(self) -> tuple[str, ...]:
        """The roles that nothing fills yet."""
        return tuple(role for role in self.wanted if role not in self._things)

    @property
    def question(self) -> str:
        """What to scan next."""
        return QUESTIONS[self.missing[0]] if self.missing else "Everything is there"

    @property
    def codes(self) -> list[str]:
        """The codes of what was scanned."""
        return [thing.code for thing in self._things.values()]

    @property
    def things(self) -> list[tuple[str, Labelled]]:
        """What fills which role."""
        return list(self._things.items())

    def thing(self, role: str) -> Any:
        """What fills the role; its type is the role's."""
        return self._things[role]

    def get(self, role: str) -> Any:
        """What fills the role, or None."""
        return self._things.get(role)

    def add(self, code: str) -> None:
        """Take a scanned thing in. Raises the refusal for it if it is the wrong one."""
        thing = find_labelled(code)
        role = self._role_of(thing)
        if role not in self.wanted:
            raise NotNeededNow(thing=thing, question=self.question)
        self._things[role] = thing

    def _role_of(self, thing: Labelled) -> str:
        if self.step == Step.INSPECT and isinstance(thing, Gauge):
            return "tape"
        if self.step == Step.TEST:
            return self._checked_pressure_gauge(thing)
        return check_tool(assembly=self.assembly, end=self.end or End.A, thing=thing)

    def _checked_pressure_gauge(self, thing: Labelled) -> str:
        """Its role, if it may tell this test: said before the pump starts (rule 5)."""
        if not isinstance(thing, PressureGauge):
            raise NotAPressureGauge(thing=thing)
        require_pressure_gauge(thing, self.assembly.resolution, policy_in_force(), today())
        return "pressure gauge"

    def picks(self) -> list[Pick]:
        """What the workshop has for the first missing role."""
        if not self.missing:
            return []
        return [
            Pick(thing.code, words_of(thing), getattr(thing, "place", ""))
            for thing in owned(self.assembly, self.end, self.missing[0])
        ]


def words_of(thing: Labelled) -> str:
    """The thing by what tells it from the others in the rack."""
    match thing:
        case Piece():
            return f"{thing}, {stretch(thing.length_left)} left"
        case Lot() if thing.batch:
            return f"{thing}, batch {thing.batch}"
        case _:
            return str(thing)


def owned(assembly: Assembly, end: End | None, role: str) -> Iterable[Labelled]:
    """What the workshop has that fits the role, for the assembly or for that end of it."""
    resolution = assembly.resolution
    if role == "piece":
        return Piece.objects.filter(
            lot__hose=resolution.hose,
            length_left__gte=resolution.cut_length,
            lot__condemnation=None,
        ).order_by("length_left")[:12]
    if role in ("caliper", "tape"):
        kind = GaugeKind.CALIPER if role == "caliper" else GaugeKind.TAPE
        gauges = Gauge.objects.filter(kind=kind, blocked_because="")
        return [gauge for gauge in gauges if gauge.calibration_on(today())]
    if role == "pressure gauge":
        return usable_pressure_gauges(today())
    assert end is not None, "the other roles are at an end"
    specification = assembly.specification(end)
    lots = Lot.objects.filter(condemnation=None).order_by("entry")
    if role == "fittings":
        return lots.filter(fitting=assembly.fitting(end))[:12]
    if role == "ferrules":
        return lots.filter(ferrule=specification.ferrule_id)[:12]
    tooling = find_tooling(specification)
    return {
        "crimper": [arrangement.crimper for arrangement in tooling.arrangements],
        "die set": tooling.die_sets,
        "stop part": tooling.stop_parts,
    }[role]


def find_gauge(code: str) -> Gauge:
    """The gauge with that code. Raises `NotAGauge`, and what `find_labelled` raises."""
    thing = find_labelled(code)
    if not isinstance(thing, Gauge):
        raise NotAGauge(thing=thing)
    return thing
