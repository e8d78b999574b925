// A start from Python as the site keeps it, without a browser: node thaw_in_node.mjs SITE. Prints what it found, as JSON.
import {readFileSync} from 'node:fs';
import {pathToFileURL} from 'node:url';
import {gunzipSync} from 'node:zlib';
import {join} from 'node:path';

const [site] = process.argv.slice(2);
const {loadPyodide} = await import(pathToFileURL(join(site, 'pyodide/pyodide.mjs')).href);
const {default: createPyodideModule} = await import(pathToFileURL(join(site, 'pyodide/pyodide.asm.mjs')).href);
const ours = name => import(`data:text/javascript;base64,${readFileSync(join(site, 'alone', name)).toString('base64')}`);
const {thawed} = await ours('frozen.js'), {unpack} = await ours('unpack.js');

const python = await thawed(loadPyodide, createPyodideModule, gunzipSync(readFileSync(join(site, 'frozen.pack'))));
unpack(python.FS, Uint8Array.from(gunzipSync(readFileSync(join(site, 'app.pack')))).buffer, '/app');
console.log(python.runPython(`
import json, sys
before = {name for name in sys.modules if name.startswith("inspect_app")}
from datetime import datetime
from pathlib import Path
import inspect_app.alone.start
from inspect_app.bench.bench import Bench
from inspect_app.tables import load_shipped
kept = load_shipped.cache_info().misses
bench = Bench(Path("/data"))
bench.open_job("J-1", "AB")
json.dumps({
    "imported": len({n for n in sys.modules if n.startswith("inspect_app")} - before), "kept": len(before),
    "read": load_shipped.cache_info().misses - kept, "device": bench.logbook.device,
    "off": datetime(2026, 7, 1).astimezone().utcoffset().total_seconds(), "jobs": [j.name for j in bench.jobs()],
})
`));
