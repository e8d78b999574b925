"""Calculators of section, bore, rod and surface."""
