"""Measured teardown inspection of hydraulic cylinders: from the first reading to the report."""
