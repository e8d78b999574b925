"""What a readings file says of the scope: [scope] with the path chosen, the terms, lines as changed, and the answer.

[scope]
path = ["rechrome", "reseal"], path_reason     the way chosen, by the ids of operations.toml
form = "quotation", or "estimate"
valid_until = 2026-04-30; excluded, customer, may_order_for, complaint, refused_fee
[[scope.confirmed]]  operation, words: what an operation asks to be confirmed, and who answers for it
[[scope.line]]       line = "own-1" for one added by hand, or an operation's id; title, price, reason, if_not,
                     optional = true for what the customer chooses, dropped = true for what is left out
[scope.answer]       what the customer said to the scope as all this makes it: said = "yes", "no", "question" or "call";
                     name, how = "paper", "telephone", "message" or "typed-name"; to, role, words;
                     options = { own-1 = true }, each optional line
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from inspect_app.bench.bench import Bench
from inspect_app.bench.file_blocks import require_keys
from inspect_app.bench.outcome import Outcome
from inspect_app.bench.scoping import answer, freeze
from inspect_app.bench.seals_file import Recorder
from inspect_app.entries import agreeing
from inspect_app.entries.job import Job
from inspect_app.trade.measuring.refusal import Refusal

TERMS = ("form", "valid_until", "excluded", "customer", "may_order_for", "complaint", "refused_fee")
LINE_TEXTS, LINE_FLAGS = ("line", "title", "price", "reason", "if_not"), ("optional", "dropped")
LINE_KEYS = (*LINE_TEXTS, *LINE_FLAGS)
CONFIRMED_KEYS = ("operation", "words")
ANSWER_TEXTS = ("said", "name", "how", "to", "role", "words")
KEYS = ("path", "path_reason", *TERMS, "confirmed", "line", "answer")


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
    require_keys(where, block, KEYS, tables=("answer",), lists=("path", "confirmed", "line"))
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


def answered(path: str, block: Mapping[str, Any], bench: Bench, job: Job, by: str) -> Outcome:
    """Freeze the scope as it stands, and take in what a file says the customer answered to it.

    Args:
        path: the file, for the sentences.
        block: its [scope.answer].
        bench: the open data folder.
        job: the job, with everything the scope is made of.
        by: initials of who takes the answer.
    Raises:
        Refusal: a key that is not known, or nothing can be proposed.
    """
    where = f"{path}: scope.answer"
    require_keys(where, block, (*ANSWER_TEXTS, "options"), tables=("options",))
    said, name, how, to, role, words = (str(block.get(key, "")) for key in ANSWER_TEXTS)
    options = {str(line): bool(yes) for line, yes in block.get("options", {}).items()}
    try:
        job, version = freeze(bench, job, by, job.as_found.units)
    except Refusal as refusal:
        raise Refusal(f"{where}: {refusal.words(job.as_found.units)}") from None
    return answer(
        bench, job, version, said, by=by, name=name, how=how, options=options, role=role, to=to, words=words
    )
