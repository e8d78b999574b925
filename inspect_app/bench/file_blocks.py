"""Refuses a block of a readings file that is not what belongs there; knows no job."""

from __future__ import annotations

from collections.abc import Sequence

from inspect_app.trade.measuring.refusal import Refusal


def require_keys(
    where: str, block: object, keys: Sequence[str], *, tables: Sequence[str] = (), lists: Sequence[str] = ()
) -> None:
    """Refuse a block that is no table, has a key that is not known, or no table or list where one belongs.

    Args:
        where: the file and the block, for the sentence.
        block: what stands there.
        keys: the keys it may have.
        tables: those that hold a table.
        lists: those that hold a list.
    """
    if not isinstance(block, dict):
        raise Refusal(f"{where}: found {block!r}; allowed is a table with {', '.join(keys)}.")
    if unknown := [k for k in block if k not in keys]:
        raise Refusal(f"{where}: found {', '.join(unknown)}; allowed are {', '.join(keys)}.")
    for names, kind, words in ((tables, dict, "a table"), (lists, list, "a list")):
        for name in names:
            if not isinstance(block.get(name, kind()), kind):
                raise Refusal(f"{where}: {name}: found {block[name]!r}; allowed is {words}.")
