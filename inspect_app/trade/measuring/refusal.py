"""A sentence whose quantities stand apart from its words, and how a computation says no with one; knows no unit.

Who shows a sentence knows the reader's units and asks for `words(system)`; what made it never does.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Protocol


class Said(Protocol):
    """What may stand in a sentence and is said in the reader's units: an amount, a station, a sentence."""

    def words(self, system: str) -> str:
        """As text; `system` is "metric" or "inch"."""


@dataclass(frozen=True, slots=True)
class Sentence:
    """A template with a {name} for each of its parts; without parts it is the text as it stands.

    Text that somebody typed is a part of its own, so that a brace in it is no name. As a plain text
    (`str`) it is metric.

    >>> Sentence("{what} was not read.", {"what": "The gland end"}).words("inch")
    'The gland end was not read.'
    """

    template: str
    # a mapping has no hash; equal sentences have the same template
    parts: Mapping[str, Said | str] = field(default_factory=dict, hash=False)

    def words(self, system: str) -> str:
        """The sentence in the reader's units; `system` is "metric" or "inch"."""
        if not self.parts:
            return self.template
        said = {name: in_words(part, system) for name, part in self.parts.items()}
        return self.template.format_map(said)

    def __str__(self) -> str:
        return self.words("metric")

    def __bool__(self) -> bool:
        return bool(self.template)


def in_words(part: Said | str, system: str) -> str:
    """A part as text in the reader's units.

    Args:
        part: what is said.
        system: "metric" or "inch".

    >>> in_words("rod", "inch"), in_words(Sentence("the rod"), "inch")
    ('rod', 'the rod')
    """
    return part if isinstance(part, str) else part.words(system)


UNSAID = Sentence("")
"""Where there is nothing to say."""


def joined(parts: Iterable[Said | str], between: str) -> Sentence:
    """Parts one behind the other as one sentence.

    Args:
        parts: what is said.
        between: what stands between two of them.

    >>> str(joined(["rod", "bore"], " and "))
    'rod and bore'
    """
    named = {f"part{number}": part for number, part in enumerate(parts)}
    return Sentence(between.join(f"{{{name}}}" for name in named), named)


class Refusal(ValueError):
    """A value outside what a formula or a table covers, with the sentence to show; `str` of it is metric.

    >>> raise Refusal("{size} is not covered.", size="Ø 3150")
    Traceback (most recent call last):
    inspect_app.trade.measuring.refusal.Refusal: Ø 3150 is not covered.
    """

    def __init__(self, template: str, **parts: Said | str) -> None:
        super().__init__(template)
        self.sentence = Sentence(template, parts)

    def words(self, system: str) -> str:
        """The sentence in the reader's units; `system` is "metric" or "inch"."""
        return self.sentence.words(system)

    def __str__(self) -> str:
        return str(self.sentence)
