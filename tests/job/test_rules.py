"""A limit's rule and its source, said in the reader's units: everything shipped, and each kind of rule."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal

import pytest
from log import Log, sound

from inspect_app.entries.job import Survey
from inspect_app.job.judge import in_force, limits_for
from inspect_app.job.rules import kind_of, rule_sentence
from inspect_app.job.words import limit_sentence, source_words
from inspect_app.report.limit_list import limit_lines, unconfirmed_lines
from inspect_app.tables.cylinders import Check
from inspect_app.tables.limits import Limit, rule_from
from inspect_app.tables.sources import sentence_of

D = Decimal
FOREIGN = {
    "inch": re.compile(r"\b(mm|mm/m|µm|MPa|millimet\w+)\b|\d bar\b"),
    "metric": re.compile(r"\b(thou|µin|psi|in/ft)\b|\d in\b"),
}
"""A figure's unit; inch is also what a tube or a bar is called, and a bar is also a piece of steel."""


def foreign(text: str, system: str) -> list[str]:
    return [found[0] for found in FOREIGN[system].finditer(text)]


def every_limit(log: Log) -> Iterator[tuple[Limit, Check, str]]:
    """Every limit with its check and the checklist that has it."""
    for cylinder in log.tables.cylinders.values():
        for check in cylinder.checks:
            for limit in log.tables.limits_of.get(check.id, ()):
                yield limit, check, cylinder.id


@pytest.mark.parametrize("system", ["metric", "inch"])
@pytest.mark.parametrize("known", ["all of it", "nothing"])
def test_no_limit_that_is_shipped_is_said_in_the_other_system_of_units(system: str, known: str) -> None:
    log = sound() if known == "all of it" else Log()
    survey: Survey = log.survey()
    numbers, told = 0, []
    for limit, check, cylinder in every_limit(log):
        found = in_force(limit, check, replace(survey, cylinder=cylinder), log.tables)
        numbers += not found.missing
        said = f"{limit_sentence(found, kind_of(limit, check)).words(system)} {source_words(found, system)}"
        told += [(limit.id, said)] if foreign(said, system) else []
    assert told == []
    # so that not all of them merely say what is missing
    assert numbers > (100 if known == "all of it" else 50)


@pytest.mark.parametrize("system", ["metric", "inch"])
def test_the_list_of_limits_and_of_what_is_unconfirmed_has_one_system_of_units(system: str) -> None:
    tables = Log().tables
    lines = [*limit_lines(tables, system=system, width=400)]
    cited = {limit.source.key for limit in tables.limits}
    lines += [str(tables.sources[key].note.words(system)) for key in cited]
    assert [line for line in lines if foreign(line, system)] == []
    assert any(tables.sources["rod-bend-replace"].title.words(system) in line for line in lines)
    assert len([*unconfirmed_lines(tables, (), 400, system)]) > 50


def test_a_foreign_unit_would_be_found() -> None:
    assert foreign("at most 0.5 mm", "inch") == ["mm"]
    assert foreign("at most 0.02 in", "metric") == ["2 in"]
    assert foreign("Inch honed tube, new bar", "metric") == foreign("Inch honed tube, new bar", "inch") == []


@pytest.mark.parametrize(
    ("rule", "nominal", "metric", "inch"),
    [
        # by hand: 25.4 mm an inch; 1 mm/m is 12 thousandths on 12 inches, 0.012 in/ft
        ({"at_most": 12.7}, "", "at most 12.7 mm", "at most 0.5 in"),
        ({"at_least": 0.254}, "", "at least 0.254 mm", "at least 0.01 in"),
        ({"within": [2.54, 5.08]}, "", "2.54 to 5.08 mm", "0.1 to 0.2 in"),
        (
            {"within": [-0.254, 0.508], "from": "nominal"}, "",
            "nominal -0.254 mm to +0.508 mm", "nominal -0.01 in to +0.02 in",
        ),
        (
            {"per_length": 0.5, "of": "support_span"}, "",
            "at most 0.5 mm/m of the support distance", "at most 0.006 in/ft of the support distance",
        ),
        ({"fit": "f7"}, "", "f7", "f7"),
        ({"fit": "f8", "side": "lower"}, "63.5", "f8 of 63.5 mm, lower limit only", "f8 of 2.5 in, lower limit only"),
        (
            {"fit": "H9", "lower": -0.0254}, "101.6",
            "H9 of 101.6 mm, but down to nominal -0.0254 mm", "H9 of 4 in, but down to nominal -0.001 in",
        ),
        ({"grade_share": [7, 0.5]}, "", "at most 0.5 of IT7 of nominal", "at most 0.5 of IT7 of nominal"),
        ({"grade_share": [8, 1]}, "63.5", "at most IT8 of 63.5 mm", "at most IT8 of 2.5 in"),
        (
            {"share_of_nominal": 0.01, "least": 0.254, "most": 1.016}, "50.8",
            "at most 1 % of 50.8 mm, but 0.254 to 1.016 mm", "at most 1 % of 2 in, but 0.01 to 0.04 in",
        ),
        (
            {"by_size": [[101.6, 0.0508], [1270, 0.1016]]}, "",
            "to Ø 101.6 mm: 0.0508 mm; to Ø 1270 mm: 0.102 mm", "to Ø 4 in: 0.002 in; to Ø 50 in: 0.004 in",
        ),
        # with the nominal size known, the row that holds it
        ({"by_size": [[101.6, 0.0508], [1270, 0.127]]}, "102", "to Ø 1270 mm: 0.127 mm", "to Ø 50 in: 0.005 in"),
        (
            {"housing": "width", "wear": 0.127}, "",
            "the standard housing, width, 0.127 mm beyond where it wears",
            "the standard housing, width, 0.005 in beyond where it wears",
        ),
        (
            {"size_after": "rod-diameter", "side": "lower", "clean_up": 0.0508}, "",
            "so that rod diameter stays within its lower rework limit when twice the depth and 0.0508 mm to clean up "
            "is taken out",
            "so that rod diameter stays within its lower rework limit when twice the depth and 0.002 in to clean up "
            "is taken out",
        ),
    ],
)  # fmt: skip
def test_a_rule_is_said_in_the_readers_units(
    rule: dict[str, object], nominal: str, metric: str, inch: str
) -> None:
    said = rule_sentence(rule_from(rule), "deviation", Log().tables, D(nominal) if nominal else None)
    assert (said.words("metric"), said.words("inch")) == (metric, inch)


def test_chrome_is_said_in_thousandths_and_roughness_in_microinches() -> None:
    log = sound()
    for check_id, characteristic, inch in (
        ("rod-chrome", "least", "thou"),
        ("rod-roughness", "roughness", "µin"),
    ):
        check = log.check(check_id).check
        limit = limits_for(check, characteristic, log.survey(), log.tables)["reuse"]
        assert inch in source_words(limit, "inch")


def test_a_drawings_number_is_said_as_it_was_typed() -> None:
    log = Log(rod="63")
    log.drawing("rod-diameter", "size", lower="62.9", upper="63")
    check = log.check("rod-diameter").check
    found = limits_for(check, "size", log.survey(), log.tables)["reuse"]
    assert source_words(found, "inch") == f"drawing limit: {log.survey().limits[0].source}"


@pytest.mark.parametrize(
    ("text", "metric", "inch"),
    [
        ("up to {12.7 mm} long", "up to 12.7 mm long", "up to 0.5 in long"),
        ("a {0.10 mm} gap", "a 0.1 mm gap", "a 0.0039 in gap"),
        ("by {0.001 in}", "by 0.0254 mm", "by 0.001 in"),
        ("{2.54 to 5.08 mm} of play", "2.54 to 5.08 mm of play", "0.1 to 0.2 in of play"),
        ("bent by {1 mm/m}", "bent by 1 mm/m", "bent by 0.012 in/ft"),
        ("{25.4 µm} of chrome", "25.4 µm of chrome", "1 thou of chrome"),
        ("at most {Ra 0.508 µm}", "at most Ra 0.508 µm", "at most Ra 20 µin"),
        ("no quantity, 5 of 7", "no quantity, 5 of 7", "no quantity, 5 of 7"),
    ],
)
def test_a_sources_quantities_are_said_in_the_readers_units(text: str, metric: str, inch: str) -> None:
    said = sentence_of(text)
    assert (said.words("metric"), said.words("inch")) == (metric, inch)


@pytest.mark.parametrize("text", ["{0,5 mm}", "{5 furlongs}", "{Ra 5 mm}", "{mm}", "a {5 mm} and a {", "}{"])
def test_braces_around_no_quantity_are_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"brace"):
        sentence_of(text)
