"""Calculators of threads and preloaded joints: areas, proof loads, piston nut, factors of safety, stripping."""

from __future__ import annotations

from inspect_app.calculators.shape import Calculator, Given, Key, Result
from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.joints import preloaded, thread_designation, threads
from inspect_app.trade.joints.threads import Thread

TOPIC = "Threads and torque"


def thread_of(given: Given, handbook: Handbook) -> Thread:
    """The thread that was given."""
    return thread_designation.read_thread(given.text("thread"), tables=handbook.threads)


def _thread(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    thread, tables = thread_of(given, handbook), handbook.threads
    area = threads.stress_area(thread, tables=tables)
    results = [
        Result("designation", "Thread", thread.designation),
        Result("stress_area", f"Stress area, {_whence(area.printed)}", area.area_mm2, "area", area.source),
        Result("pitch_diameter", "Pitch diameter", threads.pitch_diameter_mm(thread), "length"),
    ]
    if given.has("class"):
        load = threads.proof_load(thread, class_name=given.text("class"), tables=tables)
        strength = threads.thread_class(thread, class_name=given.text("class"), tables=tables)
        results += [
            Result("proof_load", f"Proof load, class {strength.name}", load.load_n, "force", load.source),
            Result("basis", "Basis of the proof load", load.basis.value),
            Result("yield", "Yield strength of the class", strength.yield_mpa, "stress", strength.source),
        ]
    if given.has("proof-stress"):
        load = threads.proof_load_of_material(thread, proof_mpa=given.number("proof-stress"), tables=tables)
        results += [
            Result("material_proof_load", "Proof load in that material", load.load_n, "force"),
            Result("material_basis", "Basis, by the material entered", load.basis.value),
        ]
    return tuple(results)


def _whence(printed: bool) -> str:
    return "as printed in the standard" if printed else "by formula"


def _piston_nut(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    rod_mm = given.number("rod")
    parting_n = preloaded.piston_parting_n(
        bore_mm=given.number("bore"),
        rod_mm=rod_mm,
        spigot_mm=given.maybe("spigot") or rod_mm,
        rod_side_mpa=given.number("pressure"),
        cap_side_mpa=given.maybe("cap-pressure") or 0.0,
    )
    return (Result("pull", "Load that parts piston and shoulder", parting_n, "force"),)


def _joint(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    c = preloaded.joint_constant(
        bolt_stiffness=given.number("bolt-stiffness"), member_stiffness=given.number("part-stiffness")
    )
    checked = preloaded.joint_check(
        preload_n=given.number("preload"),
        load_n=given.number("load"),
        joint_constant=c,
        proof_load_n=given.number("proof-load"),
    )
    return (
        Result("separation", "Load factor at joint separation", checked.separation_factor, "number"),
        Result("overload", "Load factor at proof load of the bolt", checked.overload_factor, "number"),
        Result("proof", "Proof load over bolt load", checked.proof_factor, "number"),
        Result("bolt_load", "Load in the bolt", checked.bolt_load_n, "force"),
        Result("clamp", "Clamp force left", checked.clamp_n, "force"),
        Result("constant", "Share of the load the bolt takes", c, "number"),
    )


def _strip(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    engaged = {"engaged_mm": given.number("engaged"), "pitch_mm": given.number("pitch")}
    outside_mm2 = preloaded.external_strip_area_mm2(
        **engaged,
        external_pitch_mm=given.number("outside-pitch-diameter"),
        internal_minor_mm=given.number("inside-minor-diameter"),
    )
    inside_mm2 = preloaded.internal_strip_area_mm2(
        **engaged,
        external_major_mm=given.number("outside-major-diameter"),
        internal_pitch_mm=given.number("inside-pitch-diameter"),
    )
    return (
        Result("outside", "Area at which the outside thread strips", outside_mm2, "area"),
        Result("inside", "Area at which the inside thread strips", inside_mm2, "area"),
    )


THREAD = Key("thread", "text", "Thread", note="M42x3, M30, 1-8 UNC, 3/4-16")
PRELOAD = Key("preload", "force", "Preload")

CALCULATORS = (
    Calculator(
        "thread",
        TOPIC,
        "Stress area, pitch diameter and proof load of a thread",
        (
            THREAD,
            Key("class", "text", "Property class or grade", optional=True, note="8.8, 10.9, SAE 5"),
            Key("proof-stress", "stress", "Proof stress of the material, if no class", optional=True),
        ),
        _thread,
        (
            threads.stress_area,
            threads.stress_area_by_formula_mm2,
            threads.pitch_diameter_mm,
            threads.proof_load,
            threads.thread_class,
            threads.proof_load_of_material,
            thread_designation.read_thread,
        ),
        "stress area = π/4 (d − 0.9382 pitch)², inch threads 0.9743; proof load = area × proof stress",
        {"thread": "M36", "class": "8.8", "proof-stress": "600MPa"},
    ),
    Calculator(
        "piston-nut",
        TOPIC,
        "Load that parts piston and rod shoulder, against the piston nut",
        (
            Key("bore", "length", "Bore"),
            Key("rod", "length", "Diameter inside which rod-side oil cannot reach the piston",
                note="the rod's where the piston seats tight"),
            Key("pressure", "pressure", "Pressure on the rod side", note="port shut: see calculator intensification"),
            Key("spigot", "length", "Rod through the piston, where the cap side is under pressure too", optional=True),
            Key("cap-pressure", "pressure", "Pressure on the cap side at the same time", optional=True),
        ),
        _piston_nut,
        (preloaded.piston_parting_n,),
        "load = rod-side pressure × π/4 (bore² − rod²) − cap-side pressure × π/4 (bore² − spigot²)",
        {"bore": "100mm", "rod": "56mm", "pressure": "210bar"},
    ),
    Calculator(
        "joint",
        TOPIC,
        "A preloaded joint under load: bolt load, clamp left, factors of safety",
        (
            PRELOAD,
            Key("load", "force", "Load from outside"),
            Key("proof-load", "force", "Proof load of the thread"),
            Key("bolt-stiffness", "number", "Stiffness of the bolt or rod end, any unit"),
            Key("part-stiffness", "number", "Stiffness of the clamped parts, same unit"),
        ),
        _joint,
        (preloaded.joint_check, preloaded.joint_constant),
        "C = kb / (kb + km); bolt = preload + C × load; the joint separates at preload / ((1 − C) × load)",
        {
            "preload": "25000 lbf",
            "load": "6000 lbf",
            "proof-load": "31700 lbf",
            "bolt-stiffness": "6.50",
            "part-stiffness": "13.8",
        },
    ),
    Calculator(
        "strip",
        TOPIC,
        "Areas at which the outside and the inside thread strip",
        (
            Key("engaged", "length", "Length of engagement"),
            Key("pitch", "length", "Pitch"),
            Key("outside-pitch-diameter", "length", "Pitch diameter of the outside thread, minimum"),
            Key("inside-minor-diameter", "length", "Minor diameter of the inside thread, maximum"),
            Key("outside-major-diameter", "length", "Outside diameter of the outside thread, minimum"),
            Key("inside-pitch-diameter", "length", "Pitch diameter of the inside thread, maximum"),
        ),
        _strip,
        (preloaded.external_strip_area_mm2, preloaded.internal_strip_area_mm2),
        "π × engagement / pitch × diameter × (pitch/2 + overlap/√3)",
        {
            "engaged": "30mm",
            "pitch": "3.5mm",
            "outside-pitch-diameter": "27.462mm",
            "inside-minor-diameter": "26.771mm",
            "outside-major-diameter": "29.522mm",
            "inside-pitch-diameter": "28.007mm",
        },
    ),
)  # fmt: skip
