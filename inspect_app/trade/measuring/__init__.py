"""Quantities and their units, gauges and their uncertainty, the decision, what is unlikely; knows no part."""
