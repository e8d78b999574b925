"""Each computation gives what it declares: its own examples are run, and what comes back is read to its depth."""

from __future__ import annotations

import doctest
import functools
import importlib
import inspect
import pkgutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from types import ModuleType
from typing import Any, get_type_hints

import pytest
from declared import fits, not_as_declared
from spelling import wrongly_written

from inspect_app import trade
from inspect_app.trade.measuring.refusal import Refusal


@dataclass(frozen=True, slots=True)
class Held:
    length: float
    marks: tuple[str, ...]
    least: int | None


@pytest.mark.parametrize(
    ("held", "wrong"),
    [
        (Held(1, ("a",), None), 0),
        (Held(None, ("a",), 1), 1),  # type: ignore[arg-type]
        (Held(1.5, ("a", None), 2), 1),  # type: ignore[arg-type]
        (Held(1.5, (), "2"), 1),  # type: ignore[arg-type]
    ],
)
def test_what_a_field_must_not_hold_is_found_at_any_depth(held: Held, wrong: int) -> None:
    assert len(list(not_as_declared({"all": [held]}))) == wrong


def calls(module: ModuleType) -> Iterator[tuple[str, object, Any]]:
    """What each call in the module's examples gave: of which function, what, and what it declares to give."""
    given: list[tuple[str, object, Any]] = []

    def kept(function: Callable[..., object]) -> Callable[..., object]:
        declared = get_type_hints(function)["return"]

        @functools.wraps(function)
        def call(*args: object, **named: object) -> object:
            result = function(*args, **named)
            given.append((function.__name__, result, declared))
            return result

        return call

    own = {
        name: function
        for name, function in vars(module).items()
        if inspect.isfunction(function)
        and function.__module__ == module.__name__
        and f"{name}(" in (function.__doc__ or "")
    }
    for function in own.values():
        known = vars(module) | {name: kept(f) for name, f in own.items()}
        for example in doctest.DocTestParser().get_examples(function.__doc__ or ""):
            try:
                exec(example.source, known)
            except Refusal:
                continue
    yield from given


MODULES = [m.name for m in pkgutil.walk_packages(trade.__path__, "inspect_app.trade.") if not m.ispkg]


@pytest.mark.parametrize("name", MODULES)
def test_what_an_example_gives_is_what_its_function_declares(name: str) -> None:
    for function, result, declared in calls(importlib.import_module(name)):
        assert fits(result, declared), f"{function} gives {result!r}, not {declared}"
        assert not list(not_as_declared(result)), function
        assert not wrongly_written(result), function
