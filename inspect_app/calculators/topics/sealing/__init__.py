"""Calculators of rings, gaps, housings and seal materials."""
