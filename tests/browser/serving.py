"""The workshop's own server in a process of its own, as a bench reaches it."""

import socket
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from subprocess import STDOUT, Popen

from tests.ledger.processes import ROOT, environment_of

PATIENCE_S = 180  # to build an empty workshop on a busy machine


@contextmanager
def served(database: str, data_folder: Path, log: Path) -> Iterator[str]:
    """The address at which `manage.py serve` shows that database; what it complains of is in the log.

    A process and not a thread of the test: two taps then meet on two connections, as they do at work.
    """
    environment = environment_of(database, data_folder)
    with _free_port() as port:
        command = [sys.executable, "manage.py", "serve", "--listen", f"127.0.0.1:{port}"]
        with log.open("w") as said:
            server = Popen(command, cwd=ROOT, env=environment, stdout=said, stderr=STDOUT)
        try:
            _wait(server, port, log)
            yield f"http://127.0.0.1:{port}"
        finally:
            server.terminate()
            server.wait()
    assert "Traceback" not in log.read_text(), log.read_text()


@contextmanager
def _free_port() -> Iterator[int]:
    """A port that nobody else is given meanwhile: it is bound here too, as a server may share it."""
    with socket.socket() as place:
        place.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        place.bind(("127.0.0.1", 0))
        yield place.getsockname()[1]


def _wait(server: "Popen[bytes]", port: int, log: Path) -> None:
    end = time.monotonic() + PATIENCE_S
    while time.monotonic() < end and server.poll() is None:
        with socket.socket() as knock:
            if knock.connect_ex(("127.0.0.1", port)) == 0:
                return
        time.sleep(0.1)
    raise AssertionError(f"The server did not start: {log.read_text()}")
