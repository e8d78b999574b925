"""Calculators of barrel, column, force and oil under pressure."""
