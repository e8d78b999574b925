"""Repair against new, in any currency; knows no cylinder."""
