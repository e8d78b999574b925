"""Whether a result holds what its types declare: for tests that read everything a result holds at once."""

from __future__ import annotations

import functools
import types
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints


def not_as_declared(result: object, seen: set[int] | None = None) -> Iterator[str]:
    """Every field, at any depth, that holds something else than its class says of it."""
    seen = set() if seen is None else seen
    if id(result) in seen or isinstance(result, str):
        return
    seen.add(id(result))
    inside: list[object] = []
    if isinstance(result, Mapping):
        inside = [*result, *result.values()]
    elif isinstance(result, tuple | list | set | frozenset) and not hasattr(result, "_fields"):
        inside = [*result]
    elif (is_dataclass(result) or isinstance(result, tuple)) and not isinstance(result, type):
        for name, declared in _declared(type(result)).items():
            held = getattr(result, name)
            inside.append(held)
            if not fits(held, declared):
                yield f"{type(result).__name__}.{name} holds {held!r}, not {declared}"
    for each in inside:
        yield from not_as_declared(each, seen)


@functools.cache
def _declared(made: type) -> dict[str, Any]:
    hints = get_type_hints(made)
    names = made._fields if issubclass(made, tuple) else [f.name for f in fields(made)]  # type: ignore[attr-defined]
    return {name: hints[name] for name in names}


def fits(held: object, declared: Any) -> bool:
    """Whether a value is one of what was declared; what is told apart by its methods alone is only not None."""
    kind, of = get_origin(declared), get_args(declared)
    if kind in (Union, types.UnionType):
        return any(fits(held, each) for each in of)
    if kind is Literal:
        return held in of
    if declared is None or declared is type(None):
        return held is None
    if kind is tuple and isinstance(held, tuple):
        if of[-1:] == (...,):
            return all(fits(each, of[0]) for each in held)
        return len(held) == len(of) and all(map(fits, held, of))
    if isinstance(held, Mapping) and len(of) == 2:
        return all(fits(k, of[0]) and fits(v, of[1]) for k, v in held.items())
    if declared is float:
        return isinstance(held, int | float)
    plain = kind or declared
    if not isinstance(plain, type) or getattr(plain, "_is_protocol", False):
        return held is not None
    return isinstance(held, plain)
