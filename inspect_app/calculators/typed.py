"""What stands typed for one calculator at the bench, key by key; every change is a new value, no screen in it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from inspect_app.calculators.answer import Answer, compute
from inspect_app.calculators.asking import missing_keys
from inspect_app.calculators.measures import MEASURES, unit_of
from inspect_app.calculators.shape import Calculator, Key
from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.measuring.refusal import Refusal

BETWEEN = "; "
LONGEST = 24
UNFINISHED = ".,/+-"
"""A number that ends so is still being typed."""


@dataclass(frozen=True, slots=True)
class Entry:
    """Texts by key, the key being filled ("" for none), and which keys are read metric or inch.

    A key keeps the system it was typed in: `systems` has it from the first digit on.
    """

    calculator: Calculator
    active: str
    typed: Mapping[str, str] = field(default_factory=dict)
    systems: Mapping[str, str] = field(default_factory=dict)

    @property
    def key(self) -> Key | None:
        """The key being filled."""
        return self.calculator.key(self.active)

    @property
    def numeric(self) -> bool:
        """Whether the key being filled takes digits."""
        return self.key is not None and self.key.kind in MEASURES

    def unit(self, key: Key, system: str) -> str:
        """The unit a bare number of a key is read in; "" for words.

        Args:
            key: the key.
            system: of the session.
        """
        if key.kind not in MEASURES:
            return ""
        return unit_of(key.kind, self.systems.get(key.name, system))

    def item(self, name: str) -> tuple[str, str]:
        """Of a list the items already entered and the one being typed; of a number nothing and itself.

        Args:
            name: the key.
        """
        before, _, item = self.typed.get(name, "").rpartition(BETWEEN)
        return before, item

    def write(self, name: str, text: str, system: str) -> Entry:
        """The entry with another text for a key; what it is an alternative to is taken away.

        Args:
            name: the key.
            text: the whole text.
            system: of the session, kept for a key that was empty.
        """
        others = {n for names in self.calculator.either if name in names for n in names if n != name}
        typed = {n: v for n, v in self.typed.items() if n not in others} | {name: text}
        return replace(self, typed=typed, systems={name: system} | dict(self.systems))

    def press(self, pressed: str, system: str) -> Entry:
        """The entry after one key of the keypad.

        Args:
            pressed: a character, ``⌫``, ``±`` or ``⏎``.
            system: of the session.
        """
        if self.key is None:
            return self
        name = self.active
        before, item = self.item(name)
        head = before + BETWEEN if before else ""
        if pressed == "⏎":
            if self.key.many and item:
                return self.write(name, head + item + BETWEEN, system)
            return self.onward()
        if pressed == "⌫" and head and not item:
            return self.write(name, before, system)
        return self.write(name, head + _after(item, pressed), system)

    def onward(self) -> Entry:
        """The entry with the next key that is needed and not given, from the active one on and round."""
        first = {names.split(" or ")[0] for names in missing_keys(self.calculator, self.finished())}
        names = [key.name for key in self.calculator.keys]
        at = names.index(self.active) + 1 if self.active in names else 0
        return replace(self, active=next((n for n in names[at:] + names[:at] if n in first), ""))

    def finish(self, name: str, text: str, system: str) -> Entry:
        """The entry with a key filled to the end; onward, unless another key was turned to meanwhile.

        Args:
            name: the key.
            text: the whole text.
            system: of the session.
        """
        written = self.write(name, text, system)
        return written.onward() if self.active == name else written

    def turned_to(self, name: str) -> Entry:
        """The entry with another key to fill.

        Args:
            name: the key, "" for none.
        """
        return replace(self, active=name)

    def switched(self, name: str, system: str) -> Entry:
        """The entry with one key read in the other system of units.

        Args:
            name: the key.
            system: of the session.
        """
        other = "metric" if self.systems.get(name, system) == "inch" else "inch"
        return replace(self, systems=dict(self.systems) | {name: other})

    def finished(self) -> dict[str, str]:
        """What was typed to the end, by key."""
        texts = {name: text.rstrip(BETWEEN) for name, text in self.typed.items()}
        return {name: text for name, text in texts.items() if text and text[-1] not in UNFINISHED}

    def answer(self, system: str, handbook: Handbook) -> tuple[Answer | None, str]:
        """The answer, or None and a sentence that says what is wrong; "" where something is still missing.

        Args:
            system: of the session.
            handbook: the tables.
        """
        typed = self.finished()
        if missing_keys(self.calculator, typed):
            return None, ""
        try:
            systems = {"": system, **self.systems}
            return compute(self.calculator, typed, systems=systems, handbook=handbook), ""
        except Refusal as refusal:
            said = refusal.words(system)
            name, colon, rest = said.partition(": ")
            key = self.calculator.key(name) if colon else None
            return None, f"{key.title}: {rest}" if key else said

    def missing(self) -> tuple[str, ...]:
        """The titles of what is still needed."""
        names = " or ".join(missing_keys(self.calculator, self.finished())).split(" or ")
        return tuple(key.title for key in self.calculator.keys if key.name in names)


def begun(calculator: Calculator) -> Entry:
    """An empty entry at the first key.

    Args:
        calculator: whose keys.
    """
    return Entry(calculator, calculator.keys[0].name)


def _after(typed: str, pressed: str) -> str:
    if pressed == "⌫":
        return typed[:-1]
    if pressed == "±":
        return typed[1:] if typed.startswith("-") else f"-{typed}"
    return (typed + pressed)[:LONGEST] if len(pressed) == 1 else typed
