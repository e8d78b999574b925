"""The house keeps its shape: reads the source itself and fails on what DEVELOPERS.md does not allow.

The table of rooms in DEVELOPERS.md is the rule; there is no second list here.
"""

from __future__ import annotations

import ast
import re
import subprocess
import sys
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
PACKAGE = ROOT / "inspect_app"
MODULES = sorted(path.relative_to(PACKAGE).as_posix() for path in PACKAGE.glob("*/**/*.py"))
MODULES += sorted(path.name for path in PACKAGE.glob("*.py") if path.name != "__init__.py")
TRADE = [m for m in MODULES if m.startswith("trade/")]

BARRED_IMPORTS = {
    "asyncio", "flet", "io", "logging", "multiprocessing", "os", "pathlib", "random", "reportlab", "secrets",
    "shutil", "socket", "sqlite3", "subprocess", "sys", "tempfile", "threading", "time", "urllib", "uuid", "PIL",
}  # fmt: skip
BARRED_CALLS = {"open", "input", "print", "now", "utcnow", "today", "time", "monotonic", "uuid4", "uuid7", "urandom",
                "eval", "exec"}  # fmt: skip
MOST_LINES = 300
"""Lines of code in a module; docstrings, comments on their own line and blank lines are not counted."""
MOST_LINES_IN_A_FUNCTION = 40


@dataclass(frozen=True)
class Room:
    """A row of the table of rooms: its places, what they may import beside each other, whether they are pure."""

    places: tuple[str, ...]
    rooms: tuple[str, ...]
    packages: tuple[str, ...]
    pure: bool


def quoted(cell: str) -> tuple[str, ...]:
    """The names in backticks in a cell of a table."""
    return tuple(re.findall(r"`([^`]+)`", cell))


@cache
def rooms() -> tuple[Room, ...]:
    """The table of rooms, ground floor first."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    table = text.partition("\n## Rooms\n")[2].partition("\n## ")[0]
    found = []
    for row in (line.strip().strip("|").split("|") for line in table.splitlines() if line.startswith("| `")):
        place, _, may_import, pure = row
        ours = tuple(name for name in quoted(may_import) if name.endswith(("/", ".py")))
        packages = tuple(name for name in quoted(may_import) if name not in ours)
        found.append(Room(quoted(place), ours, packages, pure.strip() == "yes"))
    return tuple(found)


@cache
def place_of(module: str) -> str:
    """The place of the table a module lies in: of all that hold it, the one named most exactly."""
    places = [place for room in rooms() for place in room.places]
    holding = [p for p in places if module == p or (p.endswith("/") and module.startswith(p))]
    assert holding, f"{module} lies in no room of DEVELOPERS.md; add it to the table."
    return max(holding, key=len)


@cache
def room_of(module: str) -> Room:
    """The room a module lies in."""
    return next(room for room in rooms() if place_of(module) in room.places)


@cache
def tree(module: str) -> ast.Module:
    """A module's syntax tree."""
    return ast.parse((PACKAGE / module).read_text(encoding="utf-8"))


@cache
def imported(module: str) -> tuple[str, ...]:
    """Every name a module imports, at its head or inside a function: ``inspect_app.trade.form.fits``, ``math``."""
    found: list[str] = []
    for node in ast.walk(tree(module)):
        if isinstance(node, ast.Import):
            found += (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{module} line {node.lineno}: write the import from inspect_app on."
            for alias in node.names:
                name = f"{node.module}.{alias.name}"
                found.append(name if file_of(name) else str(node.module))
    return tuple(found)


@cache
def file_of(name: str) -> str | None:
    """The file of one of our modules, None for everybody else's."""
    package, _, rest = name.partition(".")
    inside = rest.replace(".", "/")
    candidates = (f"{inside}.py", f"{inside}/__init__.py".lstrip("/"))
    return next((c for c in candidates if package == "inspect_app" and c in MODULES), None)


def test_no_import_runs_upward() -> None:
    upward = []
    for module in MODULES:
        room = room_of(module)
        allowed = {*room.places, *room.rooms}
        files = ((name, file_of(name)) for name in imported(module))
        upward += [
            f"{module} imports {name}" for name, file in files if file and place_of(file) not in allowed
        ]
    assert not upward


def circles(arrows: Mapping[str, Iterable[str]]) -> list[list[str]]:
    """Modules that reach each other by their arrows, or themselves: a list for each circle."""
    reached: dict[str, set[str]] = {}
    for start in arrows:
        seen: set[str] = set()
        ahead = [*arrows[start]]
        while ahead:
            if (module := ahead.pop()) not in seen:
                seen.add(module)
                ahead += arrows.get(module, ())
        reached[start] = seen
    found = {frozenset(b for b in reached[a] if a in reached.get(b, ())) for a in arrows if a in reached[a]}
    return sorted(sorted(circle) for circle in found)


def test_a_circle_is_seen() -> None:
    assert circles({"a": ["b"], "b": ["c"], "c": []}) == []
    assert circles({"a": ["b"], "b": ["c"], "c": ["b", "d"], "d": ["e"], "e": ["d"]}) == [
        ["b", "c"],
        ["d", "e"],
    ]


@pytest.mark.parametrize("room", rooms(), ids=lambda room: room.places[0])
def test_the_arrows_inside_a_room_run_one_way(room: Room) -> None:
    # what is imported for its types alone counts as well: who must know the other's type knows the other
    inside = [m for m in MODULES if room_of(m) is room]
    arrows = {m: {f for name in imported(m) if (f := file_of(name)) in inside} for m in inside}
    assert any(arrows.values()) or len(inside) < 4
    assert not circles(arrows)


def test_every_room_stands_on_rooms_above_it_in_the_table() -> None:
    known: set[str] = set()
    for room in rooms():
        assert set(room.rooms) <= known, f"{room.places} imports {set(room.rooms) - known}, which come later."
        known |= set(room.places)


def test_every_place_of_the_table_is_there() -> None:
    assert {place_of(module) for module in MODULES} == {place for room in rooms() for place in room.places}


def test_a_module_uses_only_the_packages_of_its_room() -> None:
    for module in MODULES:
        outside = {name.partition(".")[0] for name in imported(module)} - {"inspect_app"}
        assert outside - sys.stdlib_module_names <= set(room_of(module).packages), module


def test_pint_is_met_in_one_file_only() -> None:
    assert [m for m in MODULES if "pint" in imported(m)] == ["trade/measuring/quantities.py"]


def test_every_package_is_declared_or_comes_with_one_that_is() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    optional = project["optional-dependencies"]  # those that are imported where they are used
    wanted = [*project["dependencies"], *optional["sign"], *optional["hub"]]
    declared = {re.split(r"[<>=[]", d)[0].replace("-", "_").replace("pillow", "PIL") for d in wanted}
    with_others = {
        "click": "sqlite_utils",
        "fastapi": "flet_web",
        "pyhanko_certvalidator": "pyhanko",
        "uvicorn": "flet_web",
        "starlette": "flet_web",
        "browser_page": "flet_web",  # of its browser's Python
    }
    for package in {p for room in rooms() for p in room.packages}:
        assert with_others.get(package, package) in declared, package


def test_a_pure_room_knows_no_disk_clock_or_chance() -> None:
    for module in (m for m in MODULES if room_of(m).pure):
        outside = {name.partition(".")[0] for name in imported(module)}
        assert not outside & BARRED_IMPORTS, module
        for node in (n for n in ast.walk(tree(module)) if isinstance(n, ast.Call)):
            called = node.func
            name = called.id if isinstance(called, ast.Name) else getattr(called, "attr", "")
            assert name not in BARRED_CALLS, f"{module} line {node.lineno} calls {name}()."


def test_the_prompt_answers_without_waiting_for_what_it_does_not_need() -> None:
    heavy = ("flet", "reportlab", "PIL", "pint", "sqlite_utils", "fastapi", "uvicorn")
    code = f"import sys, inspect_app.commands.cli; print([m for m in {heavy} if m in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, cwd=ROOT, check=True)
    assert done.stdout.strip() == "[]"


NOT_IN_A_BROWSER = {
    "threading", "_thread", "socket", "socketserver", "select", "selectors", "ssl", "subprocess", "multiprocessing",
    "webbrowser", "fcntl", "msvcrt", "pwd", "grp", "resource", "termios", "pty", "tty", "curses", "dbm", "syslog",
    "tkinter", "venv", "ensurepip", "lzma", "zoneinfo", "PIL",
}  # fmt: skip
"""What Python in a browser lacks, has only in name, or needs a file for that is not there; so its makers' list of
what was left out of the standard library. Others may import it and never use it (logging, flet): we may not."""
ON_A_SERVER = {"uvicorn", "fastapi", "starlette", "flet_web"}

IMPORT_WITHOUT = """
import builtins, sys
lacking, nobodys, modules = eval(sys.argv[1])
class Lacking:
    def find_spec(self, name, path=None, target=None):
        if name.partition(".")[0] in nobodys:
            raise ImportError(f"{name} is not there in a browser")
sys.meta_path.insert(0, Lacking())
real = builtins.__import__
def there(name, globals=None, locals=None, fromlist=(), level=0):
    if name.partition(".")[0] in lacking and str((globals or {}).get("__name__")).startswith("inspect_app"):
        raise ImportError(f"{name} is not there in a browser, and {globals['__name__']} asks for it")
    return real(name, globals, locals, fromlist, level)
builtins.__import__ = there
for module in modules:
    __import__(module)
print(len([name for name in sys.modules if name.partition(".")[0] == "inspect_app"]))
"""


def test_all_but_the_server_and_the_prompt_can_be_imported_where_python_runs_in_a_browser() -> None:
    there = [
        m
        for m in MODULES
        if not m.startswith(("serve/", "alone/site/", "commands/", "hub/")) and m != "__main__.py"
    ]
    names = [
        "inspect_app." + m.removesuffix(".py").replace("/", ".").removesuffix(".__init__") for m in there
    ]
    given = repr((NOT_IN_A_BROWSER, ON_A_SERVER, names))
    command = [sys.executable, "-c", IMPORT_WITHOUT, given]
    done = subprocess.run(command, capture_output=True, text=True, cwd=ROOT)
    assert done.returncode == 0, done.stderr.strip().splitlines()[-1]
    assert int(done.stdout) == len(names) + 1  # and the package itself


WRITES = {
    "copy", "copy2", "copyfile", "copytree", "hardlink_to", "link", "makedirs", "mkdir", "mkdtemp", "mkstemp", "move",
    "remove", "rename", "replace", "rmdir", "rmtree", "symlink", "symlink_to", "touch", "truncate", "unlink",
    "write_bytes", "write_text", "NamedTemporaryFile", "TemporaryDirectory", "TemporaryFile",
}  # fmt: skip
"""What makes, changes or removes a file or folder, by the name it is called by."""
OF_FILES = {"os", "shutil", "tempfile"}
NOT_THE_DATA_FOLDER = {
    "bench/readings_file.py": {"copytree", "TemporaryDirectory"},  # a trial in a folder of its own
    "bench/demo.py": {"TemporaryDirectory"},  # jobs recorded in a folder of their own, then taken over
    "logbook/opening.py": {"mkdtemp", "copyfile", "rmtree"},  # a copy to read, outside
    "logbook/copying.py": {"TemporaryDirectory"},  # the same
    "bench/backing_up.py": {"TemporaryDirectory", "open"},  # the same, and a file in a zip
    "bench/kept_tables.py": {"TemporaryDirectory"},  # laid out to be read, outside
    "commands/asked_for.py": {"mkdtemp", "rmtree", "TemporaryDirectory"},  # a demo's folder, a file's own
    "alone/phone.py": {"TemporaryDirectory"},  # the browser's memory
    "alone/start.py": {"TemporaryDirectory"},  # a start played at the build
    "commands/papers.py": {"write_bytes"},  # the paper asked for
    "commands/cli.py": {"write_bytes"},  # the document asked for
    "commands/keeping.py": {"write_bytes"},  # the same
    "alone/site/building.py": {"rmtree", "write_bytes"},  # a site, which can be built again
    "alone/site/compiling.py": {"TemporaryDirectory", "write_bytes"},  # what is being compiled
    "serve/phones_alone.py": {"TemporaryFile"},  # a job's file, until it was read
    "serve/client.py": {
        "TemporaryDirectory",
        "write_text",
    },  # the client's first page, made anew at every start
}
PASSING = {
    "serve/web.py": {"mkdir", "rmtree"},  # photographs on their way, which nobody called saved yet
    "serve/uploads.py": {"unlink"},  # the same
    "bench/holding.py": {"open", "truncate", "unlink"},  # a lock
}
"""What is in the data folder and may be gone after a power cut."""


def writes(module: str) -> set[str]:
    """The names by which a module writes files."""
    found = set()
    for node in ast.walk(tree(module)):
        if not isinstance(node, ast.Call):
            continue
        called = node.func
        name = called.id if isinstance(called, ast.Name) else getattr(called, "attr", "")
        owner = getattr(getattr(called, "value", None), "id", "")
        modes = [
            a.value for a in (*node.args, *(k.value for k in node.keywords)) if isinstance(a, ast.Constant)
        ]
        opened = name == "open" and any(isinstance(m, str) and set(m) & set("wax+") for m in modes)
        # text and dates have a replace() too, and lists a copy() and a remove()
        called_so = name in WRITES and (owner in OF_FILES or name not in ("copy", "remove", "replace"))
        if opened or called_so:
            found.add(name)
    return found


def test_the_data_folder_is_written_only_by_what_brings_it_to_the_disk() -> None:
    for module in set(MODULES) - {"logbook/durable.py", "logbook/store.py"}:
        allowed = NOT_THE_DATA_FOLDER.get(module, set()) | PASSING.get(module, set())
        assert writes(module) == allowed, f"{module}: write through logbook/durable.py."


WITH_THE_DATABASE = ("copying", "lines", "opening", "store", "taking_over", "trouble")


def test_only_the_store_and_what_opens_its_file_know_the_database() -> None:
    opens = [m for m in MODULES if "sqlite3" in imported(m)]
    assert opens == [f"logbook/{name}.py" for name in WITH_THE_DATABASE]


def documented(module: str) -> Iterator[ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef | ast.Module]:
    """Everything in a module that can have a docstring."""
    for node in ast.walk(tree(module)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef | ast.Module):
            yield node


def code_lines(module: str) -> int:
    """How many lines of code a module has."""
    lines = (PACKAGE / module).read_text(encoding="utf-8").splitlines()
    told: set[int] = set()
    for node in documented(module):
        if ast.get_docstring(node):
            told |= set(range(node.body[0].lineno, (node.body[0].end_lineno or 0) + 1))
    return sum(n not in told and line.strip()[:1] not in ("", "#") for n, line in enumerate(lines, 1))


def test_a_module_is_short_enough_to_hold_in_mind() -> None:
    long = {module: n for module in MODULES if (n := code_lines(module)) > MOST_LINES}
    assert not long, "split it by what it is about."


def own_lines(function: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    """How long a function's body is without its docstring and without the functions defined inside it."""
    body = function.body[1:] if ast.get_docstring(function) else function.body
    lines = {n for statement in body for n in range(statement.lineno, (statement.end_lineno or 0) + 1)}
    for node in (inner for statement in body for inner in ast.walk(statement)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            lines -= set(range(node.lineno, (node.end_lineno or 0) + 1))
    return len(lines)


def test_a_function_is_short_enough_to_read_aloud() -> None:
    for module in MODULES:
        functions = [n for n in documented(module) if isinstance(n, ast.FunctionDef | ast.AsyncFunctionDef)]
        long = {f.name: n for f in functions if (n := own_lines(f)) > MOST_LINES_IN_A_FUNCTION}
        assert not long, module


def test_a_module_opens_by_saying_what_it_is() -> None:
    for module in MODULES:
        opening = ast.get_docstring(tree(module)) or ""
        assert re.match(r"\S.{20,}?[.:]", opening, re.DOTALL), f"{module} lacks its opening sentence."


def public_functions() -> Iterator[ast.FunctionDef]:
    """Every public function of trade/."""
    for module in TRADE:
        for node in tree(module).body:
            if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
                yield node


def section(function: ast.FunctionDef, head: str) -> str:
    """What a docstring says under a head such as Args, up to the next one."""
    text = ast.get_docstring(function) or ""
    found = re.search(rf"^{head}:(.*?)(?=^\w+:|^>>>|\Z)", text, re.DOTALL | re.MULTILINE)
    return found[1].strip() if found else ""


def test_a_function_of_the_trade_explains_every_argument() -> None:
    for function in public_functions():
        spec = function.args
        arguments = [
            a.arg for a in (*spec.posonlyargs, *spec.args, *spec.kwonlyargs, spec.vararg, spec.kwarg) if a
        ]
        explained = section(function, "Args")
        missing = [a for a in arguments if not re.search(rf"(^|[\s,]){a}\b.*?:", explained, re.MULTILINE)]
        assert not missing, function.name


@cache
def source_keys() -> frozenset[str]:
    """Every key in checklists/sources/."""
    files = (ROOT / "checklists" / "sources").glob("*.toml")
    return frozenset(key for f in files for key in tomllib.loads(f.read_text(encoding="utf-8")))


def test_a_function_of_the_trade_names_its_source() -> None:
    for function in public_functions():
        line = section(function, "Source").partition("\n\n")[0]
        keys = {key.strip() for key in line.replace("\n", " ").split(",") if key.strip()}
        # without a line of its own it is plain bookkeeping: it takes no figure or formula from anywhere
        assert keys <= source_keys(), function.name


def test_a_source_is_named_or_not_spoken_of() -> None:
    for module in MODULES:
        said = "\n".join(ast.get_docstring(node) or "" for node in documented(module))
        assert "Source: none" not in said, module


def test_a_computation_from_a_source_shows_an_example_that_runs() -> None:
    for function in public_functions():
        assert not section(function, "Source") or ">>>" in (ast.get_docstring(function) or ""), function.name


def test_every_kind_of_entry_is_understood_when_a_job_is_folded() -> None:
    from inspect_app.entries.kinds import KINDS

    in_no_job = {name for name, kind in KINDS.items() if kind.step is None}
    assert in_no_job == {"device", "means", "person", "setting", "undo"}


def tracked() -> list[str]:
    """The files git tracks, and those it would if they were added."""
    command = ["git", "ls-files", "--cached", "--others", "--exclude-standard"]
    try:
        listed = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True).stdout
    except (OSError, subprocess.CalledProcessError):
        pytest.skip("this is not a git checkout: nothing says which files belong to the project")
    return [name for name in listed.splitlines() if (ROOT / name).is_file()]


def test_the_top_level_holds_only_what_everybody_looks_for_there() -> None:
    allowed = {
        "README.md",
        "DEVELOPERS.md",
        "pyproject.toml",
        "inspect_app",
        "checklists",
        "tests",
        "demo_data",
    }
    tops = {name.partition("/")[0] for name in tracked()}
    assert {top for top in tops if not top.startswith(".")} == allowed


def test_no_file_names_a_machine_or_a_package_registry() -> None:
    folders = "root|home|Users|var/folders"
    settings = "index-url|find-links|trusted-host|registry ?="
    machine = re.compile(rf"(^|[^\w./])/(?:{folders})/\w|[A-Z]:\\\\Users|{settings}")
    for name in tracked():
        raw = (ROOT / name).read_bytes()
        if b"\0" not in raw and name != "tests/test_house.py":
            found = machine.search(raw.decode("utf-8"))
            assert not found, f"{name}: {found and found[0]!r}"


def test_no_tracked_file_is_large() -> None:
    large = {name: size for name in tracked() if (size := (ROOT / name).stat().st_size) > 1_500_000}
    assert not large
