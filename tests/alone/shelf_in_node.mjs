// The shelf over a disk that a test holds: node shelf_in_node.mjs PYODIDE SHELF. Prints what came of each part, as JSON.
import {pathToFileURL} from 'node:url';
import {readFileSync} from 'node:fs';
import {join} from 'node:path';

const [pyodide, script] = process.argv.slice(2);
const {loadPyodide} = await import(pathToFileURL(join(pyodide, 'pyodide.mjs')).href);
const source = Buffer.from(readFileSync(script)).toString('base64');
const {SHELVES, handlesOf, mount} = await import(`data:text/javascript;base64,${source}`);
const LIVE = ['logbook.db', 'logbook.db-wal', 'logbook.db-journal'], FOLDER = '/data', MB = 1_000_000;

// -- files as the File System Standard has them (FileSystemSyncAccessHandle), with room for so many bytes in all
class Disk {
  files = new Map();
  room = Infinity;
  held = {};                         // name -> so often it is still held by somebody else
  unanswered = 0;                    // so many calls are never answered, and what they asked for comes later
  late = [];
  open = 0;
  asked = 0;
  busyMs = 0;                        // so long Python, on the same thread, does something else before each answer is heard
  get used() { return [...this.files.values()].reduce((sum, bytes) => sum + bytes.length, 0); }
  refuse(name) { const e = new Error(name); e.name = name; throw e; }

  handle(name) {
    this.asked++;
    if (this.held[name] > 0) { this.held[name]--; this.refuse('NoModificationAllowedError'); }
    this.open++;
    const disk = this, all = () => disk.files.get(name);
    if (!this.files.has(name)) this.files.set(name, new Uint8Array(0));
    const sized = size => {
      if (size > all().length && disk.used + size - all().length > disk.room) disk.refuse('QuotaExceededError');
      const made = new Uint8Array(size);
      made.set(all().subarray(0, size));
      disk.files.set(name, made);
    };
    return {
      getSize: () => all().length, truncate: sized, flush() {}, close() { disk.open--; },
      read(into, {at}) { const part = all().subarray(at, at + into.length); into.set(part); return part.length; },
      write(bytes, {at}) {
        if (at + bytes.length > all().length) sized(at + bytes.length);
        all().set(bytes, at);
        return bytes.length;
      },
    };
  }

  asBrowser() {
    const busy = async made => {
      await new Promise(resolve => setTimeout(resolve, 1));
      for (const until = performance.now() + this.busyMs; performance.now() < until;);
      return made;
    };
    const soon = name => this.unanswered-- > 0
      ? new Promise(resolve => this.late.push(() => resolve(this.handle(name))))
      : this.busyMs ? busy(this.handle(name)) : this.handle(name);
    const file = name => ({createSyncAccessHandle: async () => soon(name)});
    const folder = {getFileHandle: async name => file(name)};
    const storage = {getDirectory: async () => ({getDirectoryHandle: async () => folder})};
    Object.defineProperty(globalThis, 'navigator', {value: {storage}, configurable: true});
  }
}

const python = await loadPyodide();
python.runPython(`
import os, sqlite3, json
def write(name, content):
    with open(name, "wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
def opened():
    log = sqlite3.connect("/data/logbook.db", isolation_level=None)
    for pragma in ("locking_mode = EXCLUSIVE", "journal_mode = WAL", "synchronous = FULL"):
        log.execute("PRAGMA " + pragma).fetchone()
    log.execute("CREATE TABLE IF NOT EXISTS said (words TEXT)")
    return log
def say(log, words):
    try:
        log.execute("BEGIN IMMEDIATE")
        log.execute("INSERT INTO said VALUES (?)", (words,))
        log.execute("COMMIT")
        return "saved"
    except sqlite3.Error as e:
        if log.in_transaction:
            log.execute("ROLLBACK")
        return type(e).__name__ + ": " + str(e)
def stands(log):
    return [len(words) for (words,) in log.execute("SELECT words FROM said")]
`);
const py = code => JSON.parse(python.runPython(`json.dumps(${code})`));
const plugged = async (disk, patience = 0) => {
  if (python.FS.analyzePath(FOLDER).exists) python.FS.unmount(FOLDER);
  disk.asBrowser();
  return mount(python.FS, FOLDER, await handlesOf('there', [...SHELVES, ...LIVE], patience), LIVE);
};

const said = {};

{ // what is needed no more is left behind at the next start, what is needed stands
  const disk = new Disk();
  await plugged(disk);
  python.runPython('write("/data/kept", b"k" * 1000)');
  for (let i = 0; i < 4; i++) {
    python.runPython(`write("/data/part", bytes([${i}]) * 3_000_000)\nos.replace("/data/part", "/data/photo")`);
  }
  const before = disk.used, told = (await plugged(disk)).told();
  said.compacted = {before, after: disk.used, told, kept: py('len(open("/data/kept").read())'),
    photo: py('[len(open("/data/photo", "rb").read()), open("/data/photo", "rb").read(1)[0]]')};
  said.again = {told: (await plugged(disk)).told(), used: disk.used};

  // ended right before the emptying of the older one, or with no room for two: neither loses anything
  const cut = new Disk();
  await plugged(cut);
  for (let i = 0; i < 4; i++) python.runPython(`write("/data/photo${i}", b"p" * 3_000_000)`);
  python.runPython('for i in (0, 1, 2): os.unlink(f"/data/photo{i}")');
  cut.room = cut.used + MB;
  said.tight = {told: (await plugged(cut)).told(), used: cut.used, there: py('sorted(os.listdir("/data"))'),
    long: py('len(open("/data/photo3", "rb").read())')};
  const older = cut.files.get('shelf-a').slice();
  cut.room = Infinity;
  await plugged(cut);
  cut.files.set('shelf-a', older);
  said.both = {told: (await plugged(cut)).told(), used: cut.used, long: py('len(open("/data/photo3", "rb").read())')};
}

{ // a record whose bytes changed does not take the others along; an end that was cut off is left out
  const disk = new Disk();
  await plugged(disk);
  for (const name of ['one', 'two', 'three']) python.runPython(`write("/data/${name}", b"${name}" * 100)`);
  const bytes = disk.files.get('shelf-a');
  bytes[Buffer.from(bytes).indexOf('twotwo') + 7] ^= 1;
  said.damaged = {told: (await plugged(disk)).told(), there: py('sorted(os.listdir("/data"))')};
  disk.files.set('shelf-a', disk.files.get('shelf-a').slice(0, -5));
  said.cut = {told: (await plugged(disk)).told(), there: py('sorted(os.listdir("/data"))')};
}

{ // a full disk: not saved, what was saved stands, and there is room again
  const disk = new Disk();
  await plugged(disk);
  python.runPython('log = opened()');
  const first = py('say(log, "a" * 10)');
  disk.room = disk.used;             // the log of commits has to grow
  const full = [py('say(log, "b" * 50_000)'), py('say(log, "c" * 20)')], stood = py('stands(log)');
  let errno = 0;
  try { python.runPython('write("/data/photo", b"p" * 50_000)'); } catch (e) { errno = Number(/Errno (\d+)/.exec(e.message)?.[1]); }
  disk.room = Infinity;
  const later = [py('say(log, "d" * 50_000)'), py('say(log, "e" * 30)')];
  python.runPython('log = None\nimport gc\ngc.collect()');
  await plugged(disk);
  python.runPython('log = opened()');
  said.full = {first, full, stood, errno, says: py(`__import__("errno").errorcode[${errno}]`), later, stands: py('stands(log)'),
    whole: py('log.execute("PRAGMA integrity_check").fetchone()[0]')};
  python.runPython('log.close()');
}

{ // what is still held is tried again for a while; whatever was got meanwhile is let go of
  const disk = new Disk();
  disk.held['shelf-b'] = 3;
  await plugged(disk, 5000);
  const after = disk.open, longer = new Disk();
  longer.held['shelf-b'] = Infinity;
  longer.asBrowser();
  let name = '';
  try { await handlesOf('there', [...SHELVES, ...LIVE], 300); } catch (e) { name = e.name; }
  said.held = {open: after, refused: 3 - disk.held['shelf-b'], name, left: longer.open};
}

{ // a call that is never answered is asked anew; what it brings later is let go of
  const disk = new Disk();
  disk.unanswered = 2;
  disk.asBrowser();
  const got = await handlesOf('there', [...SHELVES, ...LIVE], 5000, 50);
  const open = disk.open;
  for (const come of disk.late) come();
  await new Promise(resolve => setTimeout(resolve, 10));
  said.unanswered = {asked: disk.late.length, got: Object.keys(got).length, open, later: disk.open};
}

{ // answers that came while the thread was held by Python came in time
  const disk = new Disk();
  disk.busyMs = 100;
  disk.asBrowser();
  await handlesOf('there', [...SHELVES, ...LIVE], 5000, 400);
  said.busy = {asked: disk.asked, open: disk.open};
}

{ // however often it was refused before, a call that is left unanswered is asked anew as soon as the first would be
  const disk = new Disk();
  disk.held['shelf-a'] = 6;
  disk.asBrowser();
  const getting = handlesOf('there', [...SHELVES, ...LIVE], 2000, 50);
  while (disk.held['shelf-a'] > 0) await new Promise(resolve => setTimeout(resolve, 10));
  disk.unanswered = 1;
  said.refused = await getting.then(got => Object.keys(got).length, e => e.name);
}
console.log(JSON.stringify(said));
