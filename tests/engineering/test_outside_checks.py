import pkgutil
import subprocess
import sys
from pathlib import Path

import shop.engineering
from tests.engineering.outside import checks

CHECKS = checks()
# They calculate nothing: what can be refused, and in which words.
WITHOUT_FORMULAS = {"errors", "ranges"}


def test_there_are_hundreds_of_outside_checks() -> None:
    assert sum(check.cases for check in CHECKS) >= 300


def test_every_module_that_calculates_is_checked_from_outside() -> None:
    modules = {module.name for module in pkgutil.iter_modules(shop.engineering.__path__)}
    assert modules - WITHOUT_FORMULAS == {check.module for check in CHECKS}


def test_every_outside_check_says_its_source_and_what_makes_it_independent() -> None:
    for check in CHECKS:
        assert len(check.source) > 10, check.test
        assert len(check.independent) > 10, check.test


def test_nothing_recalled_from_memory_counts() -> None:
    assert not [check for check in CHECKS if "memory" in check.source.lower()]


def test_every_outside_check_is_of_a_calculation() -> None:
    assert {check.of.__module__.rpartition(".")[0] for check in CHECKS} == {"shop.engineering"}


def test_the_command_lists_them_with_their_number() -> None:
    listed = subprocess.run(
        [sys.executable, "-m", "tests.engineering.outside"],
        cwd=Path(__file__).parents[2],
        capture_output=True,
        text=True,
        check=True,
    )
    assert listed.stdout.splitlines()[-1] == f"{sum(check.cases for check in CHECKS)} outside checks"
