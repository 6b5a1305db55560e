"""What is wrong, what is done about it, who does it, under which policy: each cell of the table is tried.

`yes` is done; `alone` is done and the record says 'not independently checked'; `-` that role may not;
`2nd` needs a second person; `step` is not the next step; `none` is no decision for that; `again` may not be
crimped again. What the page offers is held against the same table.
"""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

import pytest
from django.db import transaction

from shop.assemblies.independence import independently_checked
from shop.assemblies.inspection import concede
from shop.assemblies.making import decide, measure_crimp, refit_end
from shop.assemblies.models import Assembly, Cause, DecisionKind, End
from shop.assemblies.offers import offers_for
from shop.assemblies.planning import start_line
from shop.assemblies.remedies import Remedy, Wrong, what_is_wrong
from shop.assemblies.standing import standing_of
from shop.core.refusals import Refusal
from shop.people.models import User
from tests.assemblies import bench, proving
from tests.world import World

pytestmark = pytest.mark.django_db

LONG = {"overall_length": Decimal(8000), "overall_typed": "8 m"}  # long enough to be refitted
AS_LONG = Decimal(8002)
HELD, TOO_LARGE, TOO_SMALL = ("24.38",) * 4, ("24.45",) * 4, ("23.95",) * 4


def _crimped(world: World, by: User, readings: tuple[str, ...]) -> Assembly:
    """Eight metres of hose whose end A was crimped by that person and read so by the bench."""
    assembly = bench.ready_to_crimp(world, **LONG)
    bench.measure(world, bench.crimp(world, assembly, actor=by), readings)
    return assembly


def in_question(world: World, by: User) -> Assembly:
    """Crimped between a piece that passed and one that failed."""
    pieces = start_line(actor=world.counter, line=world.written_line(quantity=3, **LONG))
    for piece in pieces:
        bench.cut(world, piece)
    bench.tool_up(world, pieces[0], actor=by)
    bench.measure(world, bench.crimp(world, pieces[0], actor=by))
    bench.crimp(world, pieces[1], actor=by)
    bench.measure(world, bench.crimp(world, pieces[2], actor=by), TOO_SMALL)
    return pieces[1]


def crimped_again(world: World, by: User) -> Assembly:
    """Crimped again once and still too large."""
    assembly = _crimped(world, world.bench, TOO_LARGE)
    decide(actor=world.owner, assembly=assembly, kind=DecisionKind.CRIMP_AGAIN, cause=Cause.STOPPED_SHORT)
    bench.measure(world, bench.crimp(world, assembly, actor=by), TOO_LARGE)
    return assembly


def treated_as_failed(world: World, by: User) -> Assembly:
    assembly = _crimped(world, by, HELD)
    decide(actor=world.bench, assembly=assembly, kind=DecisionKind.TREAT_AS_FAILED, cause=Cause.GAUGE)
    return assembly


def not_right(world: World, by: User) -> Assembly:
    """Inspected by somebody who is in no cell, and too long for its order."""
    return _inspected(world, by, Decimal(8125), **LONG)


def went_too_high(world: World, by: User) -> Assembly:
    assembly = _inspected(world, by, AS_LONG, proof_test_wanted=True, **LONG)
    proving.prove(world, assembly, peak=proving.parse_pressure("577.6 bar"))
    return assembly


def failed_its_test(world: World, by: User) -> Assembly:
    assembly = _inspected(world, by, AS_LONG, proof_test_wanted=True, **LONG)
    proving.prove(world, assembly, found=["leak"], seen=[])
    return assembly


def scrapped(world: World, by: User) -> Assembly:
    assembly = _crimped(world, by, TOO_SMALL)
    decide(actor=world.bench, assembly=assembly, kind=DecisionKind.SCRAP, cause=Cause.CRIMP_OUT)
    return assembly


def _inspected(world: World, by: User, length_mm: Decimal, **changes: object) -> Assembly:
    assembly = bench.plan_and_cut(world, **changes)
    for end in End:
        bench.tool_up(world, assembly, end)
        bench.measure(world, bench.crimp(world, assembly, end, actor=by))
    bench.look_over(world, assembly, finished_length_mm=length_mm, actor=another_inspector())
    return assembly


def another_inspector() -> User:
    return User.objects.get_or_create(
        number=77, defaults={"username": "nora", "name": "Nora Lind", "roles": ["inspector"]}
    )[0]


TROUBLES: dict[Wrong, Callable[[World, User], Assembly]] = {
    Wrong.NOTHING: lambda world, by: _crimped(world, by, bench.GOOD),
    Wrong.HELD: lambda world, by: _crimped(world, by, HELD),
    Wrong.IN_QUESTION: in_question,
    Wrong.TOO_LARGE: lambda world, by: _crimped(world, by, TOO_LARGE),
    Wrong.TOO_SMALL: lambda world, by: _crimped(world, by, TOO_SMALL),
    Wrong.AGAIN: crimped_again,
    Wrong.AS_FAILED: treated_as_failed,
    Wrong.NOT_RIGHT: not_right,
    Wrong.WENT_TOO_HIGH: went_too_high,
    Wrong.TEST_FAILED: failed_its_test,
    Wrong.GONE: scrapped,
}


def measure_more(world: World, person: User, assembly: Assembly) -> None:
    crimp = assembly.crimps.order_by("entry").last()
    assert crimp is not None
    measure_crimp(actor=person, crimp=crimp, readings_mm=bench.mm(*bench.GOOD))


def inspect_again(world: World, person: User, assembly: Assembly) -> None:
    bench.look_over(world, assembly, actor=person, finished_length_mm=AS_LONG)


def let_pass(world: World, person: User, assembly: Assembly) -> None:
    concede(
        actor=person,
        assembly=assembly,
        agreed_by="the foreman",
        paper="letter of 3 March",
        reason="It is clamped.",
    )


def cut_off(world: World, person: User, assembly: Assembly) -> None:
    end = End.A if what_is_wrong(standing_of(assembly)) is Wrong.NOT_RIGHT else None
    refit_end(actor=person, assembly=assembly, end=end, cut_off_mm=Decimal(30), cause=Cause.NOT_HOME)


def deciding(kind: DecisionKind, cause: Cause) -> Callable[[World, User, Assembly], None]:
    def act(world: World, person: User, assembly: Assembly) -> None:
        decide(actor=person, assembly=assembly, kind=kind, cause=cause)

    return act


ACTS: dict[str, Callable[[World, User, Assembly], None]] = {
    "measure": measure_more,
    "as failed": deciding(DecisionKind.TREAT_AS_FAILED, Cause.DOUBT),
    "again": deciding(DecisionKind.CRIMP_AGAIN, Cause.SET_UP),
    "refit": cut_off,
    "inspect": inspect_again,
    "concede": let_pass,
    "scrap": deciding(DecisionKind.SCRAP, Cause.LOST),
}
OFFERED = {
    "as failed": Remedy.TREAT_AS_FAILED,
    "again": Remedy.CRIMP_AGAIN,
    "refit": Remedy.REFIT,
    "concede": Remedy.CONCEDE,
    "scrap": Remedy.SCRAP,
}
WORDS = {
    "not_allowed": "-",
    "needs_second_person": "2nd",
    "not_the_next_step": "step",
    "nothing_to_decide": "none",
    "crimp_again_refused": "again",
}
OTHERS = ("counter", "auditor", "bench", "inspector", "owner")  # while the bench has crimped it
# The last two columns: an inspector who has crimped it, where a second person is asked for and where not.
TABLE = """
                    counter auditor bench inspector owner | own  alone

NOTHING        measure    -   -     step  step  step      | step  step
               as failed  -   -     none  none  none      | none  none
               again      -   -     -     none  none      | none  none
               refit      -   -     -     none  none      | none  none
               inspect    -   -     -     step  step      | step  step
               concede    -   -     -     none  none      | none  none
               scrap      -   -     yes   yes   yes       | yes   yes

HELD           measure    -   -     yes   yes   yes       | yes   yes
               as failed  -   -     yes   yes   yes       | yes   yes
               again      -   -     -     none  none      | none  none
               refit      -   -     -     none  none      | none  none
               inspect    -   -     -     step  step      | step  step
               concede    -   -     -     none  none      | none  none
               scrap      -   -     yes   yes   yes       | yes   yes

IN_QUESTION    measure    -   -     yes   yes   yes       | yes   yes
               as failed  -   -     yes   yes   yes       | yes   yes
               again      -   -     -     none  none      | none  none
               refit      -   -     -     none  none      | none  none
               inspect    -   -     -     step  step      | step  step
               concede    -   -     -     none  none      | none  none
               scrap      -   -     yes   yes   yes       | yes   yes

TOO_LARGE      measure    -   -     step  step  step      | step  step
               as failed  -   -     none  none  none      | none  none
               again      -   -     -     yes   yes       | 2nd   alone
               refit      -   -     -     yes   yes       | 2nd   alone
               inspect    -   -     -     step  step      | step  step
               concede    -   -     -     none  none      | none  none
               scrap      -   -     yes   yes   yes       | yes   yes

TOO_SMALL      measure    -   -     step  step  step      | step  step
               as failed  -   -     none  none  none      | none  none
               again      -   -     -     again again     | again again
               refit      -   -     -     yes   yes       | 2nd   alone
               inspect    -   -     -     step  step      | step  step
               concede    -   -     -     none  none      | none  none
               scrap      -   -     yes   yes   yes       | yes   yes

AGAIN          measure    -   -     step  step  step      | step  step
               as failed  -   -     none  none  none      | none  none
               again      -   -     -     again again     | again again
               refit      -   -     -     yes   yes       | 2nd   alone
               inspect    -   -     -     step  step      | step  step
               concede    -   -     -     none  none      | none  none
               scrap      -   -     yes   yes   yes       | yes   yes

AS_FAILED      measure    -   -     step  step  step      | step  step
               as failed  -   -     none  none  none      | none  none
               again      -   -     -     again again     | again again
               refit      -   -     -     yes   yes       | 2nd   alone
               inspect    -   -     -     step  step      | step  step
               concede    -   -     -     none  none      | none  none
               scrap      -   -     yes   yes   yes       | yes   yes

NOT_RIGHT      measure    -   -     step  step  step      | step  step
               as failed  -   -     none  none  none      | none  none
               again      -   -     -     none  none      | none  none
               refit      -   -     -     yes   yes       | 2nd   alone
               inspect    -   -     -     yes   yes       | 2nd   alone
               concede    -   -     -     yes   yes       | 2nd   alone
               scrap      -   -     yes   yes   yes       | yes   yes

WENT_TOO_HIGH  measure    -   -     step  step  step      | step  step
               as failed  -   -     none  none  none      | none  none
               again      -   -     -     none  none      | none  none
               refit      -   -     -     none  none      | none  none
               inspect    -   -     -     yes   yes       | 2nd   alone
               concede    -   -     -     none  none      | none  none
               scrap      -   -     yes   yes   yes       | yes   yes

TEST_FAILED    measure    -   -     step  step  step      | step  step
               as failed  -   -     none  none  none      | none  none
               again      -   -     -     none  none      | none  none
               refit      -   -     -     none  none      | none  none
               inspect    -   -     -     step  step      | step  step
               concede    -   -     -     none  none      | none  none
               scrap      -   -     yes   yes   yes       | yes   yes

GONE           measure    -   -     step  step  step      | step  step
               as failed  -   -     none  none  none      | none  none
               again      -   -     -     none  none      | none  none
               refit      -   -     -     none  none      | none  none
               inspect    -   -     -     step  step      | step  step
               concede    -   -     -     none  none      | none  none
               scrap      -   -     none  none  none      | none  none
"""


@dataclass(frozen=True)
class Expected:
    """One row: what comes of the act, for the others in order, for an own crimp, and for one alone."""

    others: tuple[str, ...]
    own: str
    alone: str


def expected() -> dict[Wrong, dict[str, Expected]]:
    """The table as it is written above."""
    rows: dict[Wrong, dict[str, Expected]] = {}
    block: dict[str, Expected] = {}
    for line in TABLE.splitlines():
        if "|" not in line or "auditor" in line:
            continue
        left, right = line.split("|")
        if name := left[:15].strip():
            block = rows[Wrong[name]] = {}
        words = left[15:].replace("as failed", "as_failed").split()
        own, alone = right.split()
        block[words[0].replace("_", " ")] = Expected(tuple(words[1:]), own, alone)
    return rows


EXPECTED = expected()


def comes_of(act: str, world: World, person: User, assembly: Assembly) -> str:
    """Try the act and take it back; in the words of the table. What the page offers has to agree."""
    found = "yes"
    offers = {one.remedy: one.refusal for one in reversed(offers_for(person, assembly))}
    try:
        with transaction.atomic():
            ACTS[act](world, person, Assembly.objects.get(pk=assembly.pk))
            if not independently_checked(assembly):
                found = "alone"
            transaction.set_rollback(True)
    except Refusal as refusal:
        found = WORDS.get(refusal.code, refusal.code)
    if act in OFFERED:
        is_offered = OFFERED[act] in offers and offers[OFFERED[act]] is None
        assert is_offered is (found in ("yes", "alone")), f"the page says something else: {act}"
    return found


def make(world: World, wrong: Wrong, by: User) -> Assembly:
    """An assembly with that trouble, crimped by that person."""
    assembly = TROUBLES[wrong](world, by)
    assembly.refresh_from_db()
    assert what_is_wrong(standing_of(assembly)) is wrong
    return assembly


def begin(world: World, wrong: Wrong, **policy: object) -> None:
    """The policy of the table; only one that guards its limits holds anything."""
    rule = {"decision_rule": "guarded_u"} if wrong in (Wrong.HELD, Wrong.AS_FAILED) else {}
    bench.choose(world, measured_every=9, **rule, **policy)
    bench.allow_crimping_again(world)


def test_the_table_has_each_trouble_and_each_act() -> None:
    assert set(EXPECTED) == set(TROUBLES) == set(Wrong)
    assert all(list(rows) == list(ACTS) for rows in EXPECTED.values())
    assert set(OFFERED.values()) == set(Remedy)


@pytest.mark.parametrize("wrong", Wrong, ids=lambda wrong: wrong.name)
def test_who_may_do_what_about_it(world: World, wrong: Wrong) -> None:
    begin(world, wrong)
    assembly = make(world, wrong, world.bench)
    people = [getattr(world, name) for name in OTHERS]
    found = {act: tuple(comes_of(act, world, person, assembly) for person in people) for act in ACTS}
    assert found == {act: row.others for act, row in EXPECTED[wrong].items()}


@pytest.mark.parametrize("is_alone", [False, True], ids=["with a second person", "one-person workshop"])
@pytest.mark.parametrize("wrong", Wrong, ids=lambda wrong: wrong.name)
def test_what_becomes_of_own_work(world: World, wrong: Wrong, is_alone: bool) -> None:
    begin(world, wrong, needs_second_person=not is_alone)
    assembly = make(world, wrong, world.inspector)
    found = {act: comes_of(act, world, world.inspector, assembly) for act in ACTS}
    assert found == {act: row.alone if is_alone else row.own for act, row in EXPECTED[wrong].items()}


def test_under_plain_acceptance_nothing_is_held(world: World) -> None:
    assembly = _crimped(world, world.bench, HELD)
    assert what_is_wrong(standing_of(assembly)) is Wrong.NOTHING
