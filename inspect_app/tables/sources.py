"""Where a figure comes from and how sure we are of it: checklists/sources/, each source once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from inspect_app.tables.faults import Reader

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


@dataclass(frozen=True, slots=True)
class Source:
    """One source: `title` with edition, `where` in it, `status` of STATUSES, `kind` of KINDS."""

    key: str
    title: str
    where: str
    status: str
    kind: str
    note: str = ""

    @property
    def confirmed(self) -> bool:
        """Whether somebody here has read the figure in the published text."""
        return self.status == "read"


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
    if not ok:
        return None
    return Source(
        key, block["title"], block["where"], block["status"], block["kind"], str(block.get("note", ""))
    )


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
