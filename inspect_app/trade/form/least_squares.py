"""Linear least squares by elimination; knows nothing of what was measured."""

from __future__ import annotations

from collections.abc import Sequence

from inspect_app.trade.measuring.refusal import Refusal


def solve(matrix: Sequence[Sequence[float]], right_side: Sequence[float]) -> list[float]:
    """Unknowns of as many linear equations, by elimination with the greatest pivot.

    Args:
        matrix: one row of factors per equation.
        right_side: one value per equation.
    Raises:
        Refusal: the equations do not settle the unknowns.
    Source: least-squares

    >>> solve([[2, 1], [1, 3]], [5, 10])
    [1.0, 3.0]
    """
    rows = [[*factors, value] for factors, value in zip(matrix, right_side, strict=True)]
    size = len(rows)
    for k in range(size):
        pivot = max(range(k, size), key=lambda i: abs(rows[i][k]))
        rows[k], rows[pivot] = rows[pivot], rows[k]
        if rows[k][k] == 0:
            raise Refusal("These places do not settle the shape; measure at more places, further apart.")
        for i in range(k + 1, size):
            share = rows[i][k] / rows[k][k]
            rows[i] = [a - share * b for a, b in zip(rows[i], rows[k], strict=True)]
    unknowns = [0.0] * size
    for k in reversed(range(size)):
        known = sum(rows[k][j] * unknowns[j] for j in range(k + 1, size))
        unknowns[k] = (rows[k][size] - known) / rows[k][k]
    return unknowns


def least_squares(rows: Sequence[Sequence[float]], values: Sequence[float]) -> list[float]:
    """Coefficients x that make the sum of (row · x - value)² least, by the normal equations.

    Args:
        rows: the basis functions at each reading.
        values: the readings.
    Raises:
        Refusal: the readings do not settle the coefficients.
    Source: least-squares

    >>> least_squares([[1, 0], [1, 1], [1, 2]], [1.0, 3.0, 5.0])
    [1.0, 2.0]
    """
    columns = list(zip(*rows, strict=True))
    normal = [[sum(a * b for a, b in zip(p, q, strict=True)) for q in columns] for p in columns]
    return solve(normal, [sum(a * v for a, v in zip(p, values, strict=True)) for p in columns])


def coefficient_weights(rows: Sequence[Sequence[float]]) -> list[list[float]]:
    """How far each coefficient of `least_squares` follows each reading.

    x = (RᵀR)⁻¹ Rᵀ v, so that the coefficient k is the sum of (its weight at a reading) · (the reading)

    Args:
        rows: the basis functions at each reading.
    Returns: for each coefficient one weight a reading.
    Raises:
        Refusal: the readings do not settle the coefficients.
    Source: least-squares

    >>> coefficient_weights([[1, 0], [1, 1], [1, 2]])[1]   # the slope of three readings
    [-0.5, 0.0, 0.5]
    """
    columns = list(zip(*rows, strict=True))
    normal = [[sum(a * b for a, b in zip(p, q, strict=True)) for q in columns] for p in columns]
    inverse = [solve(normal, [float(i == k) for i in range(len(columns))]) for k in range(len(columns))]
    return [[sum(a * b for a, b in zip(line, row, strict=True)) for row in rows] for line in inverse]
