"""Builds the static site of the phone alone; runs on an ordinary machine, never in a browser."""
