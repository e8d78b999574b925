"""Calculators of leakage and drift."""
