"""What a readings file says of the scope: [scope] with the path chosen, the terms, and lines as they were changed.

[scope]
path = ["rechrome", "reseal"], path_reason     the way chosen, by the ids of operations.toml
form = "quotation", or "estimate"
valid_until = 2026-04-30; excluded, customer, may_order_for, complaint, refused_fee
[[scope.confirmed]]  operation, words: what an operation asks to be confirmed, and who answers for it
[[scope.line]]       line = "own-1" for one added by hand, or an operation's id; title, price, reason, if_not,
                     optional = true for what the customer chooses, dropped = true for what is left out
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from inspect_app.bench.file_blocks import require_keys
from inspect_app.bench.seals_file import Recorder
from inspect_app.entries import agreeing

TERMS = ("form", "valid_until", "excluded", "customer", "may_order_for", "complaint", "refused_fee")
LINE_TEXTS, LINE_FLAGS = ("line", "title", "price", "reason", "if_not"), ("optional", "dropped")
LINE_KEYS = (*LINE_TEXTS, *LINE_FLAGS)
CONFIRMED_KEYS = ("operation", "words")
KEYS = ("path", "path_reason", *TERMS, "confirmed", "line")


def record_scope(path: str, block: Mapping[str, Any], to: Recorder) -> None:
    """Record what a file says of the scope.

    Args:
        path: the file, for the sentences.
        block: its [scope].
        to: who records it.
    Raises:
        Refusal: a key that is not known, or whatever cannot be entered.
    """
    where = f"{path}: scope"
    require_keys(where, block, KEYS, lists=("path", "confirmed", "line"))
    for found in block.get("confirmed", ()):
        require_keys(f"{where}.confirmed", found, CONFIRMED_KEYS)
        said = (str(found.get(key, "")) for key in CONFIRMED_KEYS)
        to.enter("scope.confirmed", agreeing.WorkAnsweredFor(*said))
    if "path" in block:
        operations = tuple(str(o) for o in block["path"])
        to.enter("scope.path", agreeing.PathChosen(operations, str(block.get("path_reason", ""))))
    if terms := {key: str(block[key]) for key in TERMS if key in block}:
        to.enter("scope", agreeing.TermsSaid(**terms))
    for found in block.get("line", ()):
        require_keys(f"{where}.line", found, LINE_KEYS)
        line, title, price, reason, if_not = (str(found.get(key, "")) for key in LINE_TEXTS)
        optional, dropped = (bool(found.get(key)) for key in LINE_FLAGS)
        to.enter("scope.line", agreeing.LineChanged(line, title, price, optional, dropped, reason, if_not))
