// Keeps the memory of the very Python that will run the program, everything imported: node freeze.mjs PYODIDE LIBRARY
// PACK WEB OUT. Called by compiling.py; a start from it neither imports nor reads the tables. It is tried before it is kept.
import nodeCrypto from 'node:crypto';
import {readFileSync, writeFileSync} from 'node:fs';
import {pathToFileURL} from 'node:url';
import {gunzipSync} from 'node:zlib';
import {join} from 'node:path';

const [pyodide, library, pack, web, to] = process.argv.slice(2);
const theirs = name => import(pathToFileURL(join(pyodide, name)).href);
const ours = name => import(`data:text/javascript;base64,${readFileSync(join(web, name)).toString('base64')}`);
const {loadPyodide} = await theirs('pyodide.mjs');
const {default: createPyodideModule} = await theirs('pyodide.asm.mjs');
const {thawed} = await ours('frozen.js'), {unpack} = await ours('unpack.js');
const here = {stdLibURL: library};

// The same program gives the same memory: while it is made the clock stands, and chance is none. Python's own chance is
// seeded anew by `alone/start.py`
const STANDS = Date.UTC(2026, 0, 1), Time = Date;
globalThis.Date = class extends Time {
  constructor(...given) { super(...(given.length ? given : [STANDS])); }
  static now() { return STANDS; }
};
performance.now = () => 1000;
nodeCrypto.randomFillSync = bytes => bytes.fill(7);

const python = await loadPyodide({...here, _makeSnapshot: true, env: {PYTHONHASHSEED: '0'}});
const program = Uint8Array.from(gunzipSync(readFileSync(pack))).buffer;
unpack(python.FS, program, '/app');
python.runPython(`
import sys
sys.path[:0] = ["/app", "/app/packages"]
from inspect_app.alone.start import freeze
freeze()
`);
const memory = python.makeMemorySnapshot();
const again = await thawed(given => loadPyodide({...here, ...given}), createPyodideModule, memory);
unpack(again.FS, program, '/app');
const there = again.runPython('import sys; from inspect_app.tables import load_shipped; load_shipped.cache_info().currsize');
if (there !== 1) throw new Error('what was kept does not start');
writeFileSync(to, memory);
