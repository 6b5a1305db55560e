"""The benchmark tells the truth about steps that were lost or recorded twice."""

from pathlib import Path

import pytest

from shop.assemblies.models import Submission
from shop.demo.load.benches import Bench, Visitor
from shop.demo.load.ledger import Pace, read_and_hash
from shop.demo.load.running import lost_and_doubled, slowest_from
from shop.demo.load.work import Sending, Shift
from tests.assemblies.bench import cut, plan, tool_up
from tests.ledger.databases import database_url
from tests.ledger.processes import environment_of, manage
from tests.world import World

CUT, SET_UP = Sending("", {}, "assemblies.cut"), Sending("", {}, "assemblies.set_up")
NONCE = "7f6d3f9c-8a5b-4c59-9a0e-1c3f52b3a111"


@pytest.fixture
def worked(world: World) -> Bench:
    """A bench that was told that one cut was recorded, which it was."""
    cut(world, plan(world))
    Submission.objects.create(nonce=NONCE, person=world.bench, step="cut", subject="A", payload_hash="")
    shift = Shift(world.bench, (CUT, SET_UP))
    return Bench(shift, Visitor("127.0.0.1", 1), taken=[CUT], nonces=[NONCE])


def test_what_was_acknowledged_and_is_there_once_is_neither_lost_nor_doubled(worked: Bench) -> None:
    assert lost_and_doubled([worked]) == (0, 0)


def test_a_step_that_was_acknowledged_but_is_not_there_is_lost(worked: Bench) -> None:
    worked.taken.append(SET_UP)
    assert lost_and_doubled([worked]) == (1, 0)


def test_a_step_that_is_there_once_too_often_is_doubled(worked: Bench, world: World) -> None:
    cut(world, plan(world))
    assert lost_and_doubled([worked]) == (0, 1)


def test_a_step_that_nobody_was_told_of_is_doubled_too(worked: Bench, world: World) -> None:
    assembly = plan(world)
    cut(world, assembly, actor=world.inspector)
    tool_up(world, assembly)
    assert lost_and_doubled([worked]) == (0, 1)


def test_a_form_that_left_no_trace_is_lost(worked: Bench) -> None:
    Submission.objects.all().delete()
    assert lost_and_doubled([worked]) == (1, 0)


@pytest.mark.parametrize(("share", "from_s"), [(0.5, 6.0), (0.1, 10.0), (0.2, 9.0), (0.0, 10.0)])
def test_the_slowest_tenth_begins_with_its_fastest(share: float, from_s: float) -> None:
    assert slowest_from([10.0, *map(float, range(1, 10))], share) == from_s


@pytest.mark.django_db(transaction=True)
def test_benches_record_each_step_once_while_strangers_look_on(tmp_path: Path, data_folder: Path) -> None:
    with database_url(tmp_path, empty=True) as database:
        environment = environment_of(database, data_folder)
        few = ("--seconds", "3", "--idle", "1", "--benches", "2", "--passers", "1")
        done = manage(environment, "benchmark", "bench", *few, "--database", database)
        assert done.returncode == 0, done.stdout + done.stderr
        assert "lost 0, recorded twice 0, refused 0" in done.stdout
        again = manage(environment, "benchmark", "bench", *few, "--database", database)
        assert again.returncode == 1
        assert "There is a workshop in that database." in again.stderr


@pytest.mark.django_db(transaction=True)
def test_a_ledger_is_checked_beside_a_plain_loop(tmp_path: Path) -> None:
    with database_url(tmp_path, empty=True) as url:
        done = manage(
            environment_of(url, tmp_path), "benchmark", "ledger", "--entries", "900", "--database", url
        )
    assert "memory at the most: " in done.stdout, done.stderr
    assert "a plain loop that reads and hashes the same rows takes" in done.stdout


def test_the_share_of_the_speed_is_by_the_time_that_each_takes() -> None:
    assert Pace(entries=10, checking_s=4.0, looping_s=3.0).share == 0.75


def test_a_plain_loop_reads_every_row(world: World) -> None:
    before = read_and_hash()
    assert read_and_hash() == before
    cut(world, plan(world))
    assert read_and_hash() != before
