"""Foreign keys go down the layers, as imports do: import-linter can't see them."""

import tomllib
from pathlib import Path

import pytest
from django.apps import apps
from django.db.models import ForeignObject, Model

ROOT = Path(__file__).resolve().parent.parent.parent
CONTRACTS = tomllib.loads((ROOT / "pyproject.toml").read_text())["tool"]["importlinter"]["contracts"]
LAYERS = next(c["layers"] for c in CONTRACTS if c["type"] == "layers")
HEIGHT = {
    name.strip(): len(LAYERS) - depth for depth, layer in enumerate(LAYERS) for name in layer.split("|")
}


def _app(model: type[Model]) -> str:
    return model.__module__.split(".")[1]


KEYS = [
    (model, field)
    for model in apps.get_models(include_auto_created=True)
    if model.__module__.startswith("shop.")
    for field in model._meta.get_fields()
    if isinstance(field, ForeignObject)
]


@pytest.mark.parametrize(("model", "field"), KEYS, ids=[f"{m.__name__}.{f.name}" for m, f in KEYS])
def test_the_foreign_key_does_not_go_up(model: type[Model], field: ForeignObject) -> None:  # type: ignore[type-arg]
    target = field.related_model
    assert _app(target) == _app(model) or HEIGHT[_app(target)] < HEIGHT[_app(model)]


@pytest.mark.parametrize(("model", "field"), KEYS, ids=[f"{m.__name__}.{f.name}" for m, f in KEYS])
def test_nothing_traced_is_deleted_along_with_something_else(
    model: type[Model],
    field: ForeignObject,  # type: ignore[type-arg]
) -> None:
    # What is typed into a chart or an arrangement is a part of it until it is issued or used.
    owned = {"ChartLine.chart", "ArrangementPart.arrangement"}
    if f"{model.__name__}.{field.name}" in owned or model._meta.auto_created:
        return
    assert field.remote_field.on_delete.__name__ == "PROTECT"
