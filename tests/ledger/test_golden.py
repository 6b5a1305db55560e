"""Entries of old versions are checked for ever by the list of columns of their day.

`golden/fields.json` holds each list as it was first written. A list that is there never changes; a new
version, kind or verb is added to the file by hand, and by that act becomes final.
"""

import json
from pathlib import Path
from typing import Any

import pytest

from shop.ledger.registry import all_verbs
from shop.ledger.triggers import record_models
from tests.ledger.testapp.models import Loss, Wear

GOLDEN = Path(__file__).parent / "golden" / "fields.json"
OF_THE_TESTS = {Loss, Wear}


def described() -> dict[str, Any]:
    return {
        model.KIND: {
            "verbs": sorted(verb.name for verb in all_verbs() if verb.record is model),
            "versions": {str(version): list(names) for version, names in sorted(model.FIELDS.items())},
        }
        for model in record_models()
        if model not in OF_THE_TESTS
    }


def differences(now: dict[str, Any], golden: dict[str, Any]) -> list[str]:
    """What was final and has changed, and what isn't in the file yet, as sentences."""
    found = []
    for kind in sorted(now.keys() | golden.keys()):
        if kind not in now:
            found.append(f"The record {kind} is gone: its entries can't be checked any more.")
            continue
        if kind not in golden:
            found.append(f"The record {kind} is new: add it to {GOLDEN.name}: {json.dumps(now[kind])}")
            continue
        versions, final = now[kind]["versions"], golden[kind]["versions"]
        for version in sorted(versions.keys() | final.keys()):
            if version not in final:
                found.append(f"Version {version} of {kind} is new: add it to {GOLDEN.name}.")
            elif versions.get(version) != final[version]:
                found.append(f"Version {version} of {kind} is final and was changed.")
        if now[kind]["verbs"] != golden[kind]["verbs"]:
            found.append(f"The verbs of {kind} are {now[kind]['verbs']}, not {golden[kind]['verbs']}.")
    return found


def test_no_list_of_columns_that_was_ever_written_has_changed() -> None:
    assert differences(described(), json.loads(GOLDEN.read_text())) == []


@pytest.mark.parametrize(
    ("now", "sentence"),
    [
        ({}, "is gone"),
        (
            {"cut": {"verbs": ["cut"], "versions": {"1": ["a", "b"]}}},
            "Version 1 of cut is final and was changed",
        ),
        ({"cut": {"verbs": ["cut"], "versions": {"1": ["a"], "2": ["a", "b"]}}}, "Version 2 of cut is new"),
        ({"cut": {"verbs": ["saw"], "versions": {"1": ["a"]}}}, "The verbs of cut"),
    ],
)
def test_each_kind_of_change_is_found(now: dict[str, Any], sentence: str) -> None:
    golden = {"cut": {"verbs": ["cut"], "versions": {"1": ["a"]}}}
    assert [found for found in differences(now, golden) if sentence in found]
    assert differences(golden, golden) == []
