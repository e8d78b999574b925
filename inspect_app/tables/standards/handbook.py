"""Everything the calculators look up, read once from checklists/; knows no cylinder, no limit and no job.

It stands beside the tables that judge a job, so that a fault in a cylinder's checklist does not take the
calculators away from the bench.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from inspect_app.tables import shipped_folder
from inspect_app.tables.cautions import Caution, load_cautions
from inspect_app.tables.faults import Reader
from inspect_app.tables.gauges import GaugeKind, load_gauges
from inspect_app.tables.positions import Positions, load_positions
from inspect_app.tables.sources import Source, load_sources
from inspect_app.tables.standards.drift import load_drift_bands
from inspect_app.tables.standards.housings import load_housings
from inspect_app.tables.standards.inch_bores import load_inch_bores
from inspect_app.tables.standards.iso286 import load_iso286
from inspect_app.tables.standards.materials import load_expansion
from inspect_app.tables.standards.mountings import load_mountings
from inspect_app.tables.standards.orings import (
    load_allowances,
    load_bands,
    load_extrusion_limits,
    load_glands,
    load_orings,
)
from inspect_app.tables.standards.seal_choice import (
    load_seal_uses,
    load_shelf_groups,
    load_strip_gaps,
    load_twins,
)
from inspect_app.tables.standards.seal_materials import load_seal_materials
from inspect_app.tables.standards.steels import load_steels
from inspect_app.tables.standards.texture import read_ra_steps
from inspect_app.tables.standards.threads import read_friction, read_threads
from inspect_app.trade.form.fits import Iso286
from inspect_app.trade.form.texture import RaStep
from inspect_app.trade.joints.threads import ThreadTables
from inspect_app.trade.joints.torque import Friction
from inspect_app.trade.leakage.drift import DriftBands
from inspect_app.trade.measuring.inch_bores import InchBore
from inspect_app.trade.measuring.temperature import Expansion
from inspect_app.trade.sealing.extrusion_limits import ExtrusionLimit
from inspect_app.trade.sealing.housings import Housing
from inspect_app.trade.sealing.mistaken import Twins
from inspect_app.trade.sealing.orings import Gland, ORing
from inspect_app.trade.sealing.ring_fit import Band
from inspect_app.trade.sealing.seal_materials import SealMaterials
from inspect_app.trade.sealing.seal_uses import SealUse
from inspect_app.trade.sealing.shelf_life import ShelfGroup
from inspect_app.trade.sealing.strips import StripGap
from inspect_app.trade.strength.barrel import Steel
from inspect_app.trade.strength.column import Mounting


@dataclass(frozen=True, slots=True)
class Handbook:
    """The physical tables, the sources they rest on, and the cautions."""

    sources: Mapping[str, Source]
    cautions: tuple[Caution, ...]
    gauges: Mapping[str, GaugeKind]
    iso286: Iso286
    expansion: Mapping[str, Expansion]
    ra_steps: tuple[RaStep, ...]
    threads: ThreadTables
    friction: tuple[Friction, ...]
    steels: tuple[Steel, ...]
    mountings: Mapping[str, Mounting]
    inch_bores: tuple[InchBore, ...]
    orings: tuple[ORing, ...]
    glands: tuple[Gland, ...]
    bands: tuple[Band, ...]
    gaps: tuple[ExtrusionLimit, ...]
    allowances: Mapping[str, float]
    housings: tuple[Housing, ...]
    seal_materials: SealMaterials
    seal_uses: tuple[SealUse, ...]
    shelf_groups: tuple[ShelfGroup, ...]
    twins: tuple[Twins, ...]
    strip_gaps: tuple[StripGap, ...]
    positions: Positions
    drift_bands: Mapping[str, DriftBands]


def read_handbook(folder: Path) -> Handbook:
    """The handbook of a checklists folder.

    Args:
        folder: a checklists folder.
    Raises:
        TableError: with every fault found.
    """
    reader = Reader(folder)
    sources = load_sources(reader)
    materials = load_seal_materials(reader)
    handbook = Handbook(
        sources=sources,
        cautions=load_cautions(reader),
        gauges=load_gauges(reader, sources),
        iso286=load_iso286(reader),
        expansion=load_expansion(reader),
        ra_steps=read_ra_steps(reader),
        threads=read_threads(reader),
        friction=read_friction(reader),
        steels=load_steels(reader, sources),
        mountings=load_mountings(reader, sources),
        inch_bores=load_inch_bores(reader, sources),
        orings=load_orings(reader),
        glands=load_glands(reader),
        bands=load_bands(reader),
        gaps=load_extrusion_limits(reader),
        allowances=load_allowances(reader),
        housings=load_housings(reader),
        seal_materials=materials,
        seal_uses=load_seal_uses(reader, materials),
        shelf_groups=load_shelf_groups(reader, materials),
        twins=load_twins(reader),
        strip_gaps=load_strip_gaps(reader),
        positions=load_positions(reader, sources),
        drift_bands=load_drift_bands(reader),
    )
    reader.raise_faults()
    return handbook


@cache
def shipped_handbook() -> Handbook:
    """The handbook of the shipped checklists, read on first use.

    Raises:
        TableError: with every fault found.
    """
    return read_handbook(shipped_folder())
