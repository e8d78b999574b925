"""The static site of the phone alone, made out of what is installed here; nothing is downloaded.

Any https web space can serve it. It holds the program and no job of anybody.
"""

from __future__ import annotations

import gzip
import hashlib
import json
import shutil
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path

from flet_web import get_package_web_dir

from inspect_app.alone.site.archive import Packed, files, squeezed, zipped
from inspect_app.alone.site.client import client_files
from inspect_app.alone.site.compiling import compiled, frozen, node
from inspect_app.alone.site.icons import icons
from inspect_app.logbook.durable import make_folders
from inspect_app.trade.measuring.refusal import Refusal

WEB = Path(__file__).parent.parent / "web"
SITE_MARK = "sw.js"
"""The file by which a folder is known as a site made before, which may be written over."""

POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self' 'wasm-unsafe-eval'",
        "worker-src 'self'",
        "connect-src 'self' blob: data: https:",
        "img-src 'self' blob: data:",
        "media-src 'self' blob: data:",
        "font-src 'self' data:",
        "style-src 'self' 'unsafe-inline'",
        "manifest-src 'self'",
        "base-uri 'self'",
        "form-action 'none'",
    )
)
"""What the page and its workers may load: nothing but from their own web space. They may ask others by https, as nobody
knows at the build where the shop is; the service worker lets out no more of that than what is posted to a shop."""


@dataclass(frozen=True, slots=True)
class Site:
    """What was built: its version, how many files and bytes, how many of them gzipped, and what is in it of others."""

    version: str
    files: int
    bytes: int
    gzipped: int
    compiled: bool
    packed: tuple[Packed, ...]


def build(out: Path, base: str, say: Callable[[str], None], with_node: str | None = None) -> Site:
    """Build the site.

    Args:
        out: the folder to make; empty, missing, or a site made before.
        base: the path it will be served under: "/", "/tools/inspect/".
        say: told what is being done.
        with_node: the Node.js to compile with; "" compiles nothing, None takes what is found.
    Raises:
        Refusal: the folder holds something else, or what is needed is not installed.
    """
    base = base_path(base)
    _refuse_foreign(out)
    node_here = node() if with_node is None else with_node
    web = Path(get_package_web_dir())
    say("Gathering the program and what it needs.")
    program, packed = files()
    content = client_files(web) | icons()
    archive, library = zipped(program), content["pyodide/python_stdlib.zip"]
    if node_here:
        say("Compiling it for the browser; that takes a minute.")
        archive = compiled(archive, web / "pyodide", node_here)
        library = compiled(library, web / "pyodide", node_here)
    pack = squeezed(archive)
    if node_here:
        content["frozen.pack"] = frozen(pack, library, web / "pyodide", WEB, node_here)
    content |= {
        "app.pack": pack,
        "pyodide/python_stdlib.zip": library,
        "licences.txt": licences(packed),
    }
    content |= _pages(base)
    version = version_of(content)
    content[SITE_MARK] = _service_worker(version, content)
    _write(out, content)
    sizes = [len(c) for c in content.values()]
    gzipped = sum(len(gzip.compress(c, 6)) for c in content.values())
    return Site(version, len(content), sum(sizes), gzipped, bool(node_here), packed)


def base_path(base: str) -> str:
    """The path with a slash at both ends.

    Raises:
        Refusal: it is no path.

    >>> base_path("tools/inspect")
    '/tools/inspect/'
    """
    inside = base.strip("/")
    if not all(
        part and part.replace("-", "").replace("_", "").replace(".", "").isalnum()
        for part in inside.split("/")
        if inside
    ):
        raise Refusal(f"{base!r} is no path; write one such as /tools/inspect/.")
    return f"/{inside}/" if inside else "/"


def version_of(content: dict[str, bytes]) -> str:
    """The name of exactly these files."""
    told = "".join(f"{name} {hashlib.sha256(content[name]).hexdigest()}\n" for name in sorted(content))
    return hashlib.sha256(told.encode()).hexdigest()[:12]


def licences(packed: Iterable[Packed]) -> bytes:
    """Whose work is in the site; the texts lie beside each package in app.pack, a zip within a gzip, the client's in
    assets/NOTICES."""
    lines = [f"{p.name} {p.version}: {p.licence}" for p in packed]
    lines += [
        "Python, its standard library and SQLite as Pyodide brings them: PSF-2.0, public domain; Pyodide: MPL-2.0",
        "The client: Flet, Apache-2.0; Flutter and CanvasKit, BSD-3-Clause; the rest as assets/NOTICES says",
    ]
    return ("\n".join(lines) + "\n").encode()


def _pages(base: str) -> dict[str, bytes]:
    """Our own pages and scripts; whatever address below the base is asked for gives the first page."""
    found = {f"alone/{f.name}": f.read_bytes() for f in sorted(WEB.iterdir()) if f.suffix in (".js", ".css")}
    del found[f"alone/{SITE_MARK}"]
    page = (WEB / "index.html").read_text(encoding="utf-8")
    filled = page.replace("@@BASE@@", base).replace("@@POLICY@@", POLICY).encode()
    manifest = {
        "name": "Cylinder inspection",
        "short_name": "Cylinders",
        "description": "Measured teardown inspection of hydraulic cylinders",
        "id": base,
        "start_url": base,
        "scope": base,
        "display": "standalone",
        "background_color": "#1B1F23",
        "theme_color": "#1B1F23",
        "icons": [
            {
                "src": f"icons/{kind}-{size}.png",
                "sizes": f"{size}x{size}",
                "type": "image/png",
                "purpose": purpose,
            }
            for kind, purpose in (("icon", "any"), ("maskable", "maskable"))
            for size in (192, 512)
        ],
    }
    return found | {"index.html": filled, "manifest.json": json.dumps(manifest, indent=1).encode()}


def _service_worker(version: str, content: dict[str, bytes]) -> bytes:
    listed = {name: hashlib.sha256(content[name]).hexdigest() for name in sorted(content)}
    script = (WEB / SITE_MARK).read_text(encoding="utf-8")
    script = script.replace("@@VERSION@@", version).replace("@@POLICY@@", POLICY.replace("'", "\\'"))
    return script.replace("@@FILES@@", json.dumps(listed, indent=0)).encode()


def _refuse_foreign(out: Path) -> None:
    if out.exists() and not out.is_dir():
        raise Refusal(f"{out} is a file; name a folder.")
    if out.is_dir() and any(out.iterdir()) and not (out / SITE_MARK).is_file():
        raise Refusal(f"{out} holds something else; name an empty folder, or a site that was built before.")


def _write(out: Path, content: dict[str, bytes]) -> None:
    """The service worker last: a site that is half there is none, and half copied offers no new version."""
    if out.is_dir():
        shutil.rmtree(out)
    for name in sorted(content, key=lambda name: name == SITE_MARK):
        file = out / name
        make_folders(file.parent)
        file.write_bytes(content[name])
