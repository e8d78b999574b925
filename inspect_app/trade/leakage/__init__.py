"""Leakage, drift and what a hold proves; knows no limit and no valve."""
