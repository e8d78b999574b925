"""Reads checklists/ into frozen tables; refuses a bad folder with every fault at once.

The shipped folder stands beside the package in a checkout and inside it when installed. A shop's own
limits lie in its data folder and beat the shipped ones.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, TypeVar

from inspect_app.tables.alike import Writing, chain_of, hashes
from inspect_app.tables.assembling import Assembling, check_joints, load_assembling
from inspect_app.tables.cautions import Caution, load_cautions
from inspect_app.tables.check_kinds import check_kinds, limits_by_check, operations_by_check
from inspect_app.tables.consequences import FILE as CONSEQUENCES_FILE
from inspect_app.tables.cylinders import Cylinder, load_cylinder
from inspect_app.tables.faults import Reader
from inspect_app.tables.gauges import GaugeKind, load_gauges
from inspect_app.tables.hanging import hanging_on
from inspect_app.tables.limits import Known, Limit, load_limits
from inspect_app.tables.means import MeansKind, load_means
from inspect_app.tables.nameplate import NameplateField, load_nameplate
from inspect_app.tables.of_each import cured_on_each, operations_of_each
from inspect_app.tables.old_seals import load_old_seals
from inspect_app.tables.operation_references import check_operations
from inspect_app.tables.operations import Operations, load_operations
from inspect_app.tables.positions import Positions, check_measured, load_positions
from inspect_app.tables.pressure_test import PressureTest, load_pressure_test
from inspect_app.tables.rates import FILE as RATES_FILE
from inspect_app.tables.references import Names, check_cylinder, check_limits
from inspect_app.tables.sources import Source, load_sources
from inspect_app.tables.standards.housings import load_housings
from inspect_app.tables.standards.iso286 import load_iso286
from inspect_app.tables.standards.materials import load_expansion
from inspect_app.tables.standards.orings import load_allowances, load_glands
from inspect_app.tables.steps import Step, check_records, load_steps
from inspect_app.trade.form.characteristics import CHARACTERISTICS
from inspect_app.trade.form.fits import Iso286
from inspect_app.trade.measuring.temperature import Expansion
from inspect_app.trade.sealing.housings import Housing
from inspect_app.trade.sealing.old_seals import OldSealState
from inspect_app.trade.sealing.orings import Gland

Row = TypeVar("Row")
Key = TypeVar("Key")

LimitsOf = Mapping[str, tuple[Limit, ...]]
LimitsAt = Mapping[tuple[str, str, str, str], tuple[Limit, ...]]
HangsOn = Mapping[str, Mapping[str, frozenset[str]]]

CYLINDERS = "checklists/cylinders/"
"""Where the checklists of cylinders are among the files of `contents`."""


@dataclass(frozen=True, slots=True)
class Tables:
    """Everything checklists/ says that judges a job; `limits_hash` names exactly this content.

    `limits` holds the shop's own before the shipped ones; `limits_of` the same by check, `limits_at` by check,
    characteristic, level and defect; `hangs_on` for each check of a cylinder those its judgement hangs on;
    `housings_of` the housings by the part they are cut in and their kind.
    """

    nameplate: Mapping[str, NameplateField]
    cylinders: Mapping[str, Cylinder]
    limits: tuple[Limit, ...]
    limits_of: LimitsOf
    limits_at: LimitsAt
    hangs_on: HangsOn
    sources: Mapping[str, Source]
    gauges: Mapping[str, GaugeKind]
    cautions: tuple[Caution, ...]
    iso286: Iso286
    expansion: Mapping[str, Expansion]
    housings: tuple[Housing, ...]
    housings_of: Mapping[tuple[str, str], tuple[Housing, ...]]
    glands: tuple[Gland, ...]
    allowances: Mapping[str, float]
    limits_hash: str
    operations: Operations
    positions: Positions
    old_seals: Mapping[str, OldSealState]
    steps: Mapping[str, Step]
    means: Mapping[str, MeansKind]
    assembling: Assembling
    pressure_test: PressureTest


def shipped_folder(name: str = "checklists") -> Path:
    """Where a shipped folder lies: beside the package in a checkout, inside it when installed.

    Args:
        name: "checklists" or "demo_data".
    """
    package = Path(__file__).parent.parent
    installed = package / "_shipped" / name
    return installed if installed.is_dir() else package.parent / name


def load(folder: Path | None = None, shop: Path | None = None) -> Tables:
    """The tables of a checklists folder and, where there is one, of the shop's limits folder.

    Args:
        folder: a checklists folder; the shipped one if None.
        shop: folder of the shop's own limit files, may be absent.
    Raises:
        TableError: with every fault found in either.
    """
    reader = Reader(folder or shipped_folder())
    sources, cautions = load_sources(reader), load_cautions(reader)
    blocks, common = load_nameplate(reader)
    gauges = load_gauges(reader, sources)
    iso286, expansion = load_iso286(reader), load_expansion(reader)
    housings, glands, allowances = load_housings(reader), load_glands(reader), load_allowances(reader)
    positions, old_seals = load_positions(reader, sources), load_old_seals(reader, sources)
    before = len(reader.faults)
    files = _load_cylinders(Writing(reader, blocks), gauges, Names(tuple(CHARACTERISTICS), tuple(expansion)))
    cylinders, whole = {c.id: c for c in files.values()}, len(reader.faults) == before
    nameplate = _every_field(common, cylinders.values())
    named = load_operations(reader, sources, [c.id for c in cautions])
    operations = operations_of_each(operations_by_check(named, cylinders.values()), cylinders.values())
    written = _load_limits(reader, shop, Known(sources, operations.by_id))
    on_each = limits_by_check(written, cylinders.values())
    every_limit = cured_on_each(on_each, operations, cylinders.values())
    # a checklist with faults lacks checks, and every limit on them would be called wrong
    if whole:
        check_kinds(reader, files, written)
        check_limits(reader, tuple(cylinders.values()), every_limit, iso286)
        check_operations(reader, tuple(cylinders.values()), operations, every_limit, nameplate)
        check_measured(reader, positions, cylinders)
    steps, means = _load_steps(reader, sources, cautions, nameplate)
    if whole:
        check_records(reader, steps, cylinders.values())
    closing = _load_closing(reader, sources, positions, steps, cylinders.values() if whole else None)
    reader.raise_faults()
    return Tables(
        nameplate, cylinders, every_limit, *_found_by(every_limit, cylinders.values()), sources, gauges, cautions,
        iso286, expansion, housings, _grouped(housings, lambda h: (str(h.groove_in), h.kind)), glands, allowances,
        content_hash(contents(reader.folder, shop)), operations, positions, old_seals, steps,
        means, *_sound(closing),
    )  # fmt: skip


@cache
def load_shipped() -> Tables:
    """The tables of the shipped checklists where a shop has no limits of its own, read once.

    Raises:
        TableError: as `load`.
    """
    return load()


def _load_closing(
    reader: Reader, sources: Mapping[str, Source], positions: Positions, steps: Mapping[str, Step],
    cylinders: Iterable[Cylinder] | None,
) -> tuple[Assembling | None, PressureTest | None]:  # fmt: skip
    """What is tightened at reassembly, and how the cylinder is tested; None where a fault was noted."""
    assembling = load_assembling(reader, sources, steps)
    if cylinders is not None:
        check_joints(reader, assembling, cylinders)
    return assembling, load_pressure_test(reader, sources, positions.kinds, steps)


def _sound(closing: tuple[Assembling | None, PressureTest | None]) -> tuple[Assembling, PressureTest]:
    """Both of them: where one could not be read, its fault was raised before."""
    assembling, pressure_test = closing
    assert assembling
    assert pressure_test
    return assembling, pressure_test


def _load_steps(
    reader: Reader, sources: Mapping[str, Source], cautions: Iterable[Caution], nameplate: Iterable[str]
) -> tuple[Mapping[str, Step], Mapping[str, MeansKind]]:
    """The steps, and the means they ask for."""
    steps = load_steps(reader, sources, [c.id for c in cautions], tuple(nameplate))
    return steps, load_means(reader, steps)


def _every_field(
    common: Mapping[str, NameplateField], cylinders: Iterable[Cylinder]
) -> dict[str, NameplateField]:
    """The fields every nameplate has, and behind them those of single kinds."""
    fields = dict(common)
    for cylinder in cylinders:
        fields |= {name: field for name, field in cylinder.fields.items() if name not in fields}
    return fields


def _found_by(limits: Iterable[Limit], cylinders: Iterable[Cylinder]) -> tuple[LimitsOf, LimitsAt, HangsOn]:
    """What `limits_of`, `limits_at` and `hangs_on` hold."""
    of = _grouped(limits, lambda x: x.check)
    at = _grouped(limits, lambda x: (x.check, x.characteristic, x.level, x.defect))
    return of, at, {c.id: hanging_on(c, of) for c in cylinders}


def _grouped(rows: Iterable[Row], by: Callable[[Row], Key]) -> dict[Key, tuple[Row, ...]]:
    found: dict[Key, list[Row]] = {}
    for row in rows:
        found.setdefault(by(row), []).append(row)
    return {key: tuple(of) for key, of in found.items()}


def _load_limits(reader: Reader, shop: Path | None, known: Known) -> list[Limit]:
    """The shop's own before the shipped ones."""
    limits = load_limits(reader, "limits", known, "shipped")
    if shop is None or not shop.is_dir():
        return limits
    return load_limits(Reader(shop, reader.faults), "", known, "shop") + limits


def _load_cylinders(writing: Writing, gauges: Mapping[str, GaugeKind], names: Names) -> dict[str, Cylinder]:
    """The checklists by their file."""
    reader, cylinders = writing.reader, dict[str, Cylinder]()
    texts = {path.name: path.read_bytes() for path in (reader.folder / "cylinders").glob("*.toml")}
    named, read = hashes(texts), dict[int, Any]()
    chains = {name: chain_of(name, texts) for name in texts}
    for name in sorted(texts, key=lambda name: (len(chains[name]), name)):
        if {f"cylinders/{other}" for other in chains[name][1:]} & {fault.file for fault in reader.faults}:
            continue  # what is wrong in the one it is like would be told once more for each kind
        file = f"cylinders/{name}"
        cylinder = load_cylinder(writing, file, named[name], gauges, read)
        check_cylinder(reader, cylinder, names)
        if cylinder.id in [c.id for c in cylinders.values()]:
            reader.fault(file, "id", f"found {cylinder.id!r}, which another checklist has; rename one.")
        cylinders[file] = cylinder
    if not cylinders:
        reader.fault(
            "cylinders",
            "folder",
            "holds no checklist; restore one from the checklists that came with the program.",
        )
    return cylinders


def contents(folder: Path, shop: Path | None) -> dict[str, bytes]:
    """Every file that judges, by its name under checklists/ or limits/; a price or a customer's word judges nothing.

    Args:
        folder: a checklists folder.
        shop: folder of the shop's own limit files, may be absent.
    """
    files = {
        f"checklists/{p.relative_to(folder).as_posix()}": p
        for p in folder.rglob("*")
        if p.is_file() and p.name not in (RATES_FILE, CONSEQUENCES_FILE)
    }
    files |= {f"limits/{p.name}": p for p in (shop.glob("*.toml") if shop else ())}
    return {name: files[name].read_bytes() for name in sorted(files)}


def content_hash(files: Mapping[str, bytes]) -> str:
    """SHA-256 over every file but the cylinder checklists, which have a hash each: a Tables' `limits_hash`.

    Args:
        files: as `contents` gives them.
    """
    digest = hashlib.sha256()
    for name in sorted(files):
        if not name.startswith(CYLINDERS):
            digest.update(f"{name}\0{hashlib.sha256(files[name]).hexdigest()}\n".encode())
    return digest.hexdigest()
