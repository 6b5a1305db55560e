"""A step asks the database a fixed number of questions, however long the run and the workshop's book are."""

from collections.abc import Callable

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from shop.assemblies.models import Assembly, End
from shop.assemblies.planning import start_line
from tests.assemblies.bench import GOOD, crimp, cut, measure, tool_up
from tests.web.bench.bench_pages import Tablet
from tests.world import World

# The step and the page that is shown after it, together. Who makes a step dearer looks first whether it asks
# anything twice: each question costs all benches about half a millisecond of the one processor they share.
MOST = {"cut": 92, "crimp": 100, "measure": 85, "inspect": 95, "tag": 100, "release": 100}


class Walk:
    """One piece of a run on the tablet, and how much each step asks."""

    def __init__(self, client: Client, world: World, piece: Assembly) -> None:
        self.client, self.world = client, world
        client.force_login(world.bench)
        self.tablet = Tablet(client, piece)
        self.asked: dict[str, list[int]] = {step: [] for step in MOST}
        self._make()
        client.force_login(world.inspector)
        self._finish(piece)

    def _make(self) -> None:
        self.tablet.scan(self.world.reel.code)
        self._count("cut", self.tablet.tick_all_and_take)
        for _ in End:
            self.tablet.scan(self.world.fitting_lot.code, self.world.ferrule_lot.code)
            self._count("crimp", self.tablet.tick_all_and_take)
            self._count("measure", lambda: self.tablet.read(*GOOD))

    def _finish(self, piece: Assembly) -> None:
        self.tablet.open()
        self.tablet.scan(self.world.tape.code)
        self._count("inspect", lambda: self.tablet.tick_all_and_take(finished_length="931", faults=""))
        self._count("tag", self.tablet.send)
        self._count("release", lambda: self.tablet.send(scan=piece.code))

    def _count(self, step: str, act: Callable[[], object]) -> None:
        with CaptureQueriesContext(connection) as asked:
            act()
        assert self.tablet.page.status_code == 200, self.tablet.text
        self.asked[step].append(len(asked))


@pytest.fixture
def run(world: World) -> list[Assembly]:
    """Seven equal pieces, the first of them crimped and measured at both ends."""
    pieces = list(start_line(actor=world.counter, line=world.written_line(quantity=7)))
    make(world, pieces[0])
    return pieces


def make(world: World, piece: Assembly) -> None:
    cut(world, piece)
    for end in End:
        if piece.serial == 1:
            tool_up(world, piece, end)
        measure(world, crimp(world, piece, end))


def test_late_in_a_run_a_step_asks_as_much_as_early(
    client: Client, world: World, run: list[Assembly]
) -> None:
    early = Walk(client, world, run[1]).asked
    for piece in run[2:5]:
        make(world, piece)
    assert Walk(client, world, run[5]).asked == early


def test_no_step_asks_more_than_it_may(client: Client, world: World, run: list[Assembly]) -> None:
    asked = Walk(client, world, run[1]).asked
    assert {step: counts for step, counts in asked.items() if max(counts) > MOST[step]} == {}
