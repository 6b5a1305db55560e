"""The outside checks of the calculations: comparisons with what is not the program's own.

A check counts if what it compares with was read in a document, was certified by others, or was found by
another route: another library, an integration of a drawn path, another author's formula. A value recalled
from memory doesn't count, nor does arithmetic that repeats the program's. A property that is tried on many
values counts once.

`python -m tests.engineering.outside` lists them, module by module, with the source of each and what makes it
independent; `pytest -m outside` runs them.
"""

import pkgutil
import sys
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from importlib import import_module
from math import prod
from typing import Any

import pytest

import tests.engineering


@dataclass(frozen=True)
class Check:
    """A test, or those cases of it that share a source, that compares `of` with the outside."""

    of: Callable[..., Any]
    source: str
    independent: str
    test: str
    cases: int

    @property
    def module(self) -> str:
        """The module that is checked: `sizes` of `shop.engineering.sizes`."""
        return self.of.__module__.rpartition(".")[2]


def outside(of: Callable[..., Any], *, source: str, independent: str) -> pytest.MarkDecorator:
    """Marks a test, or one case of it, as an outside check of a function or a class."""
    return pytest.mark.outside(of=of, source=source, independent=independent)


def checks() -> list[Check]:
    """Every outside check in this folder, in the order of modules and tests."""
    return [check for name, test in _tests() for check in _of_test(name, test)]


def _tests() -> Iterator[tuple[str, Callable[..., Any]]]:
    for found in pkgutil.iter_modules(tests.engineering.__path__):
        if found.name.startswith("test_"):
            module = import_module(f"{tests.engineering.__name__}.{found.name}")
            for name, value in vars(module).items():
                if name.startswith("test_") and callable(value):
                    yield f"{found.name}::{name}", value


def _of_test(name: str, test: Callable[..., Any]) -> Iterator[Check]:
    marks: list[pytest.Mark] = getattr(test, "pytestmark", [])
    tables = [list(mark.args[1]) for mark in marks if mark.name == "parametrize"]
    if whole := _outside(marks):
        yield Check(test=name, cases=prod(map(len, tables)), **whole[0].kwargs)
        return
    for number, table in enumerate(tables):
        others = prod(len(other) for at, other in enumerate(tables) if at != number)
        for case in table:
            for mark in _outside(getattr(case, "marks", ())):
                yield Check(test=name, cases=others, **mark.kwargs)


def _outside(marks: Iterable[pytest.Mark | pytest.MarkDecorator]) -> list[pytest.Mark]:
    plain = [mark.mark if isinstance(mark, pytest.MarkDecorator) else mark for mark in marks]
    return [mark for mark in plain if mark.name == "outside"]


def listing() -> Iterator[str]:
    """The checks as lines to read, with the number of each module and of all."""
    every = checks()
    for module in sorted({check.module for check in every}):
        of_module = [check for check in every if check.module == module]
        yield f"{module}: {sum(check.cases for check in of_module)}"
        for check in of_module:
            yield f"  {check.cases:3} × {check.of.__qualname__}: {check.source} ({check.independent})"
            yield f"        {check.test}"
    yield f"{sum(check.cases for check in every)} outside checks"


if __name__ == "__main__":
    sys.stdout.writelines(f"{line}\n" for line in listing())
