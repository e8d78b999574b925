"""An answer of a calculator as lines of text or as data; computes nothing."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from inspect_app.calculators.answer import Answer
from inspect_app.calculators.measures import MEASURES, show_measure, unit_of
from inspect_app.calculators.shape import Calculator, Key, Result, Value
from inspect_app.tables.sources import STATUSES, Source
from inspect_app.trade.measuring.refusal import Sentence


def list_lines(calculators: tuple[Calculator, ...]) -> Iterator[str]:
    """Every calculator by topic, a line each."""
    widest = max(len(calculator.name) for calculator in calculators)
    topic = ""
    for calculator in calculators:
        if calculator.topic != topic:
            topic = calculator.topic
            yield f"{topic}:"
        yield f"  {calculator.name:<{widest}}  {calculator.title}"


def answer_lines(answer: Answer, system: str) -> Iterator[str]:
    """The answer for a terminal: what came out, from what, by which formula and source, where it holds."""
    yield f"{answer.calculator.title}"
    widest = max((len(result.title) for result in answer.results), default=0)
    for result in answer.results:
        text = result_text(result, system)
        yield f"  {result.title:<{widest}}  {text}" if result.title else f"  {text}"
    yield "Given: " + "; ".join(
        f"{one.key.name} {one.typed}{' (assumed)' if one.assumed else ''}" for one in answer.given
    )
    yield f"Formula: {answer.calculator.formula}"
    for source in answer.sources:
        yield f"Source: {source_words(source, system)}"
    if not answer.sources:
        yield "Source: plain geometry or arithmetic."
    for sentence in answer.valid:
        yield f"Valid: {sentence}"
    for caution in answer.cautions:
        yield f"Caution: {caution.sentence}"


def list_data(calculators: tuple[Calculator, ...]) -> list[dict[str, Any]]:
    """Every calculator with its keys as plain data."""
    return [
        {
            "calculator": calculator.name,
            "topic": calculator.topic,
            "title": calculator.title,
            "needs": list(calculator.needed()),
            "keys": {key.name: _key(key) for key in calculator.keys},
            "example": dict(calculator.example),
        }
        for calculator in calculators
    ]


def _key(key: Key) -> dict[str, Any]:
    unit = {"unit": MEASURES[key.kind].metric_unit} if key.kind in MEASURES else {}
    return {"title": key.title, "kind": key.kind, "list": key.many, "default": key.default, **unit}


def as_data(answer: Answer, system: str) -> dict[str, Any]:
    """The answer as plain data, numbers in canonical units and as they are shown."""
    return {
        "calculator": answer.calculator.name,
        "title": answer.calculator.title,
        "given": {
            one.key.name: {"typed": one.typed, "assumed": one.assumed, **_value(one.key, one.value)}
            for one in answer.given
        },
        "results": [_result(result, system) for result in answer.results],
        "formula": answer.calculator.formula,
        "sources": [
            {
                "key": source.key,
                "title": source.title.words(system),
                "where": source.where.words(system),
                "status": STATUSES[source.status],
                "confirmed": source.confirmed,
            }
            for source in answer.sources
        ],
        "valid": list(answer.valid),
        "cautions": [caution.sentence for caution in answer.cautions],
    }


def result_text(result: Result, system: str) -> str:
    """A result's value with its unit."""
    if isinstance(result.value, Sentence):
        return result.value.words(system)
    if isinstance(result.value, str):
        return result.value
    number, unit = show_measure(result.value, measure=result.kind, system=system)
    return number + unit if unit in ("", "°") else f"{number} {unit}"


def source_words(source: Source, system: str) -> str:
    """A source in a line: title, place in it, and how sure we are of it."""
    return f"{source.cited.words(system)} ({STATUSES[source.status]})"


def _value(key: Key, value: Value) -> dict[str, Any]:
    if isinstance(value, str):
        return {"value": value}
    numbers = [float(v) for v in value] if isinstance(value, tuple) else float(value)
    return {"value": numbers, "unit": MEASURES[key.kind].canonical_unit}


def _result(result: Result, system: str) -> dict[str, Any]:
    named = {"name": result.name, "title": result.title}
    if isinstance(result.value, str | Sentence):
        return {**named, "value": result_text(result, system)}
    exact = isinstance(result.value, Decimal | float)
    return {
        **named,
        "value": float(result.value) if exact else result.value,
        "unit": MEASURES[result.kind].canonical_unit,
        "shown": result_text(result, system),
        "shown_unit": unit_of(result.kind, system),
    }
