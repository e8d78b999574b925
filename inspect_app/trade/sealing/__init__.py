"""Rings, their housings, gaps and materials; knows no cylinder."""
