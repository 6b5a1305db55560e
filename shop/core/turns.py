"""Taking turns: who waited longest is next."""

from collections import deque
from threading import Lock


class Turns:
    """A lock that is handed on in the order in which it was asked for.

    Python's own may be taken by whoever comes along just as it is given back.
    """

    def __init__(self) -> None:
        self._guard = Lock()
        self._is_taken = False
        self._line: deque[Lock] = deque()

    def take(self, within_s: float) -> bool:
        """Wait for one's turn; False if it didn't come within that time."""
        with self._guard:
            if not self._is_taken:
                self._is_taken = True
                return True
            mine = Lock()
            mine.acquire()
            self._line.append(mine)
        if mine.acquire(timeout=within_s):
            return True
        with self._guard:
            if mine in self._line:
                self._line.remove(mine)
                return False
        return True  # it came just now

    def give(self) -> None:
        """Let the next one in."""
        with self._guard:
            if self._line:
                self._line.popleft().release()
            else:
                self._is_taken = False
