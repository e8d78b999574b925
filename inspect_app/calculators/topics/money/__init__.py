"""Calculators of repair against new."""
