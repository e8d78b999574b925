"""No computation takes what is no number: each is called as in its own example, one value after another not finite."""

from __future__ import annotations

import ast
import doctest
import importlib
import inspect
import itertools
import math
import pkgutil
from collections.abc import Callable, Iterator
from types import ModuleType
from typing import Any

from inspect_app import trade
from inspect_app.trade.measuring.refusal import Refusal

NO_QUANTITY = {
    "at_least", "backups", "lobes", "of",  # counts
    "dof",  # endless where the scatter is known
    "low", "high",  # between which a search begins
}  # fmt: skip
"""Arguments that hold another number than a quantity."""


def modules() -> Iterator[ModuleType]:
    """Every module of trade/."""
    for found in pkgutil.walk_packages(trade.__path__, "inspect_app.trade."):
        yield importlib.import_module(found.name)


def own_calls() -> Iterator[tuple[str, ModuleType, list[str], ast.Call, int]]:
    """Every quantity of the examples that call what they explain: name, module, what comes before, call, which."""
    for module in modules():
        for name, function in vars(module).items():
            if (
                not inspect.isfunction(function)
                or function.__module__ != module.__name__
                or name.startswith("_")
            ):
                continue
            before: list[str] = []
            for example in doctest.DocTestParser().get_examples(function.__doc__ or ""):
                calls = [
                    node
                    for node in ast.walk(ast.parse(example.source))
                    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == name
                ]
                for call in calls[:1]:
                    for n, given in enumerate(call.keywords):
                        # a yes or no is an int too
                        number = isinstance(given.value, ast.Constant) and type(given.value.value) in (
                            int,
                            float,
                        )
                        if number and given.arg and given.arg not in NO_QUANTITY:
                            yield f"{name}-{given.arg}", module, list(before), call, n
                before.append(example.source)


def test_what_is_no_number_is_refused() -> None:
    # one test for all: made and reported one by one, in every process, they cost more than they take
    calls, taken = list(own_calls()), []
    for (name, *call), value in itertools.product(calls, (math.nan, math.inf)):
        try:
            called_with(value, *call)
        except Refusal:
            continue
        except Exception as error:
            taken.append(f"{name} {value}: {error!r}")
        else:
            taken.append(f"{name} {value}: taken")
    assert taken == []
    assert len(calls) > 300


def called_with(value: float, module: ModuleType, before: list[str], call: ast.Call, which: int) -> None:
    """Call a function as its example does, but for one argument."""
    known: dict[str, Any] = dict(vars(module))
    for source in before:
        try:
            exec(source, known)
        except Refusal:
            continue
    function: Callable[..., Any] = known[call.func.id]  # type: ignore[attr-defined]
    arguments = {k.arg: eval(ast.unparse(k.value), known) for k in call.keywords if k.arg}
    arguments[str(call.keywords[which].arg)] = value
    function(*(eval(ast.unparse(a), known) for a in call.args), **arguments)
