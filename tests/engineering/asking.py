"""How the calculations are asked: a right call of each, and which of its arguments are numbers."""

import inspect
import pkgutil
import typing
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, is_dataclass
from decimal import Decimal
from fractions import Fraction
from importlib import import_module
from typing import Any

import shop.engineering

NUMBERS = (Decimal, Fraction, float, int)


@dataclass(frozen=True)
class Call:
    """A call that is right, and what is told of its arguments beyond their names.

    `any_sign` are those that may be negative, `too_low` what is too low for those that may be below zero,
    `units` those whose unit isn't the end of their name, `any_value` those of which every one is right.
    """

    function: Callable[..., Any]
    right: dict[str, Any]
    any_sign: tuple[str, ...] = ()
    too_low: dict[str, Any] = field(default_factory=dict)
    units: dict[str, str] = field(default_factory=dict)
    any_value: tuple[str, ...] = ()


def call(
    function: Callable[..., Any],
    *,
    any_sign: Sequence[str] = (),
    too_low: dict[str, Any] | None = None,
    units: dict[str, str] | None = None,
    any_value: Sequence[str] = (),
    **right: Any,
) -> Call:
    return Call(function, right, tuple(any_sign), too_low or {}, units or {}, tuple(any_value))


def name_of(function: Callable[..., Any]) -> str:
    return f"{function.__module__.rpartition('.')[2]}.{function.__qualname__}"


def kind_of(hint: Any) -> type | None:
    """The kind of number that an annotation has, also among others or in a sequence."""
    if hint in NUMBERS:
        return typing.cast(type, hint)
    arguments = hint if isinstance(hint, list) else typing.get_args(hint)
    return next((kind for each in arguments if (kind := kind_of(each))), None)


def numbers_of(function: Callable[..., Any]) -> dict[str, type]:
    """The arguments of a function or class that are numbers or have some in them, and which kind they are."""
    hints = typing.get_type_hints(function)
    found = {name: kind_of(hints[name]) for name in inspect.signature(function).parameters if name in hints}
    return {name: kind for name, kind in found.items() if kind is not None}


def public_callables() -> Iterator[Callable[..., Any]]:
    """Functions, dataclasses and methods that a reader of the package can call."""
    for found in pkgutil.iter_modules(shop.engineering.__path__):
        module = import_module(f"shop.engineering.{found.name}")
        for name, value in vars(module).items():
            if name.startswith("_") or getattr(value, "__module__", "") != module.__name__:
                continue
            if inspect.isfunction(value):
                yield value
            elif inspect.isclass(value) and not issubclass(value, Exception):
                if is_dataclass(value) or issubclass(value, tuple):
                    yield value
                yield from (
                    method
                    for name, method in vars(value).items()
                    if inspect.isfunction(method) and not name.startswith("_")
                )


def nonsense_for(asked: Call) -> Iterator[tuple[str, Any]]:
    """Each number of the call in turn, and something in its place that it can't be."""
    for name, kind in numbers_of(asked.function).items():
        if name in asked.any_value or name not in asked.right:
            continue
        wrong: list[Any] = []
        if kind in (Decimal, float):
            wrong += [kind("NaN"), kind("Infinity"), kind("-Infinity")]
        if name in asked.too_low:
            wrong.append(asked.too_low[name])
        elif name not in asked.any_sign:
            wrong.append(kind(-1))
        for value in wrong:
            for put in _in_each_place(asked.right[name], value):
                yield name, put


def _in_each_place(right: Any, wrong: Any) -> Iterator[Any]:
    """The wrong number, or the right sequence with it in the place of each number in turn."""
    if not isinstance(right, tuple | list):
        yield wrong
        return
    for place, each in enumerate(right):
        for put in _in_each_place(each, wrong):
            yield type(right)([*right[:place], put, *right[place + 1 :]])
