"""Calculators of leakage: from pressure drop, drift and drops, what a hold proves, and what drift means."""

from __future__ import annotations

from decimal import Decimal

from inspect_app.calculators.shape import Calculator, Given, Key, Result
from inspect_app.calculators.topics.strength.hydraulics import BORE, OIL_K, ROD
from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.leakage import drift, leakage
from inspect_app.trade.leakage.leakage import Hold

TOPIC = "Leakage and drift"


def _closed(given: Given) -> dict[str, float]:
    return {
        "minutes": given.number("time") / 60,
        "volume_ml": given.number("oil"),
        "bulk_modulus_mpa": given.number("bulk-modulus"),
    }


def _leak_from_drop(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    leak = leakage.leak_from_pressure_drop_ml_min(drop_mpa=given.number("drop"), **_closed(given))
    return (Result("leak", "Leakage", leak, "flow"),)


def _drop_from_leak(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    drop_mpa = leakage.pressure_drop_from_leak_mpa(leak_ml_min=given.number("leak"), **_closed(given))
    return (Result("drop", "Pressure falls by", drop_mpa, "pressure"),)


def _leak_from_drift(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    leak = leakage.leak_from_drift_ml_min(
        drift_mm=given.number("drift"),
        minutes=given.number("time") / 60,
        bore_mm=given.number("bore"),
        rod_mm=given.number("rod"),
    )
    return (Result("leak", "Leakage", leak, "flow"),)


def _drift_from_leak(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    speed = leakage.drift_from_leak_mm_min(
        leak_ml_min=given.number("leak"), bore_mm=given.number("bore"), rod_mm=given.number("rod")
    )
    return (Result("speed", "Rod drifts at", speed, "speed"),)


def _drift_meaning(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    says = drift.drift_meaning(
        both_ports_blocked=given.yes("both-ports-shut"),
        double_rod=given.yes("double-rod"),
        load_pulls_rod_out=given.yes("load-pulls-out"),
    )
    return (Result("meaning", "", says),)


def _lock(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    lock = drift.blocked_ports_lock(
        load_n=given.number("load"),
        bore_mm=given.number("bore"),
        rod_mm=given.number("rod"),
        cap_volume_ml=given.number("cap-oil"),
        rod_side_volume_ml=given.number("rod-side-oil"),
        bulk_modulus_mpa=given.number("bulk-modulus"),
    )
    return (
        Result("equal", "Pressures meet at", lock.equal_mpa, "pressure"),
        Result("start", "Pressure at the start, cap side", lock.start_mpa, "pressure"),
        Result("travel", "Rod sinks until then by", lock.travel_mm, "length"),
    )


def _drift_number(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    over = {"bore_mm": given.number("bore"), "hours": given.number("time") / 3600}
    rod_mm = given.maybe("rod") or 0.0
    if given.has("drift"):
        number = drift.drift_number_by_travel(drift_mm=given.number("drift"), rod_mm=rod_mm, **over)
        area = "the bore less the rod" if rod_mm else "the whole bore: the oil leaves the cap side"
    else:
        number = drift.drift_number_by_volume(volume_ml=given.number("oil"), **over)
        area = "none: the oil itself was measured"
    condition = drift.drift_condition(
        drift_number=number, stages=given.count("stages"), bands=handbook.drift_bands[given.text("rings")]
    )
    return (
        Result("condition", "Condition of the piston", condition.value),
        Result("number", "Drift number, ml/(cm·h)", number, "number"),
        Result("area", "Area the travel is taken over", area),
    )


def _hold(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    drop = leakage.hold_drop(
        Hold(
            start_mpa=given.number("start"),
            end_mpa=given.number("end"),
            start_c=given.number("start-temperature"),
            end_c=given.number("end-temperature"),
            minutes=given.number("time") / 60,
        ),
        mpa_per_c=given.number("per-degree"),
        mpa_per_c_uncertainty=given.number("per-degree-uncertainty"),
        gauge_uncertainty_mpa=given.number("gauge-uncertainty"),
        thermometer_uncertainty_c=given.number("thermometer-uncertainty"),
    )
    results = [
        Result("leak", "Drop that is leakage", drop.leak_mpa, "pressure"),
        Result("seen", "Drop as seen", drop.seen_mpa, "pressure"),
        Result("cooling", "Drop explained by cooling", drop.cooling_mpa, "pressure"),
        Result(
            "uncertainty", "Uncertainty of the leakage, ±, k = 2", drop.expanded_uncertainty_mpa, "pressure"
        ),
    ]
    if drop.remark:
        results.append(Result("remark", "", drop.remark))
    if given.has("limit"):
        decided = leakage.judge_hold(drop, limit_mpa=given.exact("limit"))
        results.insert(0, Result("verdict", "Against the limit", decided.verdict.value))
    return tuple(results)


def _drops(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    volume_ml = leakage.drops_ml(drops=given.number("drops"))
    return (Result("volume", "Volume of the drops, about", Decimal(f"{volume_ml:.4g}"), "volume"),)


def _drops_allowed(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    allowed = leakage.drops_allowed(
        packings=given.count("packings"),
        cycles=given.count("cycles"),
        cycles_per_drop=given.count("cycles-per-drop"),
    )
    return (Result("allowed", "Drops allowed", allowed, "count"),)


_TIME = Key("time", "minutes", "Time it took")
_OIL = Key("oil", "oil volume", "Oil under pressure, with its lines")
_LEAK = Key("leak", "flow", "Leakage")
_LOSES = Key("rod", "length", "Rod, if the rod side loses the oil; 0 for the cap side", "0 mm")
_YES_NO = ("yes", "no")
_TEST = ("pressure test",)

CALCULATORS = (
    Calculator(
        "leak-from-drop",
        TOPIC,
        "Leakage of a closed volume from its fall of pressure",
        (Key("drop", "pressure", "Fall of pressure"), _TIME, _OIL, OIL_K),
        _leak_from_drop,
        (leakage.leak_from_pressure_drop_ml_min,),
        "leakage = volume / bulk modulus × drop / time",
        {"drop": "10bar", "time": "5min", "oil": "2 l", "bulk-modulus": "1400MPa"},
        cautions=_TEST,
    ),
    Calculator(
        "drop-from-leak",
        TOPIC,
        "Fall of pressure that a leak causes in a closed volume",
        (_LEAK, _TIME, _OIL, OIL_K),
        _drop_from_leak,
        (leakage.pressure_drop_from_leak_mpa,),
        "drop = bulk modulus × leakage × time / volume",
        {"leak": "0.2857ml/min", "time": "5min", "oil": "2 l", "bulk-modulus": "1400MPa"},
        cautions=_TEST,
    ),
    Calculator(
        "leak-from-drift",
        TOPIC,
        "Leakage from the drift of a rod, one port open",
        (Key("drift", "length", "Travel of the rod"), _TIME, BORE, _LOSES),
        _leak_from_drift,
        (leakage.leak_from_drift_ml_min,),
        "leakage = area × travel / time",
        {"drift": "1mm", "time": "1min", "bore": "100mm"},
        cautions=("trapped-load",),
    ),
    Calculator(
        "drift-from-leak",
        TOPIC,
        "How fast a rod drifts for a leakage, one port open",
        (_LEAK, BORE, _LOSES),
        _drift_from_leak,
        (leakage.drift_from_leak_mm_min,),
        "speed = leakage / area",
        {"leak": "50ml/min", "bore": "100mm"},
    ),
    Calculator(
        "drift-meaning",
        TOPIC,
        "What drift under load says about the piston seal",
        (
            Key("both-ports-shut", "choice", "Both ports are shut", options=_YES_NO),
            Key("double-rod", "choice", "A rod passes through both ends", "no", options=_YES_NO),
            Key("load-pulls-out", "choice", "The load pulls the rod out", "no", options=_YES_NO),
        ),
        _drift_meaning,
        (drift.drift_meaning,),
        "with both ports shut a leaking piston lets the pressures meet, and then it locks",
        {"both-ports-shut": "yes"},
        cautions=("trapped-load",),
    ),
    Calculator(
        "shut-ports",
        TOPIC,
        "Where a piston with a leaking seal comes to rest, both ports shut",
        (
            Key("load", "force", "Load that pushes the rod in"),
            BORE,
            ROD,
            Key("cap-oil", "oil volume", "Oil at the cap end, with its line"),
            Key("rod-side-oil", "oil volume", "Oil at the rod end, with its line"),
            OIL_K,
        ),
        _lock,
        (drift.blocked_ports_lock,),
        "before: load / bore area; after: load / rod area on both sides",
        {
            "load": "50kN",
            "bore": "100mm",
            "rod": "56mm",
            "cap-oil": "4 l",
            "rod-side-oil": "2.7 l",
            "bulk-modulus": "1400MPa",
        },
        cautions=("trapped-load", "both-ends"),
    ),
    Calculator(
        "drift-number",
        TOPIC,
        "Condition of a piston by its drift under a hanging load",
        (
            Key("drift", "length", "Travel of the rod"),
            Key("oil", "volume", "or the oil that passed"),
            BORE,
            Key("rod", "length", "Rod, where the oil leaves the rod side", optional=True),
            Key("time", "hours", "Time it took", "1 h"),
            Key("rings", "choice", "Piston rings", options=lambda handbook: tuple(handbook.drift_bands)),
            Key("stages", "count", "Stages leaking together", "1"),
        ),
        _drift_number,
        (drift.drift_number_by_travel, drift.drift_number_by_volume, drift.drift_condition),
        "number = travel × (bore² − rod²) / (4 × bore × time), or oil / (π × bore × time); rod 0 on the cap side",
        {"drift": "3mm", "bore": "200mm", "time": "1 h", "rings": "resilient"},
        either=(("drift", "oil"),),
        cautions=("trapped-load",),
    ),
    Calculator(
        "hold",
        TOPIC,
        "What a pressure hold proves, corrected for temperature",
        (
            Key("start", "pressure", "Pressure at the start"),
            Key("end", "pressure", "Pressure at the end"),
            Key("start-temperature", "temperature", "Temperature at the start"),
            Key("end-temperature", "temperature", "Temperature at the end"),
            Key("time", "minutes", "Time of the hold"),
            Key(
                "per-degree",
                "pressure",
                "Pressure change for each °C",
                note="see calculator thermal-pressure",
            ),
            Key("per-degree-uncertainty", "pressure", "its uncertainty, k = 2"),
            Key("gauge-uncertainty", "pressure", "Uncertainty of the pressure gauge, k = 2"),
            Key("thermometer-uncertainty", "temperature difference", "Uncertainty of the thermometer, k = 2"),
            Key("limit", "pressure", "Maximum drop allowed", optional=True),
        ),
        _hold,
        (leakage.hold_drop, leakage.judge_hold),
        "leakage's drop = drop seen − change for each °C × cooling; judged with gauge and thermometer in mind",
        {
            "start": "250bar",
            "end": "239bar",
            "start-temperature": "31°C",
            "end-temperature": "30°C",
            "time": "5min",
            "per-degree": "11bar",
            "per-degree-uncertainty": "2bar",
            "gauge-uncertainty": "1bar",
            "thermometer-uncertainty": "0.1°C",
            "limit": "5bar",
        },
        cautions=_TEST,
    ),
    Calculator(
        "drops",
        TOPIC,
        "Volume of counted drops of oil",
        (Key("drops", "count", "Drops counted"),),
        _drops,
        (leakage.drops_ml,),
        "one drop of hydraulic oil is about 0.033 ml",
        {"drops": "180"},
    ),
    Calculator(
        "drops-allowed",
        TOPIC,
        "Drops a set of moving seals may lose over some cycles",
        (
            Key("packings", "count", "Moving seals under pressure"),
            Key("cycles", "count", "Full cycles run"),
            Key("cycles-per-drop", "count", "Cycles in which one seal may lose a drop"),
        ),
        _drops_allowed,
        (leakage.drops_allowed,),
        "seals × cycles / cycles per drop, rounded down",
        {"packings": "3", "cycles": "50", "cycles-per-drop": "25"},
    ),
)
