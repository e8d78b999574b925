"""Calculators of threads, preloaded joints and torque."""
