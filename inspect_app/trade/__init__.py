"""The trade's mathematics, pure: plain numbers in, plain numbers out, units named in the arguments.

Canonical units are mm, MPa, N, N·m and °C. Nothing in here knows of files, screens or the logbook.
"""
