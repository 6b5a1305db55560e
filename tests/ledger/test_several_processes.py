"""Several benches write at once, and one of them dies."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from shop.people.models import User
from tests.ledger.databases import database_url
from tests.ledger.drawer import keep
from tests.ledger.processes import Environment, environment_of, finish, go, manage, start

pytestmark = pytest.mark.django_db(transaction=True)

MARKS = ("T1", "T2", "T3", "T4")


@pytest.fixture
def environment(bench: User, data_folder: Path, tmp_path: Path) -> Iterator[Environment]:
    """A workshop with a tool for each of four benches."""
    for mark in MARKS:
        keep(bench, mark)
    with database_url(tmp_path) as url:
        yield environment_of(url, data_folder)


def test_four_benches_write_at_once_without_a_gap_or_a_loss(environment: Environment) -> None:
    benches = [start(environment, mark, 25) for mark in MARKS]
    for bench in benches:
        go(bench)
    said = [number for bench in benches for number in finish(bench)]
    assert sorted(said) == list(range(5, 105)), "numbers 1 to 4 are of the tools"
    assert "Right: 104 entries" in manage(environment, "check_ledger").stdout


def test_a_bench_killed_inside_a_transaction_loses_nothing_that_it_acknowledged(
    environment: Environment,
) -> None:
    bench = start(environment, "T1", 5, "pause")
    go(bench)
    assert bench.stdout is not None
    said = [bench.stdout.readline().strip() for _ in range(6)]
    bench.kill()
    bench.communicate()
    assert said == ["5", "6", "7", "8", "9", "inside"]
    assert "Right: 9 entries" in manage(environment, "check_ledger").stdout
    other = start(environment, "T2", 1)
    go(other)
    assert finish(other) == [10]
    assert "Right: 10 entries" in manage(environment, "check_ledger").stdout
