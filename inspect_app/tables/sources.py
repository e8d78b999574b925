"""Where a figure comes from and how sure we are of it: checklists/sources/, each source once.

A quantity stands in braces in its text and is said in the reader's units: {0.5 mm}, {0.4 to 1 mm}, {Ra 0.4 µm}.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from inspect_app.tables.faults import Reader
from inspect_app.trade.measuring.amounts import Amounts
from inspect_app.trade.measuring.refusal import UNSAID, Said, Sentence, joined
from inspect_app.trade.measuring.units import KINDS as QUANTITIES

STATUSES = {
    "read": "read in the published text",
    "reprint": "read in somebody's reprint, not in the text itself",
    "standard-from-memory": "standard quoted from memory, not yet confirmed",
    "common-practice": "common practice, no source",
    "from-memory": "from memory, not yet confirmed",
}
KINDS = (
    "standard",
    "handbook",
    "textbook",
    "government manual",
    "trade guide",
    "supplier data",
    "shop policy",
    "definition",
    "physics",
)


ROUGHNESS = ("Ra", "Rmax")
UNITS = {"mm": "length", "in": "length", "mm/m": "slope", "bar": "pressure", "psi": "pressure"}
"""The units a quantity in a source's text may have, and the kind each is; µm is a thickness, behind Ra a roughness."""

_NUMBER = r"\d+(?:\.\d+)?"
_BRACED = re.compile(r"\{([^{}]*)\}")
_QUANTITY = re.compile(
    rf"(?:(?P<rough>{'|'.join(ROUGHNESS)}) )?(?P<first>{_NUMBER})(?: to (?P<last>{_NUMBER}))? (?P<unit>\S+)"
)


@dataclass(frozen=True, slots=True)
class Source:
    """One source: `title` with edition, `where` in it, `status` of STATUSES, `kind` of KINDS."""

    key: str
    title: Sentence
    where: Sentence
    status: str
    kind: str
    note: Sentence = UNSAID

    @property
    def cited(self) -> Sentence:
        """Title and where in it."""
        return joined((self.title, self.where), ", ") if self.where else self.title

    @property
    def sentence(self) -> Sentence:
        """Title, where in it, of which kind it is and how sure we are of it."""
        return Sentence(
            "{cited} ({kind}; {status})",
            {"cited": self.cited, "kind": self.kind, "status": STATUSES[self.status]},
        )

    @property
    def confirmed(self) -> bool:
        """Whether somebody here has read the figure in the published text."""
        return self.status == "read"


def sentence_of(text: str) -> Sentence:
    """A text of the files with its quantities apart, so that they are said in the reader's units.

    Args:
        text: the text, each quantity in braces as number and unit.
    Raises:
        ValueError: braces that hold no quantity.

    >>> sentence_of("at most {12.7 mm} long").words("inch"), sentence_of("{Ra 0.4 to 1.6 µm}").words("metric")
    ('at most 0.5 in long', 'Ra 0.4 to 1.6 µm')
    """
    parts: dict[str, Said | str] = {}

    def named(found: re.Match[str]) -> str:
        name = f"quantity{len(parts)}"
        parts[name] = _quantity(found[1])
        return f"{{{name}}}"

    template = _BRACED.sub(named, text)
    if set("{}") & set(_BRACED.sub("", text)):
        raise ValueError("a brace is opened or closed alone; write a quantity like {0.5 mm}")
    return Sentence(template, parts)


def _quantity(text: str) -> Sentence:
    found = _QUANTITY.fullmatch(text)
    unit = found["unit"] if found else ""
    kind = UNITS.get(unit) or (
        ("roughness" if found and found["rough"] else "thickness") if unit == "µm" else ""
    )
    if found is None or not kind or (found["rough"] and kind != "roughness"):
        raise ValueError(
            f"found {{{text}}}; in braces write a number, or two with to between, and one of "
            f"{', '.join((*UNITS, 'µm'))}, a roughness behind Ra"
        )
    written = [found[name] for name in ("first", "last") if found[name]]
    system = "metric" if QUANTITIES[kind].shown("metric")[0].name == unit else "inch"
    shown, usual = QUANTITIES[kind].shown(system)
    # as many decimals as somebody wrote, in that unit; as fine in the other one
    finer = max(len(number.partition(".")[2]) for number in written) - usual
    amounts = Amounts(tuple(shown.canonical(Decimal(n)) for n in written), kind, " to ", finer)
    return joined([found["rough"], amounts], " ") if found["rough"] else joined([amounts], "")


def source_from(reader: Reader, file: str, key: str, block: Mapping[str, Any]) -> Source | None:
    """One source out of a TOML block, or None with a fault noted."""
    ok = True
    for name in ("title", "where", "status", "kind"):
        if not isinstance(block.get(name), str):
            reader.fault(file, f"{key}.{name}", "is missing or not text; write it as text.")
            ok = False
    for name, allowed in (("status", tuple(STATUSES)), ("kind", KINDS)):
        if isinstance(block.get(name), str) and block[name] not in allowed:
            reader.fault(file, f"{key}.{name}", f"found {block[name]!r}; allowed are {', '.join(allowed)}.")
            ok = False
    unknown = set(block) - {"title", "where", "status", "kind", "note"}
    if unknown:
        reader.fault(file, key, f"has unknown keys {', '.join(sorted(unknown))}; remove them.")
        ok = False
    said: dict[str, Sentence] = {}
    for name in ("title", "where", "note"):
        try:
            said[name] = sentence_of(str(block.get(name, "")))
        except ValueError as e:
            reader.fault(file, f"{key}.{name}", f"{e}.")
            ok = False
    return Source(key, status=block["status"], kind=block["kind"], **said) if ok else None


def load_sources(reader: Reader) -> dict[str, Source]:
    """Every source in checklists/sources/*.toml by key.

    Args:
        reader: the checklists folder being read; faults are noted in it.
    """
    sources: dict[str, Source] = {}
    for path in sorted((reader.folder / "sources").glob("*.toml")):
        file = f"sources/{path.name}"
        for key, block in reader.toml(file).items():
            if key in sources:
                reader.fault(file, key, "stands in two source files; keep one.")
            elif not isinstance(block, dict):
                reader.fault(file, key, "must be a table like [my-source] with title, where, status, kind.")
            elif source := source_from(reader, file, key, block):
                sources[key] = source
    return sources
