"""The page around the client: patient with Python while it begins, never after. Run in Node.js, its clock by hand."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path
from typing import Any

import pytest

from inspect_app.alone.site.building import WEB
from inspect_app.alone.site.compiling import node


@pytest.fixture(scope="module")
def seen() -> dict[str, Any]:
    if not node():
        pytest.skip("No Node.js to run the phone's own scripts with")
    command = [node(), str(Path(__file__).with_name("page_in_node.mjs")), str(WEB / "page.js")]
    done = subprocess.run(command, capture_output=True, text=True, timeout=300)
    assert done.returncode == 0, done.stderr[-2000:]
    return dict(json.loads(done.stdout))


def test_python_that_has_begun_is_never_ended_however_long_nobody_touches_the_phone(seen: Any) -> None:
    assert seen["day"] == [False]


def test_of_two_tabs_the_one_that_waits_goes_on_waiting(seen: Any) -> None:
    assert seen["other"] == {"workers": 1, "sheet": ["Open in another tab", "Go on there."]}


def test_python_that_gets_no_further_is_begun_anew_and_in_the_end_it_is_said(seen: Any) -> None:
    assert seen["silent"]["workers"] == [["", True], ["anew", True], ["anew", True]]
    assert seen["silent"]["sheet"] == "This did not start"


def test_an_app_that_came_out_of_what_is_kept_here_is_ready_from_its_first_moment(seen: Any) -> None:
    assert (seen["kept"], seen["new"]) == ("yes", None)
