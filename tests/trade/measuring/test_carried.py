"""Uncertainty through a formula: worked by hand after the GUM."""

from __future__ import annotations

import pytest

from inspect_app.trade.measuring.carried import Carried, carry


def test_a_product_follows_its_relative_parts() -> None:
    # GUM 5.1.6: (U/y)² = Σ (U_i/x_i)²; 10 ± 0.3 times 20 ± 0.8: sqrt(0.03² + 0.04²) = 0.05, so 200 ± 10
    product = carry(lambda a, b: a * b, a=Carried(10, 0.3), b=Carried(20, 0.8))
    assert (product.value, product.expanded) == pytest.approx((200, 10))


def test_a_difference_adds_its_parts_as_squares() -> None:
    difference = carry(lambda a, b: a - b, a=Carried(100.2, 0.003), b=Carried(99.8, 0.004))
    assert (difference.value, difference.expanded) == pytest.approx((0.4, 0.005))


def test_an_exact_value_adds_nothing() -> None:
    assert carry(lambda x: x**2, x=Carried(3)) == Carried(9, 0)
