"""The screens' client and the browser's Python as they were installed, without what the phone alone never asks for."""

from __future__ import annotations

import json
from fnmatch import fnmatch
from pathlib import Path

from inspect_app.trade.measuring.refusal import Refusal

LEFT = (
    "*.symbols", "*.map", "*.d.ts", "index.html", "manifest.json", "favicon.png", "icons/*", "python.js",
    "python-worker.js", "flutter_service_worker.js", "main.dart.wasm", "main.dart.mjs", "canvaskit/chromium/*",
    "canvaskit/experimental_*", "canvaskit/skwasm*", "canvaskit/wimp*", "pyodide/python", "pyodide/python.exe",
    "pyodide/python.bat", "pyodide/pyodide.js", "pyodide/package.json", "pyodide/python_cli_entry.mjs",
    "pyodide/*.whl", "assets/packages/flutter_math_fork/*", "assets/packages/media_kit/*",
    "assets/packages/flutter_map/*", "assets/packages/record_web/*", "assets/packages/cupertino_icons/*",
)  # fmt: skip
"""Other renderers, tools for makers of such clients, and what belongs to controls that no screen of ours has."""

ROBOTO = {"family": "Roboto", "fonts": [{"asset": "fonts/roboto.woff2"}]}
"""Brought with the client, and named by nobody: without it the client looks for it in the web."""

FONTS_LEFT = ("packages/flutter_math_fork/", "packages/cupertino_icons/")

OTHER_RENDERER = (
    '{"compileTarget":"dart2wasm","renderer":"skwasm","mainWasmPath":"main.dart.wasm",'
    '"jsSupportRuntimePath":"main.dart.mjs"},'
)
CONFIG = "var flutterConfig = {"
ONE_VARIANT = f'{CONFIG}\n    canvasKitVariant: "full",'
WORKER_FROM, WORKER_TO = "    serviceWorkerSettings:", "},"


def client_files(web: Path) -> dict[str, bytes]:
    """Every file of the client by its path.

    Args:
        web: the folder it is installed in.
    Raises:
        Refusal: it is another client than the one this was written for.
    """
    found = {}
    for file in sorted(f for f in web.rglob("*") if f.is_file()):
        name = file.relative_to(web).as_posix()
        if not any(fnmatch(name, pattern) for pattern in LEFT):
            found[name] = file.read_bytes()
    found["flutter_bootstrap.js"] = _bootstrap(found["flutter_bootstrap.js"].decode()).encode()
    fonts = json.loads(found["assets/FontManifest.json"])
    kept = [font for font in fonts if not font["fonts"][0]["asset"].startswith(FONTS_LEFT)]
    found["assets/FontManifest.json"] = json.dumps([*kept, ROBOTO]).encode()
    return found


def _bootstrap(script: str) -> str:
    """One renderer for every browser, and no service worker of the client's own, which would end ours."""
    if script.count(OTHER_RENDERER) != 1 or script.count(CONFIG) != 1 or script.count(WORKER_FROM) != 1:
        raise Refusal(
            "the client that is installed here is another one than this program knows; install it anew."
        )
    script = script.replace(OTHER_RENDERER, "").replace(CONFIG, ONE_VARIANT)
    begins = script.index(WORKER_FROM)
    ends = script.index(WORKER_TO, begins) + len(WORKER_TO)
    return script[:begins] + script[ends:]
