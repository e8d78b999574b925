// Compiles every Python file of an archive with the very Python that will run it: node compile.mjs PYODIDE IN OUT.
// Called by compiling.py; a start from compiled files takes a third of the time.
import {readFileSync, writeFileSync} from 'node:fs';
import {pathToFileURL} from 'node:url';
import {join} from 'node:path';

const [pyodide, from, to] = process.argv.slice(2);
const {loadPyodide} = await import(pathToFileURL(join(pyodide, 'pyodide.mjs')).href);
const python = await loadPyodide();
python.FS.writeFile('/from.zip', readFileSync(from));
python.runPython(`
from importlib._bootstrap_external import _code_to_timestamp_pyc
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

with ZipFile("/from.zip") as source, ZipFile("/to.zip", "w", ZIP_DEFLATED, compresslevel=9) as made:
    for name in sorted(n for n in source.namelist() if not n.endswith("/")):
        content = source.read(name)
        if name.endswith(".py"):
            # its time and size are not looked at where the source is not beside it
            code = compile(content, name, "exec", dont_inherit=True, optimize=0)
            name, content = name + "c", bytes(_code_to_timestamp_pyc(code, 0, 0))
        made.writestr(ZipInfo(name), content, ZIP_DEFLATED)
`);
writeFileSync(to, python.FS.readFile('/to.zip'));
