"""What goes to the phone is enough to run there: imported out of the archive alone, without what a phone lacks."""

from __future__ import annotations

import gzip
import io
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from inspect_app.alone.site.archive import Packed, files, squeezed, zipped

LACKS = (
    "PIL.ImageFile", "fastapi", "uvicorn", "starlette", "flet_web", "httpx", "oauthlib", "charset_normalizer",
    "tabulate", "multiprocessing.synchronize", "_posixshmem", "tkinter", "pyexpat.none",
)  # fmt: skip
"""What no phone has; nothing of the archive may ask for it when it is imported."""

IMPORT_ALL = """
import builtins, importlib, sys, types
where, lacking = sys.argv[1], eval(sys.argv[2])
sys.path[:0] = [where, where + "/packages"]
class Lacking:
    def find_spec(self, name, path=None, target=None):
        if name in lacking or name.partition(".")[0] in lacking:
            raise ImportError(name + " is not there on a phone")
sys.meta_path.insert(0, Lacking())
browser = types.ModuleType("browser_page")
browser.mark = lambda name: None
sys.modules["browser_page"] = browser
names = sorted(
    p.removesuffix(".py").replace("/", ".").removesuffix(".__init__")
    for p in eval(sys.argv[3]) if p.startswith("inspect_app/") and p.endswith(".py")
)
for name in names:
    importlib.import_module(name)
import inspect_app, reportlab
assert inspect_app.__file__.startswith(where) and reportlab.__file__.startswith(where)
from pathlib import Path
from inspect_app.bench.bench import Bench
from inspect_app.bench.issuing import report_pdf
bench = Bench(Path(where) / "data", device="A")
job = bench.open_job("on the phone", "JB")
print(len(names), len(report_pdf(bench, job, "metric")))
"""


@pytest.fixture(scope="module")
def archive() -> tuple[dict[str, bytes], tuple[Packed, ...]]:
    return files()


def test_out_of_the_archive_alone_all_can_be_imported_and_a_report_made(
    archive: tuple[dict[str, bytes], tuple[Packed, ...]], tmp_path: Path
) -> None:
    found, _ = archive
    with zipfile.ZipFile(io.BytesIO(zipped(found))) as z:
        assert sorted(z.namelist()) == sorted(found)
        z.extractall(tmp_path)
    # -I and -S: no package that is installed here can be found by it
    command = [sys.executable, "-I", "-S", "-c", IMPORT_ALL, str(tmp_path), repr(LACKS), repr(sorted(found))]
    done = subprocess.run(command, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    modules, report = done.stdout.split()
    assert int(modules) > 150
    assert int(report) > 20_000


def test_nothing_compiled_nobodys_tests_and_no_gpl_font_goes_along(
    archive: tuple[dict[str, bytes], tuple[Packed, ...]],
) -> None:
    names = archive[0]
    assert not [n for n in names if n.endswith((".so", ".pyd", ".pyc"))]
    assert not [n for n in names if "/tests/" in n]
    assert not [n for n in names if n.startswith(("inspect_app/serve/", "inspect_app/alone/site/"))]
    fonts = {n.rpartition("/")[2] for n in names if n.endswith((".ttf", ".pfb", ".afm"))}
    # SIL Open Font License: free to bundle; reportlab's DarkGarden is GPL
    assert fonts == {"SourceSansPro-Regular.ttf", "SourceSansPro-Bold.ttf"}
    assert "packages/font_source_sans_pro/files/LICENSE.txt" in names


def test_every_package_says_its_licence_and_brings_the_text_it_came_with(
    archive: tuple[dict[str, bytes], tuple[Packed, ...]],
) -> None:
    found, packed = archive
    assert {"flet", "pint", "reportlab", "sqlite-utils", "msgpack"} <= {p.name for p in packed}
    assert not {"pillow", "flet-web", "uvicorn"} & {p.name for p in packed}
    assert not [p for p in packed if p.licence == "see its own text" or "GPL" in p.licence.upper()]
    texts = [n for n in found if ".dist-info/" in n]
    assert all(b"\0" not in found[n] for n in texts)
    assert len(texts) >= 10


def test_squeezed_each_file_stands_as_it_is_behind_its_name() -> None:
    found = {"a/b.py": b"b" * 5000, "c": b""}
    packed = gzip.decompress(squeezed(zipped(found)))
    with zipfile.ZipFile(io.BytesIO(packed)) as z:
        assert {n: z.read(n) for n in z.namelist()} == found
        assert {e.compress_type for e in z.infolist()} == {zipfile.ZIP_STORED}
        assert not [e for e in z.infolist() if e.flag_bits & 8]  # its size stands before it, not behind
    assert squeezed(zipped(found)) == squeezed(zipped(dict(reversed(found.items()))))


def test_the_same_files_give_the_same_archive() -> None:
    assert zipped({"b": b"2", "a": b"1"}) == zipped({"a": b"1", "b": b"2"})
