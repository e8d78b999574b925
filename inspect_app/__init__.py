"""Measured teardown inspection of hydraulic cylinders: from the first reading to the report."""

__version__ = "0.1.0"
