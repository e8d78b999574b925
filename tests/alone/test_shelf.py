"""The data folder on the browser's own disk, with the browser's own Python over a disk that a test holds, in Node.js.

What is expected follows from what was written: whose bytes, how many, and which were called saved.
"""

from __future__ import annotations

import errno
import json
import subprocess
from pathlib import Path
from typing import Any

import pytest
from flet_web import get_package_web_dir

from inspect_app.alone.site.building import WEB
from inspect_app.alone.site.compiling import node

MB = 1_000_000
HEADS = 2_000
"""No head of a record, nor all of them here together, is longer; a power cut leaves no more of a small file."""


@pytest.fixture(scope="module")
def said() -> dict[str, Any]:
    if not node():
        pytest.skip("No Node.js to run the phone's own scripts with")
    script, pyodide = Path(__file__).with_name("shelf_in_node.mjs"), Path(get_package_web_dir(), "pyodide")
    command = [node(), str(script), str(pyodide), str(WEB / "shelf.js")]
    done = subprocess.run(command, capture_output=True, text=True, timeout=300)
    assert done.returncode == 0, done.stderr[-2000:]
    return dict(json.loads(done.stdout))


def test_what_is_needed_no_more_is_left_behind_at_the_next_start(said: dict[str, Any]) -> None:
    compacted = said["compacted"]
    assert 12 * MB < compacted["before"] < 12 * MB + HEADS  # four pictures of 3 MB under one name
    assert 3 * MB < compacted["after"] < 3 * MB + HEADS + 1000
    assert (compacted["kept"], compacted["photo"]) == (1000, [3 * MB, 3])
    assert compacted["told"]["files"] == 2
    assert said["again"]["used"] == compacted["after"]


def test_without_room_for_two_nothing_is_compacted_and_nothing_lost(said: dict[str, Any]) -> None:
    tight = said["tight"]
    assert tight["used"] > 12 * MB
    assert (tight["there"], tight["long"]) == (["photo3"], 3 * MB)


def test_of_two_whole_files_the_compacted_one_counts(said: dict[str, Any]) -> None:
    both = said["both"]
    assert (both["told"]["files"], both["long"]) == (1, 3 * MB)
    assert both["used"] < 3 * MB + HEADS


def test_a_damaged_record_and_a_cut_end_take_no_other_along(said: dict[str, Any]) -> None:
    assert said["damaged"]["there"] == ["one", "three"]
    assert said["damaged"]["told"]["damaged"] == 1
    assert said["cut"]["there"] == ["one"]


def test_on_a_full_disk_nothing_is_called_saved_and_what_was_saved_stands(said: dict[str, Any]) -> None:
    full = said["full"]
    assert full["first"] == "saved"
    assert full["full"] == ["OperationalError: database or disk is full"] * 2
    assert full["stood"] == [10]
    assert full["errno"] == 51  # ENOSPC of WASI, which the browser's Python has for errno.ENOSPC
    assert full["says"] == errno.errorcode[errno.ENOSPC]
    assert full["later"] == ["saved", "saved"]
    assert full["stands"] == [10, 50_000, 30]
    assert full["whole"] == "ok"


def test_a_folder_that_is_still_held_is_tried_again_and_let_go_of_whole(said: dict[str, Any]) -> None:
    held = said["held"]
    assert (held["refused"], held["open"]) == (3, 5)
    assert (held["name"], held["left"]) == ("NoModificationAllowedError", 0)


def test_a_call_the_browser_never_answers_is_asked_anew(said: dict[str, Any]) -> None:
    assert said["unanswered"] == {"asked": 2, "got": 5, "open": 5, "later": 5}


def test_what_was_answered_while_python_held_the_thread_was_answered_in_time(said: dict[str, Any]) -> None:
    """Five answers take longer than is waited for one try; asked anew, each try would stand in the next one's way."""
    assert said["busy"] == {"asked": 5, "open": 5}


def test_a_folder_that_was_held_for_a_while_costs_no_patience_with_what_is_not_answered(
    said: dict[str, Any],
) -> None:
    assert said["refused"] == 5
