"""Looks for input that is neither taken nor refused in words, guided by which lines of the program it reaches.

`pip install atheris`, then `python tests/fuzz.py DOOR [SECONDS]`; the doors stand in `hostile.py`. What it finds it
writes into the folder it runs in; nothing found says how many inputs were tried.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path


def main() -> None:
    """Try one door for some time, a minute if none is said."""
    import atheris  # nobody else needs it, and it must be there before what it follows

    with atheris.instrument_imports(include=["inspect_app"]):
        from hostile import DOORS

    door = DOORS[sys.argv[1]]
    seconds = sys.argv[2] if len(sys.argv) > 2 else "60"
    with tempfile.TemporaryDirectory() as corpus:
        for number, sample in enumerate(door.samples()):
            (Path(corpus) / str(number)).write_bytes(sample)
        atheris.Setup([sys.argv[0], f"-max_total_time={seconds}", "-max_len=20000", corpus], door.answer)
        atheris.Fuzz()


if __name__ == "__main__":
    main()
