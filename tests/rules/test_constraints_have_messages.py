"""Whoever runs into a constraint reads a sentence, not the name of the constraint."""

import pytest
from django.apps import apps
from django.db.models import BaseConstraint

CONSTRAINTS = [
    (model.__name__, constraint)
    for model in apps.get_models()
    if model.__module__.startswith("shop.")
    for constraint in model._meta.constraints
]


@pytest.mark.parametrize(("model", "constraint"), CONSTRAINTS, ids=[c.name for _, c in CONSTRAINTS])
def test_the_constraint_says_what_is_wrong(model: str, constraint: BaseConstraint) -> None:
    sentence = str(constraint.violation_error_message)
    assert sentence != str(BaseConstraint.default_violation_error_message)
    assert sentence.endswith(".")
