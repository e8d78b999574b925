"""What readings of a coating's thickness say; knows no limits and no gauge."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.required import require_not_negative


def _require_readings(readings_um: Sequence[Decimal], *, at_least: int) -> None:
    if len(readings_um) < at_least:
        raise Refusal(f"{len(readings_um)} thickness readings were given; at least {at_least} are needed.")
    for number, reading_um in enumerate(readings_um, 1):
        require_not_negative(**{f"thickness_{number}_um": float(reading_um)})


def least_um(readings_um: Sequence[Decimal]) -> Decimal:
    """Least thickness read, µm: the place that wears through first.

    Args:
        readings_um: thickness at each place, µm.
    Raises:
        Refusal: no readings, or a negative one.

    >>> least_um([Decimal(24), Decimal(19), Decimal(26)])
    Decimal('19')
    """
    _require_readings(readings_um, at_least=1)
    return min(readings_um)


def mean_um(readings_um: Sequence[Decimal]) -> Decimal:
    """Mean thickness, µm.

    Args:
        readings_um: thickness at each place, or repeats at one place, µm.
    Raises:
        Refusal: no readings, or a negative one.

    >>> mean_um([Decimal(24), Decimal(25), Decimal(26)])
    Decimal('25')
    """
    _require_readings(readings_um, at_least=1)
    return sum(readings_um, Decimal(0)) / len(readings_um)


@dataclass(frozen=True, slots=True)
class Repeats:
    """Repeated readings at one place: their mean, their scatter, and whether they agree."""

    mean_um: Decimal
    scatter_um: Decimal
    allowed_um: Decimal
    agree: bool


def repeats_um(readings_um: Sequence[Decimal]) -> Repeats:
    """Mean of repeated readings at one place, and whether any two differ too much to keep the set, µm.

    allowed = the greater of 5 % of the mean and 2 µm

    Args:
        readings_um: repeats at one place, at least 3, µm.
    Raises:
        Refusal: fewer than 3 readings, or a negative one.
    Valid: magnetic gauges. The gauge adds up every layer down to the magnetic steel; at edges and on a
        curved surface only after setting it on bare steel of the same curve.
    Source: astm-b499

    >>> repeats_um([Decimal(23), Decimal(25), Decimal(26)]).agree
    False
    """
    _require_readings(readings_um, at_least=3)
    mean = mean_um(readings_um)
    scatter = max(readings_um) - min(readings_um)
    allowed = max(mean * 5 / 100, Decimal(2))
    return Repeats(mean_um=mean, scatter_um=scatter, allowed_um=allowed, agree=scatter <= allowed)
