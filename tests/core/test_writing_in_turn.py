"""Who waited longest is next, and nobody waits for ever."""

import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from django.db.utils import OperationalError

from shop.core.sqlite.base import DatabaseWrapper
from shop.core.turns import Turns

PATIENCE_S = 30.0
Open = Callable[[], DatabaseWrapper]


def wait_for(what: Callable[[], bool]) -> None:
    end = time.monotonic() + PATIENCE_S
    while not what():
        assert time.monotonic() < end, "it never came"
        time.sleep(0.001)


def test_turns_come_in_the_order_in_which_they_were_asked_for() -> None:
    turns, served = Turns(), []
    assert turns.take(PATIENCE_S)

    def wait(number: int) -> None:
        assert turns.take(PATIENCE_S)
        served.append(number)
        turns.give()

    threads = [threading.Thread(target=wait, args=(number,)) for number in range(5)]
    for in_line, thread in enumerate(threads, start=1):
        thread.start()
        wait_for(lambda: len(turns._line) == in_line)  # noqa: B023  # asked before the next begins
    turns.give()
    for thread in threads:
        thread.join()
    assert served == [0, 1, 2, 3, 4]


def test_who_gives_up_waiting_keeps_nobody_behind_from_the_turn() -> None:
    turns = Turns()
    assert turns.take(PATIENCE_S)
    assert not turns.take(0.01)
    turns.give()
    assert turns.take(0.01)


@pytest.fixture
def bench(db: None, tmp_path: Path) -> Iterator[Open]:
    """Connections to one SQLite file, as each thread of the server has one of its own."""
    opened = []

    def connect() -> DatabaseWrapper:
        new = DatabaseWrapper(
            {
                "NAME": str(tmp_path / "book.sqlite3"),
                "OPTIONS": {"transaction_mode": "IMMEDIATE", "timeout": 0.05},
                "AUTOCOMMIT": True,
                "ATOMIC_REQUESTS": False,
                "CONN_MAX_AGE": 0,
                "CONN_HEALTH_CHECKS": False,
                "TIME_ZONE": None,
                "USER": "",
                "PASSWORD": "",
                "HOST": "",
                "PORT": "",
                "TEST": {},
            }
        )
        new.inc_thread_sharing()
        new.ensure_connection()
        opened.append(new)
        return new

    yield connect
    for connection in opened:
        connection.close()


def begin(connection: DatabaseWrapper) -> None:
    connection.set_autocommit(False, force_begin_transaction_with_broken_autocommit=True)


@pytest.mark.parametrize("end", ["commit", "rollback", "close"])
def test_a_transaction_has_the_turn_until_it_ends(bench: Open, end: str) -> None:
    first, second = bench(), bench()
    begin(first)
    with pytest.raises(OperationalError, match="another thread has been writing for too long"):
        begin(second)
    getattr(first, end)()
    begin(second)
    second.rollback()


def test_a_transaction_that_could_not_begin_leaves_the_turn_to_others(bench: Open) -> None:
    first, second = bench(), bench()
    begin(first)
    with pytest.raises(OperationalError):
        begin(first)  # SQLite knows no transaction inside another
    first.rollback()
    begin(second)
    second.rollback()
