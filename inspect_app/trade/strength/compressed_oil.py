"""Energy and pressure held in oil and trapped gas; knows no limits and no cylinder."""

from __future__ import annotations

from inspect_app.trade.measuring.amounts import Amount, argument
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.required import require_finite, require_not_negative, require_positive

ATMOSPHERE_MPA = 0.101325
GAS_EXPONENT = 1.4  # air and nitrogen


def squeezed_oil_l(*, volume_l: float, pressure_mpa: float, bulk_modulus_mpa: float) -> float:
    """Oil that must be pumped in to bring a closed volume to pressure, litres.

    dV = V p / K

    Args:
        volume_l: oil under pressure, l.
        pressure_mpa: pressure reached, MPa.
        bulk_modulus_mpa: bulk modulus K, MPa; of oil and barrel together for a real cylinder.
    Raises:
        Refusal: a pressure as high as the bulk modulus, or a value out of range.
    Valid: no air; linear, high by about p/(2K).
    Source: oil-compressibility

    >>> squeezed_oil_l(volume_l=250, pressure_mpa=16, bulk_modulus_mpa=5000)  # physics textbook, 0.25 m³
    0.80
    """
    require_not_negative(volume_l=volume_l, pressure_mpa=pressure_mpa)
    require_positive(bulk_modulus_mpa=bulk_modulus_mpa)
    if pressure_mpa >= bulk_modulus_mpa:
        raise Refusal(
            "{pressure} and {modulus}; oil has about {least} to {greatest}, check the units.",
            pressure=argument("pressure_mpa", pressure_mpa),
            modulus=argument("bulk_modulus_mpa", bulk_modulus_mpa),
            least=Amount(1400, "modulus"),
            greatest=Amount(2000, "modulus"),
        )
    return volume_l * pressure_mpa / bulk_modulus_mpa


def oil_energy_j(*, volume_l: float, pressure_mpa: float, bulk_modulus_mpa: float) -> float:
    """Energy released when oil under test pressure escapes, J.

    E = p² V / (2 K)

    Args:
        volume_l: oil under pressure, l.
        pressure_mpa: pressure, MPa.
        bulk_modulus_mpa: bulk modulus K, MPa; of oil and barrel together for a real cylinder.
    Raises:
        Refusal: a pressure as high as the bulk modulus, or a value out of range.
    Valid: no air; a bubble adds `gas_energy_j`.
    Source: oil-compressibility

    >>> oil_energy_j(volume_l=20, pressure_mpa=30, bulk_modulus_mpa=1500)
    6000.0
    """
    squeezed_l = squeezed_oil_l(
        volume_l=volume_l, pressure_mpa=pressure_mpa, bulk_modulus_mpa=bulk_modulus_mpa
    )
    return 1000 * pressure_mpa * squeezed_l / 2


def squeezed_gas_l(*, free_l: float, pressure_mpa: float) -> float:
    """Volume to which air left in before the test shrinks under pressure, litres.

    V = V0 p0 / (p + p0)

    Args:
        free_l: air left in at the pressure of the room V0, l.
        pressure_mpa: test pressure on the gauge p, MPa.
    Raises:
        Refusal: a negative value.
    Valid: raised slowly (constant temperature); none of the air dissolves.
    Source: gas-energy

    >>> squeezed_gas_l(free_l=1, pressure_mpa=25)
    0.00404
    """
    require_not_negative(free_l=free_l, pressure_mpa=pressure_mpa)
    return free_l * ATMOSPHERE_MPA / (pressure_mpa + ATMOSPHERE_MPA)


def gas_energy_j(*, volume_l: float, pressure_mpa: float) -> float:
    """Energy that comes free when gas trapped at test pressure expands into the room, J.

    E = p V / (g - 1) (1 - (p0/p)^((g-1)/g)), p absolute, g = 1.4

    Args:
        volume_l: gas as it stands under pressure V, l; see `squeezed_gas_l` for air left in.
        pressure_mpa: pressure on the gauge, MPa.
    Raises:
        Refusal: a negative value.
    Valid: air or nitrogen as an ideal gas, let go at once (no heat taken up).
    Source: gas-energy

    >>> gas_energy_j(volume_l=0.1, pressure_mpa=24.9) / 1000  # kJ: 2.5 times what 10 l of oil hold
    4.96
    """
    require_not_negative(volume_l=volume_l, pressure_mpa=pressure_mpa)
    absolute_mpa = pressure_mpa + ATMOSPHERE_MPA
    share: float = 1 - (ATMOSPHERE_MPA / absolute_mpa) ** ((GAS_EXPONENT - 1) / GAS_EXPONENT)
    return 1000 * absolute_mpa * volume_l / (GAS_EXPONENT - 1) * share


def effective_bulk_modulus_mpa(*, oil_bulk_modulus_mpa: float, dilation_per_mpa: float) -> float:
    """Bulk modulus of oil and barrel together, MPa.

    1 / K_eff = 1 / K + (dV/V) / p

    Args:
        oil_bulk_modulus_mpa: bulk modulus of the oil K, MPa.
        dilation_per_mpa: share by which the barrel's volume grows for each MPa.
    Raises:
        Refusal: a value out of range.
    Valid: no undissolved air, which rules below some 5 to 10 MPa.
    Source: oil-compressibility

    >>> effective_bulk_modulus_mpa(oil_bulk_modulus_mpa=1600, dilation_per_mpa=5.4545e-5)
    1471.6
    """
    require_positive(oil_bulk_modulus_mpa=oil_bulk_modulus_mpa)
    require_not_negative(dilation_per_mpa=dilation_per_mpa)
    return 1 / (1 / oil_bulk_modulus_mpa + dilation_per_mpa)


def locked_pressure_rise_mpa(
    *,
    temperature_rise_c: float,
    expansion_per_c: float,
    bulk_modulus_mpa: float,
    wall_expansion_per_c: float = 0.0,
) -> float:
    """Pressure change of oil locked in a cylinder as it warms, MPa; negative as it cools.

    dp = (beta - 3 alpha) dT K

    Args:
        temperature_rise_c: warming dT, °C.
        expansion_per_c: cubic expansion of the oil beta, 1/°C.
        bulk_modulus_mpa: bulk modulus of oil and barrel together K, MPa.
        wall_expansion_per_c: linear expansion of the barrel alpha, 1/°C, if it warms as the oil does.
    Raises:
        Refusal: a value out of range.
    Valid: full of oil, both ports tight.
    Source: thermal-lock

    >>> round(locked_pressure_rise_mpa(temperature_rise_c=1, expansion_per_c=7e-4,
    ...                                wall_expansion_per_c=12e-6, bulk_modulus_mpa=1471.6), 3)
    0.977
    """
    require_finite(temperature_rise_c=temperature_rise_c)
    require_positive(expansion_per_c=expansion_per_c, bulk_modulus_mpa=bulk_modulus_mpa)
    require_not_negative(wall_expansion_per_c=wall_expansion_per_c)
    return (expansion_per_c - 3 * wall_expansion_per_c) * temperature_rise_c * bulk_modulus_mpa
