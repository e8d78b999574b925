"""The static site: whole, under any path, nothing of another version in it, and no folder of anybody written over."""

from __future__ import annotations

import hashlib
import io
import json
import re
from collections.abc import Mapping
from pathlib import Path

import pytest
from PIL import Image

from inspect_app.alone.site.building import POLICY, Site, base_path, build, version_of
from inspect_app.alone.site.client import client_files
from inspect_app.trade.measuring.refusal import Refusal


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Site]:
    out = tmp_path_factory.mktemp("site") / "out"
    return out, build(out, "/tools/inspect", lambda _: None, with_node="")


def listed(out: Path) -> Mapping[str, str]:
    """What the service worker keeps: each file with its hash."""
    script = (out / "sw.js").read_text()
    found = re.search(r"const FILES = (\{.*?\});", script, re.DOTALL)
    assert found
    return {str(k): str(v) for k, v in json.loads(found[1]).items()}


def test_the_service_worker_keeps_every_file_by_the_hash_it_has(built: tuple[Path, Site]) -> None:
    out, site = built
    there = {f.relative_to(out).as_posix(): f for f in out.rglob("*") if f.is_file()}
    kept = listed(out)
    assert set(kept) == set(there) - {"sw.js"}
    assert {n: hashlib.sha256(there[n].read_bytes()).hexdigest() for n in kept} == dict(kept)
    assert site.files == len(there)
    assert site.bytes == sum(f.stat().st_size for f in there.values())
    assert not site.compiled


def test_what_the_first_page_asks_for_is_there(built: tuple[Path, Site]) -> None:
    out, _ = built
    page = (out / "index.html").read_text()
    assert '<base href="/tools/inspect/">' in page
    for name in re.findall(r'(?:src|href)="([^"]+)"', page):
        assert name == "/tools/inspect/" or (out / name).is_file(), name
    manifest = json.loads((out / "manifest.json").read_text())
    assert (manifest["start_url"], manifest["scope"], manifest["display"]) == ("/tools/inspect/",) * 2 + (
        "standalone",
    )
    for icon in manifest["icons"]:
        with Image.open(out / icon["src"]) as picture:
            assert f"{picture.width}x{picture.height}" == icon["sizes"]


def test_no_place_is_left_to_fill_in_and_no_script_stands_in_a_page(built: tuple[Path, Site]) -> None:
    out, _ = built
    for file in [*out.glob("alone/*"), out / "index.html", out / "sw.js"]:
        assert "@@" not in file.read_text(encoding="utf-8"), file
    page = (out / "index.html").read_text()
    assert not re.search(r"<script>|<style>|\son\w+=", page)  # the policy would let none of them run
    assert f'content="{POLICY}"' in page
    assert "unsafe-inline" not in next(p for p in POLICY.split("; ") if p.startswith("script-src"))


def test_a_changed_file_is_another_version() -> None:
    one = {"a": b"1", "b": b"2"}
    assert version_of(one) == version_of(dict(reversed(one.items())))
    assert (
        len({version_of(c) for c in (one, {"a": b"1"}, {"a": b"2", "b": b"1"}, {"a": b"1", "c": b"2"})}) == 4
    )


def test_a_folder_that_holds_something_else_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("dear")
    with pytest.raises(Refusal, match="holds something else; name an empty folder"):
        build(tmp_path, "/", lambda _: None, with_node="")
    with pytest.raises(Refusal, match="is a file"):
        build(tmp_path / "letter.txt", "/", lambda _: None, with_node="")
    assert (tmp_path / "letter.txt").read_text() == "dear"


@pytest.mark.parametrize(
    ("typed", "path"),
    [("/", "/"), ("", "/"), ("tools", "/tools/"), ("/a/b-c/", "/a/b-c/"), ("/v1.2", "/v1.2/")],
)
def test_a_base_has_a_slash_at_both_ends(typed: str, path: str) -> None:
    assert base_path(typed) == path


@pytest.mark.parametrize("typed", ["https://there/", "a b", 'a"b', "/a//b", "../x y"])
def test_what_is_no_path_is_refused(typed: str) -> None:
    with pytest.raises(Refusal, match="is no path"):
        base_path(typed)


def test_another_client_than_the_one_known_is_refused(tmp_path: Path) -> None:
    (tmp_path / "flutter_bootstrap.js").write_text("var other = {};")
    with pytest.raises(Refusal, match="another one than this program knows"):
        client_files(tmp_path)


def test_an_icon_is_a_rod_on_its_ground(built: tuple[Path, Site]) -> None:
    with Image.open(io.BytesIO((built[0] / "icons" / "maskable-192.png").read_bytes())) as picture:
        ground, rod = picture.convert("RGB").getpixel((0, 0)), picture.convert("RGB").getpixel((110, 96))
    assert ground == (0x1B, 0x1F, 0x23)
    assert rod == (0xF7, 0xF4, 0xEC)
