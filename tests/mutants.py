"""Do the tests notice a wrong sign? `python tests/mutants.py SEED [HOW_MANY]` tries some of the changes mutmut makes.

Drawn over all changes to `trade/` and `job/`, one from each of so many equal stretches of their list. Each is put into
the running functions of a process of its own, with the tests that reach its function, the file's own first, until one
fails. What no test notices is shown to mypy. Printed: both counts, each with the interval that holds it at 95 %, and
each change that is left over.
"""

from __future__ import annotations

import ast
import difflib
import functools
import importlib
import json
import math
import os
import random
import resource
import subprocess
import sys
import tempfile
import time
import types
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from multiprocessing import Pool
from pathlib import Path

import pytest
from _pytest.runner import runtestprotocol

HOUSE = Path(__file__).resolve().parents[1]
ROOMS = ("trade", "job")
TESTS = [
    *(f"inspect_app/{room}" for room in ROOMS), *(f"tests/{room}" for room in ROOMS), "tests/calculators",
    "tests/report/test_seal_lines.py", "tests/report/test_scope_sheet.py", "tests/figures",
]  # fmt: skip
MOST_S = 30.0
"""So many seconds of tests are tried on one change; what takes longest is left out."""


@dataclass(frozen=True)
class Change:
    """One function as mutmut would change it, and as it stands."""

    path: str
    of_class: str
    function: str
    number: int
    before: str
    after: str

    @property
    def key(self) -> str:
        return f"{self.path}:{self.of_class}.{self.function}"

    @property
    def name(self) -> str:
        """As mutmut calls it."""
        function = f"xǁ{self.of_class}ǁ{self.function}" if self.of_class else f"x_{self.function}"
        return f"{self.path.removesuffix('.py').replace('/', '.')}.{function}__mutmut_{self.number}"

    def __str__(self) -> str:
        lines = difflib.unified_diff(self.before.split("\n"), self.after.split("\n"), n=1, lineterm="")
        return "\n".join([self.name, *list(lines)[3:]])


def functions(source: str) -> dict[tuple[str, str], ast.FunctionDef]:
    """Every function of a module and method of its classes, by class and name."""
    found = {}
    for node in ast.parse(source).body:
        of_class = node.name if isinstance(node, ast.ClassDef) else ""
        for each in node.body if isinstance(node, ast.ClassDef) else [node]:
            if isinstance(each, ast.FunctionDef):
                found[of_class, each.name] = each
    return found


def changes_of(path: str) -> list[Change]:
    """All of one file."""
    from mutmut.mutation.file_mutation import mutate_file_contents

    changed = mutate_file_contents(path, (HOUSE / path).read_text(encoding="utf-8")).code
    lines, made = changed.split("\n"), []
    texts = {
        name: (of_class, "\n".join(lines[node.lineno - 1 : node.end_lineno]))
        for (of_class, name), node in functions(changed).items()
    }
    for name, (of_class, text) in texts.items():
        begun, _, number = name.rpartition("__mutmut_")
        if number.isdecimal():
            function = begun.rpartition("ǁ")[2] if of_class else begun.removeprefix("x_")
            before = texts[f"{begun}__mutmut_orig"][1].replace(f"{begun}__mutmut_orig", function, 1)
            made.append(
                Change(path, of_class, function, int(number), before, text.replace(name, function, 1))
            )
    return made


def draw(seed: str, how_many: int) -> tuple[list[Change], int]:
    """The sample, in an order by chance, and how many there are of all."""
    from mutmut.configuration import config

    paths = [
        p.relative_to(HOUSE).as_posix()
        for r in ROOMS
        for p in sorted((HOUSE / "inspect_app" / r).rglob("*.py"))
    ]
    with Pool() as pool:
        made = pool.map(changes_of, filter(config().should_mutate, map(Path, paths)), 1)
    every = sorted((change for of_file in made for change in of_file), key=lambda change: change.name)
    chance, step = random.Random(seed), len(every) / how_many
    drawn = [every[int(step * (i + chance.random()))] for i in range(how_many)]
    random.Random("order").shuffle(drawn)  # so that whoever stops it early has a sample
    return drawn, len(every)


def put(change: Change) -> None:
    """The change, into the function that everybody holds already."""
    module = importlib.import_module(change.path.removesuffix(".py").replace("/", "."))
    held = vars(getattr(module, change.of_class)) if change.of_class else vars(module)
    known = dict(vars(module))
    written = ast.parse(f"from __future__ import annotations\n{_flush_left(change.after)}")
    exec(compile(written, change.path, "exec"), known)
    made, function = known[change.function], plain(held[change.function])
    function.__code__, function.__defaults__ = made.__code__, made.__defaults__
    function.__kwdefaults__ = made.__kwdefaults__


def _flush_left(text: str) -> str:
    """A method as a function: what is wrapped around it stays where it is."""
    indent = len(text) - len(text.lstrip())
    return text if not indent else f"if True:\n{text}"


def plain(held: object) -> types.FunctionType:
    """The function inside of what a class or module holds under its name."""
    while not (isinstance(held, types.FunctionType) and "__wrapped__" not in vars(held)):
        inside = ("fget", "func", "__func__", "__wrapped__")
        held = next(getattr(held, name) for name in inside if hasattr(held, name))
    return held


def apart(do: Callable[[], str], seconds: int) -> str:
    """What it says in a process of its own, or that it came to no end."""
    out, into = os.pipe()
    child = os.fork()
    if not child:
        resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds + 2))
        try:
            said = do()
        except BaseException as trouble:
            said = repr(trouble)
        os.write(into, said.encode()[:4000])
        os._exit(0)
    os.close(into)
    with os.fdopen(out, "rb") as reader:
        said = reader.read().decode(errors="replace")
    return said if not os.waitpid(child, 0)[1] else "no end"


def first_failure(tests: list[pytest.Item], after: Callable[[pytest.Item, float], None] | None = None) -> str:
    """The first test that fails, or nothing; where asked to tell after each, all are run."""
    for test, then in zip(tests, [*tests[1:], None], strict=True):
        began = time.process_time()
        reports = runtestprotocol(test, log=False, nextitem=then)
        if after:
            after(test, time.process_time() - began)
        elif any(report.failed for report in reports):
            return test.nodeid
    return ""


def reaching(tests: list[pytest.Item], into: Path) -> str:
    """Which tests reach which function, and how long each takes: written into a file, out of a process of its own."""
    reached: dict[str, list[str]] = {}
    took: dict[str, float] = {}
    seen: set[types.CodeType] = set()

    def follow(frame: types.FrameType, event: str, _: object) -> None:
        if event == "call":
            seen.add(frame.f_code)

    def after(test: pytest.Item, seconds: float) -> None:
        sys.setprofile(None)
        took[test.nodeid] = seconds
        for code in seen:
            if code.co_filename.startswith(f"{HOUSE}/inspect_app"):
                of_class, _, name = code.co_qualname.rpartition(".")
                reached.setdefault(f"{code.co_filename[len(str(HOUSE)) + 1 :]}:{of_class}.{name}", []).append(
                    test.nodeid
                )
        seen.clear()
        sys.setprofile(follow)

    sys.setprofile(follow)
    first_failure(tests, after)
    sys.setprofile(None)
    into.write_text(json.dumps([reached, took]))
    return ""


def chosen(
    change: Change, tests: list[pytest.Item], reached: dict[str, list[str]], took: dict[str, float]
) -> list[pytest.Item]:
    """The tests of one change: of its own file first, then the quickest files, as far as the time goes."""
    ids = set(reached.get(change.key, ()))
    files: dict[str, list[pytest.Item]] = {}
    for test in tests:
        if test.nodeid in ids:
            files.setdefault(test.nodeid.partition("::")[0], []).append(test)
    name = Path(change.path).name

    def order(file: str) -> tuple[bool, float]:
        return Path(file).name not in (name, f"test_{name}"), sum(took[t.nodeid] for t in files[file])

    some, seconds = [], 0.0
    for test in (t for file in sorted(files, key=order) for t in files[file]):
        if seconds + took[test.nodeid] <= MOST_S:
            seconds += took[test.nodeid]
            some.append(test)
    return some


def noticed(change: Change, tests: list[pytest.Item]) -> str:
    """The first test that fails with the change in the running functions, or nothing."""
    put(change)
    return first_failure(tests)


class Trying:
    """In place of a run of the tests."""

    def __init__(self, drawn: list[Change]) -> None:
        self.drawn = drawn
        self.left_over: list[Change] = []

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        with tempfile.TemporaryDirectory() as folder:
            apart(lambda: reaching(session.items, Path(folder) / "reached"), 3600)
            reached, took = json.loads((Path(folder) / "reached").read_text())
        for number, change in enumerate(self.drawn, 1):
            tests = chosen(change, session.items, reached, took)
            if not apart(functools.partial(noticed, change, tests), 60 + 3 * int(MOST_S)):
                self.left_over.append(change)
            print(
                f"\r{number} of {len(self.drawn)}, {len(self.left_over)} not noticed", end="", file=sys.stderr
            )
        return True


def refused_by_mypy(changes: list[Change], copy: Path) -> Iterator[Change]:
    """Those that mypy refuses: written into a copy, one of each function at a time."""
    for room in ("inspect_app", "pyproject.toml"):
        subprocess.run(["cp", "-r", str(HOUSE / room), str(copy)], check=True)
    left = list(changes)
    while left:
        now = {change.key: change for change in reversed(left)}
        left = [change for change in left if now[change.key] is not change]
        spans: list[tuple[str, int, int, Change]] = []
        for path in {change.path for change in now.values()}:
            spans += written(copy, path, [change for change in now.values() if change.path == path])
        rooms = [f"inspect_app/{room}" for room in ROOMS]
        told = subprocess.run(
            [sys.executable, "-m", "mypy", *rooms], cwd=copy, capture_output=True, text=True
        ).stdout
        errors = [line.split(":", 2)[:2] for line in told.splitlines() if ": error:" in line]
        for path, first, last, change in spans:
            if any(of == path and first <= int(line) <= last for of, line in errors):
                yield change
        for path in {change.path for change in now.values()}:
            (copy / path).write_text((HOUSE / path).read_text(encoding="utf-8"), encoding="utf-8")


def written(copy: Path, path: str, changes: list[Change]) -> list[tuple[str, int, int, Change]]:
    """One file with these changes in it, and the lines each then takes."""
    source = (HOUSE / path).read_text(encoding="utf-8")
    lines, at = source.split("\n"), functions(source)
    spans, longer = [], 0
    for change in sorted(changes, key=lambda c: at[c.of_class, c.function].lineno):
        node, new = at[change.of_class, change.function], change.after.split("\n")
        first, last = node.lineno + longer, node.end_lineno + longer
        lines[first - 1 : last] = new
        longer += len(new) - (last - first + 1)
        spans.append((path, first, first + len(new) - 1, change))
    (copy / path).write_text("\n".join(lines), encoding="utf-8")
    return spans


def share(some: int, of: int, z: float = 1.96) -> str:
    """Some of all, with the interval by Wilson that holds the true share at 95 %."""
    part, wider = some / of, 1 + z * z / of
    middle = (part + z * z / 2 / of) / wider
    half = z * math.sqrt(part * (1 - part) / of + z * z / 4 / of / of) / wider
    return f"{some} of {of}, {part:.1%} ({middle - half:.1%} to {middle + half:.1%})"


def main() -> None:
    """Draw, try, and say what was noticed."""
    seed, how_many = sys.argv[1], int(sys.argv[2]) if len(sys.argv) > 2 else 300
    os.environ["CI"] = "1"  # the same examples each time
    os.chdir(HOUSE)
    sys.path[:0] = [str(HOUSE), str(HOUSE / "tests")]
    drawn, every = draw(seed, how_many)
    trying = Trying(drawn)
    pytest.main(["-q", "-n", "0", "-s", "-p", "no:cacheprovider", *TESTS], plugins=[trying])
    with tempfile.TemporaryDirectory() as copy:
        refused = list(refused_by_mypy(trying.left_over, Path(copy)))
    for change in trying.left_over:
        print(f"\n{'mypy refuses it: ' if change in refused else ''}{change}")
    by_tests = how_many - len(trying.left_over)
    print(f"\nSeed {seed}: {how_many} of {every} changes. Tests alone {share(by_tests, how_many)}.")
    print(f"With mypy {share(by_tests + len(refused), how_many)}.")


if __name__ == "__main__":
    main()
