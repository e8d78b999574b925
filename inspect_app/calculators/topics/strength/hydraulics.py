"""Calculators of force, speed and what oil under pressure holds."""

from __future__ import annotations

from inspect_app.calculators.shape import Calculator, Given, Key, Result
from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.strength import barrel, compressed_oil, force

TOPIC = "Force, speed and stored energy"
_ML_PER_L = 1000


def outside_mm(given: Given) -> float:
    """The outside diameter of a barrel, as given or from its wall."""
    return (
        given.number("outside") if given.has("outside") else given.number("bore") + 2 * given.number("wall")
    )


def _force(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    bore_mm, rod_mm = given.number("bore"), given.number("rod")
    pushed = {
        "bore_mm": bore_mm,
        "rod_mm": rod_mm,
        "pressure_mpa": given.number("pressure"),
        "efficiency": given.share("efficiency"),
    }
    back_mpa = given.number("back-pressure")
    annulus_mm2 = force.annulus_area_mm2(bore_mm=bore_mm, rod_mm=rod_mm)
    cap_mm2 = force.circle_area_mm2(bore_mm)
    return (
        Result("push", "Push", force.push_force_n(**pushed, back_pressure_mpa=back_mpa), "force"),
        Result("pull", "Pull", force.pull_force_n(**pushed), "force"),
        Result("cap_area", "Area of the cap end", cap_mm2, "area"),
        Result("annulus_area", "Area of the rod end", annulus_mm2, "area"),
        Result("ratio", "Ratio of the areas", cap_mm2 / annulus_mm2, "number"),
    )


def _speed(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    cylinder = {"bore_mm": given.number("bore"), "rod_mm": given.number("rod")}
    flow_l_min = given.number("flow") / _ML_PER_L
    moving = force.speeds(**cylinder, flow_l_min=flow_l_min)
    results = [
        Result("out", "Rod out", moving.out_mm_s * 60, "rod speed"),
        Result("in", "Rod in", moving.in_mm_s * 60, "rod speed"),
        Result("return_out", "Flow back, rod going out", moving.return_out_l_min * _ML_PER_L, "pump flow"),
        Result("return_in", "Flow back, rod going in", moving.return_in_l_min * _ML_PER_L, "pump flow"),
    ]
    if given.has("stroke"):
        oil = force.volumes_l(**cylinder, stroke_mm=given.number("stroke"))
        results += [
            Result("cap_volume", "Oil in the cap end", oil.cap_l * _ML_PER_L, "oil volume"),
            Result("annulus_volume", "Oil in the rod end", oil.annulus_l * _ML_PER_L, "oil volume"),
            Result("rod_volume", "Swing of the tank's level", oil.rod_l * _ML_PER_L, "oil volume"),
        ]
    if given.has("pressure"):
        power_kw = force.hydraulic_power_kw(pressure_mpa=given.number("pressure"), flow_l_min=flow_l_min)
        results.append(Result("power", "Power of the flow", power_kw, "power"))
    return tuple(results)


def _intensified(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    pressure_mpa = given.number("pressure")
    rod_side_mpa = force.rod_side_pressure_mpa(
        bore_mm=given.number("bore"),
        rod_mm=given.number("rod"),
        cap_pressure_mpa=pressure_mpa,
        load_n=given.number("load"),
    )
    results = [Result("rod_side", "Pressure in the shut rod side", rod_side_mpa, "pressure")]
    if pressure_mpa > 0:
        results.append(
            Result("ratio", "Times the pressure at the cap end", rod_side_mpa / pressure_mpa, "number")
        )
    return tuple(results)


def _energy(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    pressure_mpa, volume_l = given.number("pressure"), given.number("oil") / _ML_PER_L
    squeezed = {
        "volume_l": volume_l,
        "pressure_mpa": pressure_mpa,
        "bulk_modulus_mpa": given.number("bulk-modulus"),
    }
    oil_j = compressed_oil.oil_energy_j(**squeezed)
    gas_l = compressed_oil.squeezed_gas_l(free_l=given.number("air") / _ML_PER_L, pressure_mpa=pressure_mpa)
    gas_j = compressed_oil.gas_energy_j(volume_l=gas_l, pressure_mpa=pressure_mpa)
    pumped_l = compressed_oil.squeezed_oil_l(**squeezed)
    return (
        Result("energy", "Energy released", oil_j + gas_j, "energy"),
        Result("oil", "Energy held by the oil", oil_j, "energy"),
        Result("gas", "Energy held by the air left in", gas_j, "energy"),
        Result("pumped", "Oil to pump in for the pressure", pumped_l * _ML_PER_L, "oil volume"),
        Result("gas_volume", "Air shrinks to", gas_l * _ML_PER_L, "oil volume"),
    )


def _bulk_modulus(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    per_mpa = barrel.dilation_per_mpa(bore_mm=given.number("bore"), outside_mm=outside_mm(given))
    together_mpa = compressed_oil.effective_bulk_modulus_mpa(
        oil_bulk_modulus_mpa=given.number("bulk-modulus"), dilation_per_mpa=per_mpa
    )
    return (
        Result("together", "Bulk modulus of oil and barrel together", together_mpa, "modulus"),
        Result("dilation", "Barrel's volume grows, for each 100 bar", 100 * 10 * per_mpa, "percent"),
    )


def _thermal(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    rise_c = given.number("to") - given.number("from")
    rise_mpa = compressed_oil.locked_pressure_rise_mpa(
        temperature_rise_c=rise_c,
        expansion_per_c=given.number("expansion"),
        bulk_modulus_mpa=given.number("bulk-modulus"),
        wall_expansion_per_c=given.number("wall-expansion"),
    )
    results = [Result("rise", "Pressure rises by", rise_mpa, "pressure")]
    if rise_c:
        results.append(Result("per_degree", "for each °C", rise_mpa / rise_c, "pressure"))
    return tuple(results)


BORE = Key("bore", "length", "Bore")
ROD = Key("rod", "length", "Rod diameter")
WALL = (
    Key("outside", "length", "Outside diameter of the barrel"),
    Key("wall", "length", "or its wall thickness"),
)
EITHER_WALL = (("outside", "wall"),)
_PRESSURE = Key("pressure", "pressure", "Pressure")
_K_NOTE = "mineral oil has about 1400 to 2000 MPa, less with air in it"
OIL_K = Key(
    "bulk-modulus", "modulus", "Bulk modulus of the oil, with the barrel's give if known", note=_K_NOTE
)

CALCULATORS = (
    Calculator(
        "force",
        TOPIC,
        "Push and pull of a cylinder, and its areas",
        (
            BORE,
            ROD,
            _PRESSURE,
            Key("back-pressure", "pressure", "Pressure left on the rod side while pushing", "0 bar"),
            Key("efficiency", "percent", "Percent of the force that friction leaves", "100 %"),
        ),
        _force,
        (force.push_force_n, force.pull_force_n),
        "push = (pressure × cap area − back pressure × rod-end area) × efficiency; pull on the rod-end area",
        {"bore": "100mm", "rod": "70mm", "pressure": "200bar"},
        cautions=("test-open-port",),
    ),
    Calculator(
        "speed",
        TOPIC,
        "Rod speeds, return flows, oil volumes and power at a pump flow",
        (
            BORE,
            ROD,
            Key("flow", "pump flow", "Flow into the cylinder"),
            Key("stroke", "length", "Stroke, for the volumes", optional=True),
            Key("pressure", "pressure", "Pressure, for the power", optional=True),
        ),
        _speed,
        (force.speeds,),
        "speed = flow / area; flow back = flow × the ratio of the areas; power = pressure × flow",
        {"bore": "100mm", "rod": "70mm", "flow": "40 l/min", "stroke": "1000mm", "pressure": "200bar"},
    ),
    Calculator(
        "intensification",
        TOPIC,
        "Pressure in a shut rod side while the cap end is pressed",
        (BORE, ROD, _PRESSURE, Key("load", "force", "Load that resists the rod", "0 N")),
        _intensified,
        (force.rod_side_pressure_mpa,),
        "rod-side pressure = (pressure × cap area − load) / rod-end area",
        {"bore": "100mm", "rod": "70mm", "pressure": "160bar"},
        cautions=("test-open-port", "both-ends"),
    ),
    Calculator(
        "stored-energy",
        TOPIC,
        "Energy released if a cylinder under test bursts",
        (
            Key("oil", "oil volume", "Oil under pressure"),
            Key("pressure", "pressure", "Test pressure"),
            OIL_K,
            Key("air", "oil volume", "Air left in, measured before the test", "0 l"),
        ),
        _energy,
        (
            compressed_oil.oil_energy_j,
            compressed_oil.squeezed_oil_l,
            compressed_oil.gas_energy_j,
            compressed_oil.squeezed_gas_l,
        ),
        "oil: pressure² × volume / (2 × bulk modulus); air: work of an ideal gas let go at once",
        {"oil": "20 l", "pressure": "300bar", "bulk-modulus": "1500MPa"},
        cautions=("pressure test",),
    ),
    Calculator(
        "bulk-modulus",
        TOPIC,
        "Bulk modulus of oil and barrel together",
        (BORE, *WALL, Key("bulk-modulus", "modulus", "Bulk modulus of the oil", note=_K_NOTE)),
        _bulk_modulus,
        (compressed_oil.effective_bulk_modulus_mpa, barrel.dilation_per_mpa),
        "1 / together = 1 / oil + share by which the barrel's volume grows for each unit of pressure",
        {"bore": "100mm", "outside": "120mm", "bulk-modulus": "1600MPa"},
        either=EITHER_WALL,
    ),
    Calculator(
        "thermal-pressure",
        TOPIC,
        "Pressure of oil locked in a cylinder as it warms",
        (
            Key("from", "temperature", "Temperature when it was locked"),
            Key("to", "temperature", "Temperature later"),
            OIL_K,
            Key("expansion", "number", "Cubic expansion of the oil, 1/°C", note="mineral oil about 0.0007"),
            Key("wall-expansion", "number", "Linear expansion of the barrel, 1/°C", "0",
                note="steel about 0.000012, if it warms with the oil"),
        ),
        _thermal,
        (compressed_oil.locked_pressure_rise_mpa,),
        "rise = (cubic expansion − 3 × linear expansion of the wall) × warming × bulk modulus",
        {
            "from": "20°C",
            "to": "21°C",
            "bulk-modulus": "1471.6MPa",
            "expansion": "0.0007",
            "wall-expansion": "0.000012",
        },
        cautions=("both-ends",),
    ),
)  # fmt: skip
