"""What one assembly came from: lots and tools, the work that was done with them, and where it went."""

from collections.abc import Iterable, Iterator

from django.db.models import Model

from shop.assemblies.models import Assembly, Crimp, LotCorrection, Measurement, SetUp
from shop.trace.gathering import Gathered, gather
from shop.trace.genealogy.nodes import SUBJECT, Genealogy, Node, NodeColumn


def ancestry_of(assembly: Assembly) -> Genealogy:
    """Everything with a node of its own; an assembly has only so many ends and tests."""
    found = gather(assembly)
    inputs: dict[str, Node] = {}
    work: list[Node] = []
    lines: list[tuple[str, str]] = []
    for node, used in _work(found):
        work.append(node)
        lines.append((node.key, SUBJECT))
        for heading, thing in used:
            came_in = Node(_key(thing), str(thing), heading, thing=thing)
            inputs.setdefault(came_in.key, came_in)
            lines.append((came_in.key, node.key))
    went = list(_went(found))
    lines += [(SUBJECT, node.key) for node in went]
    subject = Node(SUBJECT, str(assembly), found.assembly.get_state_display(), thing=assembly)
    columns = (
        NodeColumn("From and with", tuple(inputs.values())),
        NodeColumn("Work", tuple(work)),
        NodeColumn("Assembly", (subject,)),
        NodeColumn("Went to", tuple(went)),
    )
    title = f"What {assembly} came from"
    return Genealogy(title, columns, tuple(dict.fromkeys(lines)))


def _work(found: Gathered) -> Iterator[tuple[Node, list[tuple[str, Model]]]]:
    """Each piece of work, with the things that went into it and what they were to it."""
    if found.cut is not None:
        piece = found.cut.movement.piece
        node = Node("cut", "cut", f"to {found.assembly.resolution.cut_length} mm")
        yield node, [("hose", piece.lot), ("piece", piece)]
    set_ups = {set_up.pk: set_up for set_up in found.set_ups}
    for crimp in found.crimps:
        attempt = f", attempt {crimp.attempt}" if crimp.attempt > 1 else ""
        node = Node(f"crimp {crimp.pk}", f"crimp of end {crimp.end}{attempt}", _proven_by(crimp))
        yield node, list(_made_with(crimp, set_ups[crimp.set_up_id]))
    for number, inspection in enumerate(found.inspections, start=1):
        words = f"inspection {number}" if len(found.inspections) > 1 else "inspection"
        yield Node(f"inspection {inspection.pk}", words), [("tape", inspection.gauge)]
    for test in found.proof_tests:
        yield Node(f"test {test.pk}", f"proof test {test.number}"), [("pressure gauge", test.gauge)]


def _made_with(crimp: Crimp, set_up: SetUp) -> Iterator[tuple[str, Model]]:
    yield "crimper", set_up.crimper
    yield "die set", set_up.die_set
    if set_up.stop_part is not None:
        yield "stop part", set_up.stop_part
    named_for_it: list[Crimp | LotCorrection] = [crimp, *crimp.lot_corrections.all()]
    for named in named_for_it:
        yield "fittings", named.fitting_lot
        if named.ferrule_lot is not None:
            yield "ferrules", named.ferrule_lot
    for measurement in _sets(crimp):
        yield "caliper", measurement.gauge


def _proven_by(crimp: Crimp) -> str:
    """How the crimp is known to be right or not: by its own readings, or by pieces beside it."""
    if sets := _sets(crimp):
        return f"measured: {sets[-1].get_outcome_display()}"
    coverages = list(crimp.coverages.all())
    if not coverages:
        return "not measured"
    newest = coverages[-1]
    beside = [one.crimp.assembly for one in (newest.before, newest.after) if one is not None]
    names = " and ".join(str(assembly.serial) for assembly in beside)
    return f"covered by {names}" if newest.covered else f"in question by {names}"


def _sets(crimp: Crimp) -> list[Measurement]:
    return sorted(crimp.measurements.all(), key=lambda measurement: measurement.number)


def _went(found: Gathered) -> Iterable[Node]:
    order = found.assembly.run.line.order
    yield Node(_key(order), str(order), thing=order)
    yield Node(_key(order.customer), str(order.customer), thing=order.customer)
    if found.replaced_by is not None:
        yield Node(_key(found.replaced_by), str(found.replaced_by), "in its place", thing=found.replaced_by)


def _key(thing: Model) -> str:
    return f"{thing._meta.model_name} {thing.pk}"
