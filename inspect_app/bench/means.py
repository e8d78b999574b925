"""Takes a means of the shop into use, and out of it again; jobs keep what was entered while it was there."""

from __future__ import annotations

from collections.abc import Mapping

from inspect_app.bench.bench import Bench
from inspect_app.entries.entry import SHOP
from inspect_app.entries.means import Means, body_of, means_of


def enter_means(bench: Bench, kind: str, typed: Mapping[str, str], by: str, system: str) -> None:
    """Take a means into use; one of the same name takes the place of the one before.

    Args:
        bench: the bench.
        kind: its kind.
        typed: as `means_of` reads it.
        by: initials.
        system: "metric" or "inch".
    Raises:
        Refusal: what cannot be read.
        NotSaved: the disk refused.
    """
    means = means_of(kind, bench.tables.means[kind].measures, typed, system)
    bench.record(SHOP, by, ("means", body_of(means)))


def retire_means(bench: Bench, means: Means, by: str) -> None:
    """Take a means out of use.

    Args:
        bench: the bench.
        means: which.
        by: initials.
    """
    bench.record(SHOP, by, ("means", body_of(means, retired=True)))
