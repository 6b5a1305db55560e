"""Threads of this process write to SQLite one after the other, in the order in which they came.

Left to itself, SQLite has who can't write try again and again after pauses. Whoever comes along in between
is served first, so of many benches some would wait for seconds. Other processes wait as SQLite does.
"""

from collections import defaultdict
from typing import Any

from django.db.backends.sqlite3 import base
from django.db.utils import OperationalError

from shop.core.turns import Turns

_turns: defaultdict[str, Turns] = defaultdict(Turns)


class DatabaseWrapper(base.DatabaseWrapper):
    """A connection that has its turn from the beginning of a transaction to its end."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._has_turn = False

    def set_autocommit(
        self, autocommit: bool, force_begin_transaction_with_broken_autocommit: bool = False
    ) -> None:
        """Without it a transaction begins, as Django's `atomic` does that. Raises `OperationalError`."""
        begins = not autocommit and not self._has_turn
        if begins:
            self._take_turn()
        try:
            super().set_autocommit(autocommit, force_begin_transaction_with_broken_autocommit)
            begins = False
        finally:
            if begins:  # and could not
                self._end_turn()

    def commit(self) -> None:
        super().commit()
        self._end_turn()  # what can't be committed is rolled back

    def rollback(self) -> None:
        try:
            super().rollback()
        finally:
            self._end_turn()

    def close(self) -> None:
        try:
            super().close()
        finally:
            self._end_turn()

    @property
    def _turns(self) -> Turns:
        return _turns[str(self.settings_dict["NAME"])]

    def _take_turn(self) -> None:
        within_s: float = self.settings_dict["OPTIONS"].get("timeout", 5)
        if not self._turns.take(within_s):
            raise OperationalError("database is locked: another thread has been writing for too long")
        self._has_turn = True

    def _end_turn(self) -> None:
        if self._has_turn:
            self._has_turn = False
            self._turns.give()
