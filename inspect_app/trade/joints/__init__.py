"""Threads, preloaded joints and the torque that makes them; knows no checklist."""
