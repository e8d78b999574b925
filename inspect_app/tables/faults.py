"""Reads the files of checklists/ and gathers every fault in them; knows nothing of cylinders.

A fault names the file, the key, what was found and how to mend it. Reading goes on after a fault,
so that a shop sees all of them at once instead of one per start.
"""

from __future__ import annotations

import csv
import difflib
import tomllib
from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong in one file: where, and a sentence with what was found and what is allowed."""

    file: str
    key: str
    sentence: str

    def __str__(self) -> str:
        return f"{self.file}: {self.key}: {self.sentence}"


class TableError(ValueError):
    """The files of checklists/ cannot be used; `faults` lists every reason."""

    def __init__(self, faults: list[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(str(fault) for fault in faults))


MOST_NAMED = 12


def allowed_words(found: str, allowed: Collection[str]) -> str:
    """What may stand instead of a name nobody knows: every allowed name, or of many the most alike.

    Args:
        found: the name that was found.
        allowed: the names that are known.

    >>> allowed_words("boer", ["rod", "bore"])
    "found 'boer'; allowed are bore, rod."
    """
    names = sorted(allowed)
    if len(names) <= MOST_NAMED:
        return f"found {found!r}; allowed are {', '.join(names) or 'none'}."
    alike = difflib.get_close_matches(found, names, n=3, cutoff=0.4) or names[:3]
    return f"found {found!r}; allowed are {len(names)} names, the most alike {', '.join(alike)}."


@dataclass
class Reader:
    """A folder of data files being read, with the faults met on the way."""

    folder: Path
    faults: list[Fault] = field(default_factory=list)
    noted: int = 0

    def fault(self, file: str, key: str, sentence: str) -> None:
        """Note one fault, once however many cylinders have what is wrong; reading goes on."""
        self.noted += 1
        if (fault := Fault(file, key, sentence)) not in self.faults:
            self.faults.append(fault)

    def raise_faults(self) -> None:
        """Refuse the folder if anything was wrong in it.

        Raises:
            TableError: with every fault noted so far.
        """
        if self.faults:
            raise TableError(self.faults)

    def toml(self, file: str) -> dict[str, Any]:
        """The content of one TOML file, given relative to the folder; {} and a fault if it cannot be read."""
        try:
            with open(self.folder / file, "rb") as f:
                return tomllib.load(f)
        except FileNotFoundError:
            self.fault(file, "file", "is missing; restore it from the checklists that came with the program.")
        except (tomllib.TOMLDecodeError, UnicodeDecodeError) as e:
            self.fault(file, "file", f"is not valid TOML ({e}); correct that line.")
        return {}

    def blocks(self, file: str, content: dict[str, Any], key: str) -> list[dict[str, Any]]:
        """The [[key]] blocks of a TOML file's content; a fault where they are headed otherwise.

        Args:
            file: the file, for the fault.
            content: what stands in it.
            key: the name of the blocks.
        """
        blocks = content.get(key, [])
        if isinstance(blocks, list) and all(isinstance(b, dict) for b in blocks):
            return blocks
        self.fault(file, key, f"must be blocks headed [[{key}]], with two brackets.")
        return []

    def known_keys(self, file: str, content: dict[str, Any], *keys: str) -> None:
        """Note a fault for every key at the head of a file that nobody reads: a limit lost by a typing slip.

        Args:
            file: the file, for the fault.
            content: what stands in it.
            keys: the keys that are read.
        """
        for key in sorted(content.keys() - {*keys}):
            self.fault(file, key, f"is not read; the file may have {', '.join(keys)}.")

    def csv(self, file: str, columns: dict[str, Callable[[str], Any]]) -> Iterator[dict[str, Any]]:
        """The rows of one CSV file, each cell turned by its column's function.

        Args:
            file: path relative to the folder; lines starting with # are comments.
            columns: column head (with its unit, e.g. ``width_mm``) to a function of the cell's text
                that returns the value or raises ValueError with a short sentence. All are required.
        Yields: one dict per sound row; a row with a fault is left out and noted.
        """
        try:
            text = (self.folder / file).read_text(encoding="utf-8")
        except FileNotFoundError:
            self.fault(file, "file", "is missing; restore it from the checklists that came with the program.")
            return
        lines = [
            (n, line) for n, line in enumerate(text.splitlines(), 1) if line and not line.startswith("#")
        ]
        rows = csv.DictReader(line for _, line in lines)
        missing = [c for c in columns if c not in (rows.fieldnames or ())]
        if missing:
            self.fault(file, "column heads", f"lack {', '.join(missing)}; add the column.")
            return
        for (n, _), row in zip(lines[1:], rows, strict=False):
            values: dict[str, Any] = {}
            for column, turn in columns.items():
                cell = (row[column] or "").strip()
                try:
                    values[column] = turn(cell)
                except (ValueError, ArithmeticError) as e:
                    self.fault(file, f"line {n}, {column}", f"found {cell!r}: {e}.")
                    break
            else:
                yield values
