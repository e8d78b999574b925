"""Calculators of readings, sizes, units and the decision."""
