"""Whatever the order of events at the bench, nothing gets past an open question and every crimp is proven."""

from collections.abc import Callable, Sequence
from decimal import Decimal

import pytest
from django.db import transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shop.assemblies.consistency import standings_that_disagree
from shop.assemblies.inspection import concede
from shop.assemblies.making import (
    correct_measurement,
    crimp_end,
    cut_hose,
    decide,
    measure_crimp,
    refit_end,
    set_up,
)
from shop.assemblies.making.setting_up import arrangement_points
from shop.assemblies.models import (
    Assembly,
    Cause,
    Coverage,
    Crimp,
    DecisionKind,
    End,
    Sampling,
    SetUp,
    State,
    Trouble,
)
from shop.assemblies.planning import start_line
from shop.assemblies.points import At
from shop.assemblies.release import make_tag, release
from shop.assemblies.standing import left_as_said, newest_measurement
from shop.core.refusals import Refusal
from shop.engineering.crimp import Outcome
from shop.people.models import User
from tests.assemblies import bench
from tests.world import World

pytestmark = pytest.mark.django_db

PIECES = 4
EIGHT_METRES = {"overall_length": Decimal(8000), "overall_typed": "8 m"}  # an end may be cut off
READINGS = {"good": "24.20", "held": "24.38", "large": "24.45", "small": "23.90"}
Act = Callable[["Bench", Assembly, End, str], object]


class Bench:
    """Four equal hoses and two people who do whatever comes into their heads, as far as they are let."""

    def __init__(self, world: World) -> None:
        self.world = world
        bench.choose(world, measured_every=3, decision_rule="guarded_u", needs_second_person=False)
        bench.allow_crimping_again(world)
        self.pieces = start_line(
            actor=world.counter, line=world.written_line(quantity=PIECES, **EIGHT_METRES)
        )
        self.of_another_run = bench.plan_and_cut(world)

    @property
    def actor(self) -> User:
        return self.world.owner

    def cut(self, piece: Assembly, end: End, reading: str) -> None:
        cut_hose(actor=self.actor, assembly=piece, piece=self.world.reel, seen=bench.TICKED[At.CUT])

    def set_up(self, piece: Assembly, end: End, reading: str) -> None:
        w = self.world
        set_up(
            actor=w.bench if reading == "small" else self.actor,
            assembly=piece,
            end=end,
            crimper=w.crimper,
            die_set=w.die_set,
            stop_part=w.stop_part,
            stop_setting="",
            gauge=w.caliper,
            seen=arrangement_points(w.arrangement),
        )

    def share_the_press(self, piece: Assembly, end: End, reading: str) -> None:
        """Somebody else sets it up for another run."""
        bench.tool_up(self.world, self.of_another_run)

    def crimp(self, piece: Assembly, end: End, reading: str) -> None:
        w = self.world
        crimp_end(
            actor=w.bench if reading == "small" else self.actor,
            assembly=piece,
            end=end,
            fitting_lot=w.fitting_lot,
            ferrule_lot=w.ferrule_lot,
            seen=bench.TICKED[At.CRIMP],
        )

    def measure(self, piece: Assembly, end: End, reading: str) -> None:
        """Where the run wants it; what is between is only measured for a doubt."""
        crimp = Crimp.objects.filter(assembly=piece, end=end).last()
        if crimp is not None and (crimp.sampling != Sampling.BETWEEN or reading != "good"):
            measure_crimp(actor=self.actor, crimp=crimp, readings_mm=[Decimal(READINGS[reading])] * 4)

    def correct(self, piece: Assembly, end: End, reading: str) -> None:
        crimp = Crimp.objects.filter(assembly=piece, end=end).last()
        newest = crimp and newest_measurement(crimp)
        if newest is not None:
            readings = [Decimal(READINGS[reading])] * 4
            correct_measurement(actor=self.actor, measurement=newest, readings_mm=readings)

    def decide(self, piece: Assembly, end: End, reading: str) -> None:
        kind = {
            "large": DecisionKind.CRIMP_AGAIN,
            "held": DecisionKind.TREAT_AS_FAILED,
            "small": DecisionKind.SCRAP,
        }.get(reading)
        if kind is not None:
            decide(actor=self.actor, assembly=piece, kind=kind, reason="For a reason.")

    def refit(self, piece: Assembly, end: End, reading: str) -> None:
        """Mostly set up for it, crimped and measured at once."""
        named = end if piece.state == State.CRIMPED_B else None
        refit_end(actor=self.actor, assembly=piece, end=named, cut_off_mm=Decimal(30), cause=Cause.CRIMP_OUT)
        if reading != "good":
            self.set_up(piece, end, reading)
            self.crimp(piece, end, reading)
            self.measure(piece, end, "good")

    def concede(self, piece: Assembly, end: End, reading: str) -> None:
        """Inspected too long, and let pass: an open question at an end must not go with it."""
        bench.look_over(self.world, piece, actor=self.actor, finished_length_mm=Decimal(8125))
        concede(actor=self.actor, assembly=piece, agreed_by="foreman", paper="letter", reason="It fits.")

    def finish(self, piece: Assembly, end: End, reading: str) -> None:
        if piece.state == State.CRIMPED_B:
            bench.look_over(self.world, piece, actor=self.actor, finished_length_mm=Decimal(8002))
        make_tag(actor=self.actor, assembly=piece)
        release(actor=self.actor, assembly=piece, scanned=piece.code)


ACTS: dict[str, Act] = {
    "cut": Bench.cut,
    "set up": Bench.set_up,
    "share the press": Bench.share_the_press,
    "crimp": Bench.crimp,
    "measure": Bench.measure,
    "correct": Bench.correct,
    "decide": Bench.decide,
    "refit": Bench.refit,
    "concede": Bench.concede,
    "finish": Bench.finish,
}
# What is done about an end that isn't right, and how: nothing, a refit, a second stroke.
PUT_RIGHT = [((), "good"), (("decide", "refit"), "held"), (("decide", "crimp", "measure"), "large")]
# Mostly the road as it is meant, so that something comes of it, with anything at all in between.
anything = st.tuples(
    st.sampled_from(sorted(set(ACTS) - {"share the press"})),
    st.integers(0, PIECES - 1),
    st.sampled_from(End),
    st.sampled_from(sorted(READINGS)),
)


@st.composite
def days(draw: st.DrawFn) -> list[tuple[str, int, End, str]]:
    """A day at the bench: a piece after the other, step by step, with slips and second thoughts."""
    acts: list[tuple[str, int, End, str]] = [("cut", piece, End.A, "good") for piece in range(PIECES)]
    for end in End:
        acts.append(("set up", 0, end, "good"))
        for piece in range(PIECES):
            if draw(st.integers(0, 5)) == 0:
                acts += [(name, piece, end, "good") for name in ("share the press", "crimp", "set up")]
            reading = draw(st.sampled_from(["good", "good", "good", *READINGS]))
            acts += [("crimp", piece, end, "good"), ("measure", piece, end, reading)]
            if reading != "good":
                again, then = draw(st.sampled_from(PUT_RIGHT))
                acts += [(name, piece, end, then) for name in again]
            acts += draw(st.lists(anything, max_size=2))
    acts += [("finish", piece, End.B, "good") for piece in range(PIECES)]
    return acts + draw(st.lists(anything, max_size=3))


def work_through(world: World, acts: Sequence[tuple[str, int, End, str]]) -> None:
    """Try each act; what is refused is not done."""
    work = Bench(world)
    for name, piece, end, reading in acts:
        try:
            with transaction.atomic():
                ACTS[name](work, Assembly.objects.get(pk=work.pieces[piece].pk), end, reading)
        except Refusal:
            continue


def test_a_day_without_slips_releases_every_piece_and_covers_one_at_each_end(world: World) -> None:
    acts: list[tuple[str, int, End, str]] = [("cut", piece, End.A, "good") for piece in range(PIECES)]
    for end in End:
        acts.append(("set up", 0, end, "good"))
        acts += [(name, piece, end, "good") for piece in range(PIECES) for name in ("crimp", "measure")]
    work_through(world, [*acts, *(("finish", piece, End.B, "good") for piece in range(PIECES))])
    assert set(Assembly.objects.order_by("pk").values_list("state", flat=True)[:PIECES]) == {State.RELEASED}
    assert Coverage.objects.filter(covered=True).count() == len(End)


@settings(max_examples=15, suppress_health_check=list(HealthCheck))
@given(acts=days())
def test_no_assembly_is_released_with_an_open_question_and_each_crimp_is_proven(
    world: World, acts: list[tuple[str, int, End, str]]
) -> None:
    with transaction.atomic():
        work_through(world, acts)
        for piece in Assembly.objects.filter(state=State.RELEASED):
            assert piece.trouble == Trouble.NONE
            for end in End:
                assert is_measured_if_anew(piece, end)
                assert is_proven(Crimp.objects.filter(assembly=piece, end=end).latest("entry"))
        for crimp in Crimp.objects.all():
            assert press_was_as_set_up(crimp)
        assert list(standings_that_disagree()) == []
        released = Assembly.objects.filter(state=State.RELEASED)
        assert set(Assembly.objects.filter(left_as_said())) == set(released)
        transaction.set_rollback(True)


def press_was_as_set_up(crimp: Crimp) -> bool:
    """Whether nobody else had set the press up, with the same tools, between its set-up and the stroke."""
    between = SetUp.objects.filter(entry__gt=crimp.set_up_id, entry__lt=crimp.pk)
    return {each.actor_number for each in between} <= {crimp.set_up.actor_number}


def is_measured_if_anew(piece: Assembly, end: End) -> bool:
    """Whether the crimp that holds the end, if it is not the first one there, passed by its own readings."""
    *before, newest = Crimp.objects.filter(assembly=piece, end=end).order_by("entry")
    own = newest_measurement(newest)
    return not before or (own is not None and own.outcome == Outcome.PASS)


def is_proven(crimp: Crimp) -> bool:
    """Whether it passed by its own readings, or stands between two of its set-up that passed."""
    own = newest_measurement(crimp)
    if own is not None:
        return own.outcome == Outcome.PASS
    on_set_up = [
        (other.pk, newest.outcome)
        for other in Crimp.objects.filter(set_up=crimp.set_up_id, end=crimp.end)
        if (newest := newest_measurement(other)) is not None
    ]
    before = [outcome for pk, outcome in on_set_up if pk < crimp.pk]
    after = [outcome for pk, outcome in on_set_up if pk > crimp.pk]
    return before[-1:] == after[:1] == [Outcome.PASS]
