"""Calculators of the rod as a column: push it withstands straight, bowed and ground, and push off its axis."""

from __future__ import annotations

from inspect_app.calculators.shape import Calculator, Given, Key, Result
from inspect_app.calculators.topics.strength.barrels import MODULUS, YIELD
from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.strength import bowed_rod, column
from inspect_app.trade.strength.bowed_rod import PushCapacity
from inspect_app.trade.strength.column import ColumnSection, Segment

TOPIC = "Rod buckling"


def _effective_mm(given: Given, handbook: Handbook) -> float:
    return handbook.mountings[given.text("mounting")].effective_length_mm(given.number("length"))


def _capacity(given: Given, handbook: Handbook, rod_mm: float) -> PushCapacity:
    length_mm = _effective_mm(given, handbook)
    bow_mm = given.number("bow")
    if given.has("bow-span"):
        bow_mm = bowed_rod.bow_over_length_mm(
            bow_mm=bow_mm, span_mm=given.number("bow-span"), length_mm=length_mm
        )
    return bowed_rod.push_capacity(
        column.round_section(outside_mm=rod_mm, inside_mm=given.number("inside")),
        effective_length_mm=length_mm,
        yield_mpa=given.number("yield"),
        bow_mm=bow_mm,
        safety=given.number("safety"),
        elastic_mpa=given.number("modulus"),
    )


def _column(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    stages = [("found", "as found", "rod")]
    if given.has("ground"):
        stages.append(("ground", "after grinding", "ground"))
    results = []
    for name, words, key in stages:
        capacity = _capacity(given, handbook, given.number(key))
        results += [
            Result(f"{name}_permissible", f"Push permitted, {words}", capacity.permissible_n, "force"),
            Result(f"{name}_governed_by", f"Governed by, {words}", capacity.governed_by),
            Result(
                f"{name}_buckling", f"Buckles if straight, {words}, at", capacity.buckling.force_n, "force"
            ),
            Result(f"{name}_slenderness", f"Slenderness, {words}", capacity.buckling.slenderness, "number"),
        ]
        if given.has("push"):
            used = 100 * capacity.utilisation(given.number("push"))
            results.append(Result(f"{name}_used", f"Used by the push, {words}", used, "percent"))
    mounting = handbook.mountings[given.text("mounting")]
    return (
        *results,
        Result(
            "effective_length", "Effective length", _effective_mm(given, handbook), "length", mounting.source
        ),
        Result(
            "mounting",
            "Mounting",
            f"{mounting.cylinder_end}; {mounting.rod_end}; length {mounting.length_taken}",
        ),
    )


def _stepped(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    rod = column.round_section(outside_mm=given.number("rod"))
    barrel = column.round_section(outside_mm=given.number("outside"), inside_mm=given.number("bore"))
    elastic_mpa = given.number("modulus")
    force_n = column.stepped_column_force_n(
        [
            Segment(rod.inertia_mm4, given.number("rod-length")),
            Segment(barrel.inertia_mm4, given.number("barrel-length")),
        ],
        elastic_mpa=elastic_mpa,
    )
    even_mm = column.equivalent_length_mm(rod, force_n=force_n, elastic_mpa=elastic_mpa)
    return (
        Result("force", "Rod and barrel buckle together at", force_n, "force"),
        Result("equivalent_length", "Length of an even rod that buckles alike", even_mm, "length"),
    )


def _rod(given: Given) -> tuple[ColumnSection, float, float]:
    section = column.round_section(outside_mm=given.number("rod"))
    return section, given.number("length"), given.number("modulus")


def _off_axis(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    section, length_mm, elastic_mpa = _rod(given)
    off_mm = given.number("eccentricity")
    yields_n = bowed_rod.secant_force_n(
        section,
        eccentricity_mm=off_mm,
        effective_length_mm=length_mm,
        yield_mpa=given.number("yield"),
        elastic_mpa=elastic_mpa,
    )
    results = [Result("yields", "Begins to yield at a push of", yields_n, "force")]
    if given.has("push"):
        stress_mpa = bowed_rod.secant_stress_mpa(
            section,
            force_n=given.number("push"),
            eccentricity_mm=off_mm,
            effective_length_mm=length_mm,
            elastic_mpa=elastic_mpa,
        )
        results.append(Result("stress", "Maximum stress at the push", stress_mpa, "stress"))
    return tuple(results)


def _bowed(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    section, length_mm, elastic_mpa = _rod(given)
    bow_mm = given.number("bow")
    yields_n = bowed_rod.bow_yield_force_n(
        section,
        bow_mm=bow_mm,
        effective_length_mm=length_mm,
        yield_mpa=given.number("yield"),
        elastic_mpa=elastic_mpa,
    )
    results = [Result("yields", "Begins to bend for good at a push of", yields_n, "force")]
    if given.has("push"):
        stress_mpa = bowed_rod.bow_stress_mpa(
            section,
            force_n=given.number("push"),
            bow_mm=bow_mm,
            effective_length_mm=length_mm,
            elastic_mpa=elastic_mpa,
        )
        results.append(Result("stress", "Maximum stress at the push", stress_mpa, "stress"))
    return tuple(results)


def _mountings(handbook: Handbook) -> tuple[str, ...]:
    return tuple(handbook.mountings)


_ROD = Key("rod", "length", "Rod diameter, of the steel")
_LENGTH = Key("length", "length", "Effective length, pinned ends")
_PUSH = Key("push", "force", "Push of the cylinder", optional=True)

CALCULATORS = (
    Calculator(
        "column",
        TOPIC,
        "Push a rod withstands, by mounting, with its bow, before and after grinding",
        (
            _ROD,
            Key("length", "length", "Length the mounting names, rod fully out"),
            Key(
                "mounting",
                "choice",
                "How the two ends are held, cylinder-rod",
                options=_mountings,
                note="pivot: eye, clevis, trunnion; fixed: flange, feet, bolted; sway, free: load not guided",
            ),
            YIELD,
            Key("safety", "number", "Safety factor the shop asks for"),
            Key("bow", "length", "Bow, half the dial's reading", "0 mm"),
            Key("bow-span", "length", "Span the bow was measured over, if not the whole", optional=True),
            Key("ground", "length", "Diameter after grinding", optional=True),
            _PUSH,
            Key("inside", "length", "Bore of a hollow rod", "0 mm"),
            MODULUS,
        ),
        _column,
        (bowed_rod.push_capacity, bowed_rod.bow_over_length_mm, column.buckling),
        "the smaller of Euler's or Johnson's push and the push at which the bowed rod yields, over the safety",
        {
            "rod": "50mm",
            "length": "1500mm",
            "mounting": "pivot-pivot",
            "yield": "500MPa",
            "safety": "2",
            "bow": "1mm",
            "bow-span": "1500mm",
            "ground": "49.5mm",
            "push": "100kN",
            "modulus": "210GPa",
        },
    ),
    Calculator(
        "rod-and-barrel",
        TOPIC,
        "Push at which rod and barrel buckle together, pinned at both ends",
        (
            _ROD,
            Key("rod-length", "length", "Length of rod that is out"),
            Key("bore", "length", "Bore"),
            Key("outside", "length", "Outside diameter of the barrel"),
            Key("barrel-length", "length", "Length of the barrel"),
            MODULUS,
        ),
        _stepped,
        (column.stepped_column_force_n, column.equivalent_length_mm),
        "smallest root of k2 sin(k1 L1) cos(k2 L2) + k1 cos(k1 L1) sin(k2 L2) = 0, k = √(P / (E I))",
        {
            "rod": "50mm",
            "rod-length": "800mm",
            "bore": "100mm",
            "outside": "120mm",
            "barrel-length": "900mm",
            "modulus": "210GPa",
        },
    ),
    Calculator(
        "off-axis-push",
        TOPIC,
        "Straight rod pushed off its axis: stress, and the push at which it yields",
        (_ROD, _LENGTH, Key("eccentricity", "length", "How far off the axis"), YIELD, _PUSH, MODULUS),
        _off_axis,
        (bowed_rod.secant_force_n, bowed_rod.secant_stress_mpa),
        "stress = P/A (1 + (e c / k²) sec((L / 2k) √(P / (A E))))",
        {
            "rod": "50mm",
            "length": "1500mm",
            "eccentricity": "1mm",
            "yield": "500MPa",
            "push": "262.03kN",
            "modulus": "210GPa",
        },
    ),
    Calculator(
        "bowed-rod",
        TOPIC,
        "Bowed rod under push: stress, and the push at which it bends for good",
        (_ROD, _LENGTH, Key("bow", "length", "Bow over that length"), YIELD, _PUSH, MODULUS),
        _bowed,
        (bowed_rod.bow_yield_force_n, bowed_rod.bow_stress_mpa),
        "stress = P/A (1 + (bow c / k²) / (1 − P / Euler's push)), c half the diameter, k radius of gyration",
        {
            "rod": "50mm",
            "length": "1500mm",
            "bow": "1mm",
            "yield": "500MPa",
            "push": "265.82kN",
            "modulus": "210GPa",
        },
    ),
)
