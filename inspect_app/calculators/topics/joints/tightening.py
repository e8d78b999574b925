"""Calculators of torque: the torque for a preload, the preload a torque leaves, and what friction does to both."""

from __future__ import annotations

from inspect_app.calculators.shape import Calculator, Given, Key, Result
from inspect_app.calculators.topics.joints.preloaded import PRELOAD, THREAD, TOPIC, thread_of
from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.joints import targets, threads, tie_rods, torque
from inspect_app.trade.joints.torque import Friction, FrictionKind
from inspect_app.trade.strength.force import annulus_area_mm2, circle_area_mm2

CAUTION = ("torque-reaction",)


def _rows(handbook: Handbook, kind: FrictionKind) -> dict[str, Friction]:
    return {row.surface: row for row in handbook.friction if row.quantity is kind}


def _surfaces(handbook: Handbook) -> tuple[str, ...]:
    return tuple(_rows(handbook, FrictionKind.NUT_FACTOR))


def _ways(handbook: Handbook) -> tuple[str, ...]:
    return tuple(_rows(handbook, FrictionKind.SCATTER))


def _nut_factor(given: Given, handbook: Handbook) -> tuple[float, Result]:
    if given.has("nut-factor"):
        k = given.number("nut-factor")
        return k, Result("nut_factor", "Nut factor K, as given", k, "number")
    row = _rows(handbook, FrictionKind.NUT_FACTOR)[given.text("surface")]
    return row.low, Result("nut_factor", f"Nut factor K, {row.surface}", row.low, "number", row.source)


def _scatter(given: Given, handbook: Handbook) -> float:
    if given.has("scatter"):
        return given.share("scatter")
    row = _rows(handbook, FrictionKind.SCATTER)[given.text("way")]
    return row.high or row.low


def _torque(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    k, used = _nut_factor(given, handbook)
    target = torque.torque_target(
        preload_n=given.number("preload"),
        d_mm=thread_of(given, handbook).d_mm,
        nut_factor=k,
        tolerance=given.share("tolerance"),
    )
    return (
        Result("torque", "Torque to set", target.nominal_nm, "torque"),
        Result("least", "Minimum reading that meets it", target.least_nm, "torque"),
        Result("greatest", "Maximum reading that meets it", target.greatest_nm, "torque"),
        used,
    )


def _preload(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    k, used = _nut_factor(given, handbook)
    preload = torque.preload_from_torque(
        torque_nm=given.number("torque"),
        d_mm=thread_of(given, handbook).d_mm,
        nut_factor=k,
        scatter=_scatter(given, handbook),
    )
    return (
        Result("expected", "Preload to expect", preload.expected_n, "force"),
        Result("least", "It may be as little as", preload.least_n, "force"),
        Result("greatest", "It may be as much as", preload.greatest_n, "force"),
        used,
    )


def _loosening(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    torque_nm = given.number("torque")
    asked = torque.torque_question(torque_nm) or (
        "Nothing to ask: gland and piston nuts break loose there."
        if torque_nm
        else "Found loose: look for why at thread, face and locking."
    )
    return (Result("torque", "Torque as recorded", torque_nm, "torque"), Result("question", "", asked))


def _long_form(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    thread = thread_of(given, handbook)
    k = torque.long_form_nut_factor(
        d_mm=thread.d_mm,
        mean_diameter_mm=threads.pitch_diameter_mm(thread),
        pitch_mm=thread.pitch_mm,
        thread_friction=given.number("thread-friction"),
        collar_friction=given.number("face-friction"),
    )
    return (Result("nut_factor", "Nut factor K", k, "number"),)


def _tightening(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    thread = thread_of(given, handbook)
    rubbing = {
        "thread_friction": given.number("thread-friction"),
        "bearing_friction": given.number("face-friction"),
        "bearing_mm": given.number("face"),
    }
    if given.has("preload"):
        torque_nm = torque.tightening_torque_nm(preload_n=given.number("preload"), thread=thread, **rubbing)
        return (Result("torque", "Torque to set", torque_nm, "torque"),)
    preload_n = torque.preload_from_tightening_torque_n(
        torque_nm=given.number("torque"), thread=thread, **rubbing
    )
    return (Result("preload", "Preload it leaves", preload_n, "force"),)


def _assembly(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    preload_n = torque.assembly_preload_n(
        thread=thread_of(given, handbook),
        yield_mpa=given.number("yield"),
        thread_friction=given.number("thread-friction"),
        utilisation=given.share("used"),
    )
    results = [Result("preload", "Maximum preload at assembly", preload_n, "force")]
    if given.has("tightening-factor"):
        least_n = torque.least_preload_n(
            greatest_n=preload_n, tightening_factor=given.number("tightening-factor")
        )
        results.append(Result("least", "Minimum preload to expect", least_n, "force"))
    return tuple(results)


def _wrench(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    setting_nm = targets.wrench_setting_nm(
        torque_nm=given.number("torque"),
        wrench_mm=given.number("wrench"),
        extension_mm=given.number("extension"),
    )
    return (Result("setting", "Set the wrench to", setting_nm, "torque"),)


def _order(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    order = targets.cross_pattern(given.count("screws"))
    return (Result("order", "Order, numbered round", ", ".join(str(n) for n in order)),)


def _tie_rods(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    bore_mm, outside_mm, rods = given.number("bore"), given.number("outside"), given.count("rods")
    preload_n = given.number("preload")
    held = tie_rods.tie_rods_clamp(
        preload_each_n=preload_n,
        rods=rods,
        bore_mm=bore_mm,
        outside_mm=outside_mm,
        pressure_mpa=given.number("pressure"),
    )
    turn = tie_rods.turn_from_snug_deg(
        preload_n=preload_n,
        pitch_mm=thread_of(given, handbook).pitch_mm,
        rod_length_mm=given.number("rod-length"),
        rod_area_mm2=circle_area_mm2(given.number("shank")),
        tube_length_mm=given.number("tube-length"),
        tube_area_mm2=annulus_area_mm2(bore_mm=outside_mm, rod_mm=bore_mm),
        rods=rods,
        elastic_mpa=given.number("elastic"),
    )
    return (
        Result("turn", "Turn each nut from snug by", turn, "angle"),
        Result("separation", "Preload over what parts them", held.separation_factor, "number"),
        Result("load", "Load that parts, on each rod", held.load_each_n, "force"),
        Result("tube", "Stress in the wall of the tube", held.tube_mpa, "stress"),
    )


_TORQUE = Key("torque", "torque", "Torque")
_THREAD_FRICTION = Key(
    "thread-friction", "number", "Friction in the thread", note="0.08 to 0.16 greased or oiled"
)
_FACE_FRICTION = Key("face-friction", "number", "Friction under the nut")
_FACTORS = (
    Key("nut-factor", "number", "Nut factor K"),
    Key("surface", "choice", "or the surface it stands for", options=_surfaces),
)
_EITHER_FACTOR = (("nut-factor", "surface"),)

CALCULATORS = (
    Calculator(
        "torque",
        TOPIC,
        "Torque to set for a preload",
        (THREAD, PRELOAD, *_FACTORS, Key("tolerance", "percent", "Tolerance of the reading", "5 %")),
        _torque,
        (torque.torque_target, torque.torque_nm),
        "torque = K × preload × thread diameter",
        {"thread": "M30", "preload": "100kN", "nut-factor": "0.2"},
        either=_EITHER_FACTOR,
        cautions=CAUTION,
    ),
    Calculator(
        "preload",
        TOPIC,
        "Preload a torque leaves, with its scatter",
        (
            THREAD,
            _TORQUE,
            *_FACTORS,
            Key("scatter", "percent", "Scatter of the preload, either way"),
            Key("way", "choice", "or the way of tightening it comes from", options=_ways),
        ),
        _preload,
        (torque.preload_from_torque,),
        "preload = torque / (K × thread diameter)",
        {"thread": "M12", "torque": "90N·m", "nut-factor": "0.20", "scatter": "28%"},
        either=(*_EITHER_FACTOR, ("scatter", "way")),
        cautions=CAUTION,
    ),
    Calculator(
        "loosening",
        TOPIC,
        "Whether a breakaway torque that was recorded is likely",
        (Key("torque", "torque", "Torque at which it broke loose"),),
        _loosening,
        (torque.torque_question,),
        "compared with what gland and piston nuts break loose at",
        {"torque": "12000 lbf·ft"},
        cautions=CAUTION,
    ),
    Calculator(
        "nut-factor",
        TOPIC,
        "Nut factor K from friction in the thread and under the nut",
        (THREAD, _THREAD_FRICTION, _FACE_FRICTION),
        _long_form,
        (torque.long_form_nut_factor,),
        "K = (dm/2d) (tan lead + f sec 30°)/(1 − f tan lead sec 30°) + 0.625 fc, dm the pitch diameter",
        {"thread": "3/4-16", "thread-friction": "0.15", "face-friction": "0.15"},
        cautions=CAUTION,
    ),
    Calculator(
        "tightening",
        TOPIC,
        "Torque for a preload, or preload of a torque, from friction and the nut's face",
        (
            THREAD,
            PRELOAD,
            Key("torque", "torque", "or the torque"),
            _THREAD_FRICTION,
            _FACE_FRICTION,
            Key("face", "length", "Mean diameter of the face under the nut"),
        ),
        _tightening,
        (torque.tightening_torque_nm, torque.preload_from_tightening_torque_n),
        "torque = preload × (0.16 pitch + 0.58 pitch diameter × thread friction + face diameter × face friction / 2)",
        {
            "thread": "M16x1.5",
            "preload": "87.6kN",
            "thread-friction": "0.12",
            "face-friction": "0.12",
            "face": "20mm",
        },
        either=(("preload", "torque"),),
        cautions=CAUTION,
    ),
    Calculator(
        "assembly-preload",
        TOPIC,
        "Maximum preload a thread may be given while the torque still twists it",
        (
            THREAD,
            Key("yield", "stress", "Minimum yield strength"),
            _THREAD_FRICTION,
            Key("used", "percent", "Percent of yield used", "90 %"),
            Key("tightening-factor", "number", "Maximum over minimum preload of the way of tightening", optional=True,
                note="torque wrench 1.6 to 2.0"),
        ),
        _assembly,
        (torque.assembly_preload_n, torque.least_preload_n),
        "share × yield × stress area / √(1 + 3 × twist²); minimum = maximum / tightening factor",
        {"thread": "M16x1.5", "yield": "640MPa", "thread-friction": "0.12", "tightening-factor": "1.8"},
        cautions=CAUTION,
    ),
    Calculator(
        "wrench-setting",
        TOPIC,
        "What a wrench is set to when an adapter in line makes it longer",
        (
            _TORQUE,
            Key("wrench", "length", "Wrench, drive to grip"),
            Key("extension", "length", "Adapter, drive to nut"),
        ),
        _wrench,
        (targets.wrench_setting_nm,),
        "setting = torque × wrench / (wrench + adapter)",
        {"torque": "800N·m", "wrench": "500mm", "extension": "125mm"},
        cautions=CAUTION,
    ),
    Calculator(
        "cross-pattern",
        TOPIC,
        "Order in which the screws of a ring are tightened",
        (Key("screws", "count", "Screws in the ring"),),
        _order,
        (targets.cross_pattern,),
        "across, then a quarter on; in several passes, then once round",
        {"screws": "8"},
    ),
    Calculator(
        "tie-rods",
        TOPIC,
        "Tie-rods: turn of the nut from snug, and what they hold",
        (
            THREAD,
            Key("preload", "force", "Preload of each rod"),
            Key("rods", "count", "Rods"),
            Key("bore", "length", "Bore"),
            Key("outside", "length", "Outside diameter of the tube"),
            Key("pressure", "pressure", "Pressure at its highest", note="that of the proof test"),
            Key("rod-length", "length", "Rod between its nuts"),
            Key("shank", "length", "Shank of the rod, diameter"),
            Key("tube-length", "length", "Length of the tube"),
            Key("elastic", "modulus", "Elastic modulus", "206000 MPa"),
        ),
        _tie_rods,
        (tie_rods.tie_rods_clamp, tie_rods.turn_from_snug_deg),
        "turn = 360°/pitch × (stretch of the rod + shortening of the tube); factor = preload / load on each rod",
        {
            "thread": "M16x2", "preload": "45kN", "rods": "4", "bore": "80mm", "outside": "95mm", "pressure": "240bar",
            "rod-length": "400mm", "shank": "16mm", "tube-length": "300mm",
        },
        cautions=CAUTION,
    ),
)  # fmt: skip
