"""The bench at work: each step of the road as people do it, with every value open to change."""

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from shop.assemblies.inspection import correct_inspection, inspect
from shop.assemblies.making import arrangement_points, crimp_end, cut_hose, measure_crimp, set_up
from shop.assemblies.models import Assembly, Crimp, Cut, End, Inspection, Measurement, SetUp
from shop.assemblies.offers import offers_for
from shop.assemblies.planning import start_line
from shop.assemblies.points import At, points_at
from shop.assemblies.release import make_tag, release, ship
from shop.assemblies.remedies import Remedy
from shop.assemblies.steps import newest_set_up
from shop.catalogue.services import save_chart_line
from shop.people.models import User
from shop.policy.models import Policy
from shop.policy.services import set_policy, today
from tests.world import World

GOOD = ("24.19", "24.20", "24.21", "24.20")
LONG = ("933", "934", "932", "933", "934")  # finished lengths of 930 mm: all over
TICKED = {at: [point.code for point in points_at(at)] for at in At}  # every point that may be asked there
EVERYTHING = frozenset(TICKED[At.INSPECT])


def mm(*typed: str) -> tuple[Decimal, ...]:
    return tuple(Decimal(reading) for reading in typed)


def plan(world: World, **changes: object) -> Assembly:
    """One assembly of a new line, planned."""
    [assembly] = start_line(actor=world.counter, line=world.written_line(**changes))
    return assembly


def cut(world: World, assembly: Assembly, **changes: Any) -> Cut:
    return cut_hose(
        **{"actor": world.bench, "assembly": assembly, "piece": world.reel, "seen": TICKED[At.CUT]} | changes
    )


def tool_up(world: World, assembly: Assembly, end: End = End.A, **changes: Any) -> SetUp:
    values: dict[str, Any] = {
        "actor": world.bench,
        "assembly": assembly,
        "end": end,
        "crimper": world.crimper,
        "die_set": world.die_set,
        "stop_part": world.stop_part,
        "stop_setting": "",
        "gauge": world.caliper,
        "seen": arrangement_points(world.arrangement),
    }
    return set_up(**(values | changes))


def crimp(world: World, assembly: Assembly, end: End = End.A, **changes: Any) -> Crimp:
    """The end crimped; who finds the crimper set up by somebody else sets it up first."""
    actor = changes.get("actor", world.bench)
    set_up = newest_set_up(assembly, end)
    if set_up is not None and set_up.actor_number != actor.number:
        tool_up(world, assembly, end, actor=actor)
    return crimp_as_set_up(world, assembly, end, **changes)


def crimp_as_set_up(world: World, assembly: Assembly, end: End = End.A, **changes: Any) -> Crimp:
    """The end crimped on the set-up that there is, whoever made it."""
    values: dict[str, Any] = {
        "actor": world.bench,
        "assembly": assembly,
        "end": end,
        "fitting_lot": world.fitting_lot,
        "ferrule_lot": world.ferrule_lot,
        "seen": TICKED[At.CRIMP],
    }
    return crimp_end(**(values | changes))


def measure(world: World, made: Crimp, readings: Sequence[str] = GOOD, **changes: Any) -> Measurement:
    return measure_crimp(**{"actor": world.bench, "crimp": made, "readings_mm": mm(*readings)} | changes)


def plan_and_cut(world: World, **changes: object) -> Assembly:
    """An assembly that is cut."""
    assembly = plan(world, **changes)
    cut(world, assembly)
    return assembly


def ready_to_crimp(world: World, **changes: object) -> Assembly:
    """An assembly that is cut, with the crimper set up for end A."""
    assembly = plan_and_cut(world, **changes)
    tool_up(world, assembly)
    return assembly


def crimped(world: World, readings: Sequence[str] = GOOD, **changes: object) -> tuple[Assembly, Crimp]:
    """An assembly whose end A was crimped and measured so."""
    assembly = ready_to_crimp(world, **changes)
    made = crimp(world, assembly)
    measure(world, made, readings)
    assembly.refresh_from_db()
    return assembly, made


def offered(person: User, assembly: Assembly, remedy: Remedy) -> bool:
    """Whether the person may choose that remedy now."""
    return any(one.remedy is remedy and one.refusal is None for one in offers_for(person, assembly))


def finish_ends(world: World, assembly: Assembly) -> Assembly:
    """Both ends crimped and measured; what is done is left as it is."""
    for end in End:
        if not assembly.crimps.filter(end=end).exists():
            tool_up(world, assembly, end)
            measure(world, crimp(world, assembly, end))
    assembly.refresh_from_db()
    return assembly


def finish_run(world: World, pieces: Sequence[Assembly]) -> None:
    """Both ends of every piece crimped on one set-up and measured."""
    for end in End:
        tool_up(world, pieces[0], end)
        for piece in pieces:
            measure(world, crimp(world, piece, end))


def made(world: World, **changes: object) -> Assembly:
    """An assembly with both ends crimped and measured."""
    return finish_ends(world, plan_and_cut(world, **changes))


def _all_right(world: World) -> dict[str, Any]:
    return {
        "actor": world.inspector,
        "finished_length_mm": Decimal(932),
        "angle_deg": None,
        "gauge": world.tape,
        "seen": EVERYTHING,
        "faults": [],
    }


def look_over(world: World, assembly: Assembly, **changes: Any) -> Inspection:
    return inspect(**({"assembly": assembly} | _all_right(world) | changes))


def look_anew(world: World, inspection: Inspection, **changes: Any) -> Inspection:
    """Inspected in place of an inspection that was recorded wrong."""
    return correct_inspection(**({"inspection": inspection} | _all_right(world) | changes))


def finished(world: World, lengths: Sequence[str] = LONG, **changes: object) -> list[Assembly]:
    """Assemblies of one line, each as long when it was first inspected."""
    line = world.written_line(quantity=len(lengths), **changes)
    assemblies = list(start_line(actor=world.counter, line=line))
    for assembly, length in zip(assemblies, lengths, strict=True):
        cut(world, assembly)
        finish_ends(world, assembly)
        look_over(world, assembly, finished_length_mm=Decimal(length))
    return assemblies


def tagged(world: World, **changes: object) -> Assembly:
    """An assembly that is inspected and tagged."""
    assembly = made(world, **changes)
    look_over(world, assembly)
    make_tag(actor=world.inspector, assembly=assembly)
    return assembly


def released(world: World) -> Assembly:
    assembly = tagged(world)
    release(actor=world.inspector, assembly=assembly, scanned=assembly.code)
    return assembly


def shipped(world: World) -> Assembly:
    assembly = released(world)
    ship(actor=world.counter, assembly=assembly)
    return assembly


def choose(world: World, **changes: object) -> Policy:
    """A new policy from today on, with these choices changed."""
    values = {name: getattr(world.policy, name) for name in Policy.FIELDS[Policy.newest_version()]}
    return set_policy(actor=world.owner, policy=Policy(**(values | {"effective_from": today()} | changes)))


def allow_crimping_again(world: World) -> None:
    """A second issue of the chart that is like the first but allows crimping again."""
    reissue(world, "2", crimp_again_allowed=True)


def reissue(world: World, name: str, **changes: object) -> None:
    """A new issue of the chart, in force from today, with these columns of its line changed."""
    line = world.chart.lines.get()
    for column, value in changes.items():
        setattr(line, column, value)
    save_chart_line(actor=world.bench, line=line)
    world.chart.refresh_from_db()
    world.chart_issue = world.issue(name)
