"""Benches and commands in processes of their own."""

import os
import sys
from pathlib import Path
from subprocess import PIPE, CompletedProcess, Popen, run

ROOT = Path(__file__).parents[2]
Environment = dict[str, str]


def environment_of(url: str, data_folder: Path) -> Environment:
    """The environment of a process that works on this workshop."""
    return {
        **os.environ,
        "DATABASE_URL": url,
        "FERRULEBOOK_DATA": str(data_folder),
        "DJANGO_SETTINGS_MODULE": "tests.settings",
    }


def start(environment: Environment, mark: str, count: int, *more: str) -> "Popen[str]":
    """A bench that is ready and waits for a line."""
    command = [sys.executable, "-m", "tests.ledger.writer", mark, str(count), *more]
    bench = Popen(command, cwd=ROOT, env=environment, stdin=PIPE, stdout=PIPE, text=True)
    assert bench.stdout is not None
    assert bench.stdout.readline() == "ready\n"
    return bench


def go(bench: "Popen[str]") -> None:
    assert bench.stdin is not None
    bench.stdin.write("go\n")
    bench.stdin.flush()


def finish(bench: "Popen[str]") -> list[int]:
    """The numbers that the bench acknowledged."""
    said, _ = bench.communicate()
    assert bench.returncode == 0
    return [int(number) for number in said.split()]


def write(environment: Environment, mark: str, count: int) -> list[int]:
    """Let a bench look so many times at a tool that nobody has looked at yet."""
    bench = start(environment, mark, count)
    go(bench)
    return finish(bench)


def manage(environment: Environment, *arguments: str) -> "CompletedProcess[str]":
    """Run `manage.py`."""
    command = [sys.executable, "manage.py", *arguments]
    return run(command, cwd=ROOT, env=environment, capture_output=True, text=True)
