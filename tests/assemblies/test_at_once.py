"""Two benches at one reel, and a bench that dies between steps: nothing lost, nothing twice."""

import json
import os
import sys
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from subprocess import PIPE, Popen, run
from typing import Any
from uuid import uuid4

import pytest

from shop.assemblies.models import State
from shop.assemblies.planning import start_line
from shop.stock.models import Lot
from shop.stock.services import receive_hose
from tests.ledger.databases import database_url
from tests.world import World

pytestmark = pytest.mark.django_db(transaction=True)

ROOT = Path(__file__).parents[2]
CUT_LENGTH = 880  # of each of the world's assemblies, in mm
ON_THE_REEL = 3000


class Shopfloor:
    """A workshop in a database that several processes work on: four assemblies and a short reel."""

    def __init__(self, environment: dict[str, str], reel: str) -> None:
        self.environment = environment
        self.reel = reel

    def start(self, *jobs: str) -> "Popen[str]":
        """A bench that is ready and waits for a line."""
        command = [sys.executable, "-m", "tests.assemblies.worker", self.reel, *jobs]
        bench = Popen(command, cwd=ROOT, env=self.environment, stdin=PIPE, stdout=PIPE, text=True)
        assert bench.stdout is not None
        assert bench.stdout.readline() == "ready\n"
        return bench

    def work(self, *of_each: list[str]) -> list[list[str]]:
        """What each bench said, all of them working at the same time."""
        benches = [self.start(*jobs) for jobs in of_each]
        for bench in benches:
            go(bench)
        return [bench.communicate()[0].split() for bench in benches]

    def books(self) -> dict[str, Any]:
        command = [sys.executable, "-m", "tests.assemblies.worker", self.reel, "report"]
        done = run(command, cwd=ROOT, env=self.environment, capture_output=True, text=True, check=True)
        books: dict[str, Any] = json.loads(done.stdout)
        return books

    def ledger_is_right(self) -> bool:
        command = [sys.executable, "manage.py", "check_ledger"]
        return run(command, cwd=ROOT, env=self.environment, capture_output=True).returncode == 0


def go(bench: "Popen[str]") -> None:
    assert bench.stdin is not None
    bench.stdin.write("go\n")
    bench.stdin.flush()


def die_inside(bench: "Popen[str]") -> None:
    """Let the bench come to its last cut, and kill it before that is committed."""
    go(bench)
    assert bench.stdout is not None
    assert bench.stdout.readline() == "inside\n"
    bench.kill()
    bench.communicate()


@pytest.fixture
def floor(world: World, data_folder: Path, tmp_path: Path) -> Iterator[Shopfloor]:
    start_line(actor=world.counter, line=world.written_line(quantity=4))
    [reel] = receive_hose(
        actor=world.bench,
        lot=Lot(hose=world.hose, batch="T-772", made_printed=world.reel.lot.made_printed),
        lengths_mm=[Decimal(ON_THE_REEL)],
    )
    with database_url(tmp_path) as url:
        environment = {
            **os.environ,
            "DATABASE_URL": url,
            "FERRULEBOOK_DATA": str(data_folder),
            "DJANGO_SETTINGS_MODULE": "tests.settings",
        }
        yield Shopfloor(environment, reel.code)


def test_two_benches_cut_from_one_reel_until_it_is_used_up(floor: Shopfloor) -> None:
    first, second = floor.work(["1", "2"], ["3", "4"])
    assert sorted([*first, *second]) == ["cut", "cut", "cut", "not_enough_left"]
    books = floor.books()
    assert books["left"] == str(ON_THE_REEL - 3 * CUT_LENGTH)
    assert books["movements"] == [1, 2, 3, 4], "received, and three cuts"
    assert sorted(books["states"]) == [State.CUT] * 3 + [State.PLANNED]
    assert books["wrong"] == []
    assert floor.ledger_is_right()


def test_two_benches_that_cut_the_same_assembly_take_its_hose_once(floor: Shopfloor) -> None:
    said = floor.work(["1"], ["1"])
    assert sorted(said) == [["cut"], ["not_the_next_step"]]
    books = floor.books()
    assert (books["cuts"], books["left"]) == (1, str(ON_THE_REEL - CUT_LENGTH))
    assert floor.ledger_is_right()


def test_one_form_sent_by_two_taps_at_once_is_carried_out_once(floor: Shopfloor) -> None:
    nonce = uuid4()
    said = floor.work([f"1:{nonce}"], [f"1:{nonce}"])
    assert sorted(said) == [["again"], ["cut"]]
    assert floor.books()["cuts"] == 1


def test_a_bench_killed_before_the_commit_has_cut_nothing_and_the_form_is_sent_again(
    floor: Shopfloor,
) -> None:
    nonce = uuid4()
    die_inside(floor.start(f"1:{nonce}", "pause"))
    books = floor.books()
    assert (books["cuts"], books["left"], books["states"][0]) == (0, str(ON_THE_REEL), State.PLANNED)
    assert floor.ledger_is_right()
    assert floor.work([f"1:{nonce}"]) == [["cut"]]
    assert floor.books()["left"] == str(ON_THE_REEL - CUT_LENGTH)


def test_a_bench_killed_after_the_commit_has_cut_and_the_form_sent_again_cuts_nothing(
    floor: Shopfloor,
) -> None:
    nonce = uuid4()
    bench = floor.start(f"1:{nonce}", "2", "pause")
    go(bench)
    assert bench.stdout is not None
    assert [bench.stdout.readline().strip() for _ in range(2)] == ["cut", "inside"]
    bench.kill()
    bench.communicate()
    assert floor.work([f"1:{nonce}"]) == [["again"]]
    books = floor.books()
    assert (books["cuts"], books["left"]) == (1, str(ON_THE_REEL - CUT_LENGTH))
    assert books["states"][:2] == [State.CUT, State.PLANNED]
    assert books["wrong"] == []
    assert floor.ledger_is_right()
