"""What a computed torque rests on, looked up in the handbook; and what a readings file says of torques.

[[torque]]             one joint, by the ids of assembling.toml
joint = "piston-nut"
basis = "drawing"      drawing, shop or computed
nominal = "640 N·m"    or low and high; left out where it is computed
source = "drawing 2207, sheet 2"
on = "oil on thread and face"
count = "4"            where there are several screws; wrench, extension = "..." where something makes the wrench longer
computed = { thread = "M42x3", strength = "8.8", surface = "lubricated", way = "...", share = "75 %" }
                       strength: a class, or the proof stress with its unit; surface, way: as in standards/friction.csv
reached = { torque = "652 N·m", tool = "W-02", error_percent = "4", until = "2027-03-01", angle = "" }
                       torque = "beyond the tool" where it was not reached
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from inspect_app.bench.file_blocks import require_keys
from inspect_app.bench.seals_file import Recorder
from inspect_app.entries.assembled import ComputedFrom
from inspect_app.entries.assembling import TorqueAimed, TorqueReached
from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.joints.thread_designation import read_thread
from inspect_app.trade.joints.threads import Thread, proof_load, proof_load_of_material
from inspect_app.trade.joints.torque import Friction, FrictionKind
from inspect_app.trade.measuring import quantities
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.wording import either

AIMED = ("joint", "basis", "nominal", "low", "high", "source", "on", "count", "wrench", "extension")
COMPUTED_KEYS = ("thread", "strength", "surface", "way", "share")
REACHED_KEYS = ("torque", "tool", "error_percent", "until", "angle")
_PERCENT = Decimal(100)


def rows_of(handbook: Handbook, kind: FrictionKind) -> Mapping[str, Friction]:
    """The rows of the friction table of one sort, by what they are called there.

    Args:
        handbook: the handbook.
        kind: nut factors, or scatter.
    """
    return {row.surface: row for row in handbook.friction if row.quantity is kind}


def computed_from(handbook: Handbook, typed: Mapping[str, str], system: str) -> ComputedFrom:
    """What a torque is computed from.

    Args:
        handbook: threads and friction.
        typed: thread, strength (a class or a proof stress), surface, way and share, as typed.
        system: "metric" or "inch".
    Raises:
        Refusal: one of them is missing, not known or cannot be read.
    """
    thread = read_thread(typed.get("thread", ""), tables=handbook.threads)
    surface = _row(handbook, FrictionKind.NUT_FACTOR, typed.get("surface", ""), "What is on thread and face")
    way = _row(handbook, FrictionKind.SCATTER, typed.get("way", ""), "The way of tightening")
    share = quantities.read(typed.get("share", ""), kind="percent", system=system).value
    if not 0 < share < _PERCENT:
        raise Refusal("The share of proof lies between 0 and 100 %.")
    strength = typed.get("strength", "").strip()
    expected, most = Decimal(str(surface.low)), Decimal(str(surface.high or surface.low))
    return ComputedFrom(
        thread.designation,
        strength,
        Decimal(str(thread.d_mm)),
        Decimal(f"{_proof_load_n(handbook, thread, strength, system):.1f}"),
        surface.surface,
        (expected, expected, most),
        way.surface,
        Decimal(str(way.high or way.low)),
        share / _PERCENT,
    )


def _row(handbook: Handbook, kind: FrictionKind, name: str, what: str) -> Friction:
    rows = rows_of(handbook, kind)
    if name not in rows:
        raise Refusal(f"{what}: found {name!r}; allowed are {either(list(rows))}.")
    return rows[name]


def _proof_load_n(handbook: Handbook, thread: Thread, strength: str, system: str) -> float:
    if strength in {row.name for row in handbook.threads.classes}:
        return proof_load(thread, class_name=strength, tables=handbook.threads).load_n
    stress = quantities.read(strength, kind="stress", system=system)
    return proof_load_of_material(thread, proof_mpa=float(stress.value), tables=handbook.threads).load_n


def record_torques(
    path: str, blocks: Sequence[Mapping[str, Any]], to: Recorder, handbook: Handbook, system: str
) -> None:
    """Record what a file says of torques.

    Args:
        path: the file, for the sentences.
        blocks: its [[torque]].
        to: who records it.
        handbook: threads and friction.
        system: "metric" or "inch".
    Raises:
        Refusal: a key that is not known, or whatever cannot be entered.
    """
    for block in blocks:
        joint = str(block.get("joint", ""))
        where = f"torque {joint}"
        require_keys(
            f"{path}: {where}", block, (*AIMED, "computed", "reached"), tables=("computed", "reached")
        )
        made_of = None
        if "computed" in block:
            require_keys(f"{path}: {where}.computed", block["computed"], COMPUTED_KEYS)
            typed = {key: str(text) for key, text in block["computed"].items()}
            try:
                made_of = computed_from(handbook, typed, system)
            except Refusal as refusal:
                raise Refusal(f"{path}: {where}.computed: {refusal.words(system)}") from None
        texts = {key: str(block[key]) for key in AIMED if key in block}
        to.enter(where, TorqueAimed(**{"joint": "", "basis": "", **texts}, computed=made_of))
        if "reached" in block:
            require_keys(f"{path}: {where}.reached", block["reached"], REACHED_KEYS)
            told = {key: str(text) for key, text in block["reached"].items()}
            to.enter(where, TorqueReached(joint, **{"torque": "", "tool": "", **told}))
