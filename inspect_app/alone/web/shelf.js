// A folder that Python sees as any other, and that is on the browser's own disk when fsync or flush() returns.
// Knows nothing of cylinders.
//
// What is written once (photographs, reports, kept tables) stands in one file, the shelf, as records that are only ever
// added at its end. The database and its logs are written in place, a file each. All of it through synchronous access
// handles: no promise stands between "written" and "on the disk", and only one owner can have them.
//
// The shelf begins with a head: magic, generation, check. Of two such files the one with the higher generation counts:
// compacting writes all that is still needed into the other one, brings it to the disk, and only then gives it its head.
// A record: magic, kind, length of name, length of content, check of both, check of these five; name; content.

const MAGIC = 0x31464853, START = 16, HEAD = 24, PUT = 1, MOVE = 2, GONE = 3;
const ENOSPC = 51, EIO = 29, DIRECTORY = 0o40777, FILE = 0o100666;
const ANSWER_MS = 2_000, LONGEST_MS = 20_000, TICK_MS = 50;
export const AGAIN = ['NoModificationAllowedError', 'TimeoutError'];
const TAIL = 4_000_000;              // a power cut may have left so much of the end unwritten: it is proven by its check
const WASTE = 8_000_000;             // compacted when more than this, and more than half, is needed no more

const TABLE = Uint32Array.from({length: 256}, (_, n) => {
  for (let k = 0; k < 8; k++) n = n & 1 ? 0xEDB88320 ^ (n >>> 1) : n >>> 1;
  return n >>> 0;
});
const check = bytes => {             // CRC-32 of ISO 3309
  let c = 0xFFFFFFFF;
  for (let i = 0; i < bytes.length; i++) c = TABLE[(c ^ bytes[i]) & 255] ^ (c >>> 8);
  return ~c >>> 0;
};

// Every handle of the folder, or none. What slept or was ended at once may hold one for some seconds more; and a browser
// that has just been started may leave one call unanswered for ever: it is asked anew, and given longer each time.
export async function handlesOf(folder, names, patienceMs, answerMs = ANSWER_MS) {
  let out = false;
  const stop = after(patienceMs, () => { out = true; });
  try {
    for (;;) {
      try {
        return await answered(attempt => handlesNow(folder, names, attempt), answerMs);
      } catch (e) {
        if (!AGAIN.includes(e.name) || out) throw e;
        if (e.name === 'TimeoutError') answerMs = Math.min(2 * answerMs, LONGEST_MS);  // one that is held is no sign of slowness
        await new Promise(resolve => setTimeout(resolve, 150));
      }
    }
  } finally {
    stop();
  }
}

// Calls after so much time in which this thread could have heard an answer; gives what calls it off. Python being begun holds
// the thread for seconds, and a plain timer would then be heard before answers that came long ago.
export function after(ms, call) {
  let heard = 0;
  const timer = setInterval(() => {
    heard += TICK_MS;
    if (heard >= ms) { clearInterval(timer); call(); }
  }, TICK_MS);
  return () => clearInterval(timer);
}

async function answered(work, answerMs) {
  const attempt = {over: false}, working = work(attempt);
  working.catch(() => {});
  let stop = () => {};
  const late = new Promise((_, reject) => {
    stop = after(answerMs, () => reject(new DOMException('the browser did not answer', 'TimeoutError')));
  });
  try {
    return await Promise.race([working, late]);
  } catch (e) {
    attempt.over = true;
    throw e;
  } finally {
    stop();
  }
}

async function handlesNow(folder, names, attempt) {
  const directory = await (await navigator.storage.getDirectory()).getDirectoryHandle(folder, {create: true});
  const handles = {};
  try {
    for (const name of names) {
      handles[name] = await (await directory.getFileHandle(name, {create: true})).createSyncAccessHandle();
      if (attempt.over) throw new DOMException('too late', 'AbortError');
    }
    return handles;
  } catch (e) {
    for (const handle of Object.values(handles)) handle.close();
    throw e;
  }
}

// The records of one file.
class Shelf {
  constructor(handle, {write, flush}) {
    this.handle = handle;
    this.write = write;
    this.flush = flush;
    this.found = new Map();          // path -> {at, size}
    this.end = START;
    this.damaged = this.cut = 0;
    this.dirty = false;
  }

  get generation() {
    const head = new Uint8Array(START), view = new DataView(head.buffer);
    if (this.handle.getSize() < START) return 0;
    this.handle.read(head, {at: 0});
    const whole = view.getUint32(0, true) === MAGIC && view.getUint32(8, true) === check(head.subarray(0, 8));
    return whole ? view.getUint32(4, true) : 0;
  }

  begin(generation) {
    const head = new Uint8Array(START), view = new DataView(head.buffer);
    view.setUint32(0, MAGIC, true);
    view.setUint32(4, generation, true);
    view.setUint32(8, check(head.subarray(0, 8)), true);
    this.write(this.handle, head, 0);
    this.handle.flush();
  }

  // What of it is whole. One record that was damaged does not take those after it along.
  scan() {
    const size = this.handle.getSize();
    let at = START;
    while (at + HEAD <= size) {
      const record = this._record(at, size);
      if (record) {
        this._take(record);
        at = this.end = record.next;
      } else {
        const next = this._nextRecord(at + 1, size);
        if (next === null) break;
        this.damaged++;
        at = next;
      }
    }
    this.cut = Math.max(0, size - Math.max(this.end, START));
    if (this.cut) { this.handle.truncate(this.end); this.handle.flush(); }
  }

  _record(at, size) {
    const head = new Uint8Array(HEAD), view = new DataView(head.buffer);
    this.handle.read(head, {at});
    if (view.getUint32(0, true) !== MAGIC || check(head.subarray(0, 20)) !== view.getUint32(20, true)) return null;
    const named = view.getUint32(8, true), long = view.getUint32(12, true), next = at + HEAD + named + long;
    if (next > size) return null;
    if (size - at < TAIL) {
      const all = new Uint8Array(named + long);
      this.handle.read(all, {at: at + HEAD});
      if (check(all) !== view.getUint32(16, true)) return null;
    }
    const name = new Uint8Array(named);
    this.handle.read(name, {at: at + HEAD});
    return {kind: view.getUint32(4, true), path: new TextDecoder().decode(name), at: next - long, size: long, next};
  }

  _nextRecord(from, size) {
    const part = new Uint8Array(1 << 20);
    for (let start = from; start + HEAD <= size; start += part.length - HEAD) {
      const got = this.handle.read(part, {at: start}), view = new DataView(part.buffer);
      for (let i = 0; i + HEAD <= got; i++) {
        const begins = part[i] === 0x53 && part[i + 1] === 0x48 && view.getUint32(i, true) === MAGIC;
        if (begins && this._record(start + i, size)) return start + i;
      }
    }
    return null;
  }

  _take({kind, path, at, size}) {
    if (kind === PUT) this.found.set(path, {at, size});
    else if (kind === GONE) this.found.delete(path);
    else this._move(...path.split('\0'));
  }

  _move(from, to) {
    for (const [path, where] of [...this.found]) {
      if (path === from || path.startsWith(`${from}/`)) {
        this.found.delete(path);
        this.found.set(to + path.slice(from.length), where);
      }
    }
  }

  add(kind, path, content = new Uint8Array(0)) {
    const name = new TextEncoder().encode(path), record = new Uint8Array(HEAD + name.length + content.length);
    const view = new DataView(record.buffer);
    record.set(name, HEAD);
    record.set(content, HEAD + name.length);
    const says = [MAGIC, kind, name.length, content.length, check(record.subarray(HEAD))];
    says.forEach((word, i) => view.setUint32(4 * i, word, true));
    view.setUint32(20, check(record.subarray(0, 20)), true);
    this.write(this.handle, record, this.end);
    const at = this.end + HEAD + name.length;
    this.end += record.length;
    this.dirty = true;
    this._take({kind, path, at, size: content.length});
    return at;
  }

  read(at, size) {
    const content = new Uint8Array(size);
    this.handle.read(content, {at});
    return content;
  }

  // Once the disk refused, what is not there yet stays marked so.
  settle() {
    if (this.dirty) { this.flush(this.handle); this.dirty = false; }
  }

  get waste() {
    let needed = START;
    for (const {size} of this.found.values()) needed += HEAD + size;
    return this.end - needed;
  }

  // All that is needed, into the other file; this one is emptied once that one is whole on the disk.
  compactInto(other) {
    const generation = this.generation + 1;
    other.handle.truncate(0);
    other.handle.flush();
    for (const [path, {at, size}] of this.found) other.add(PUT, path, this.read(at, size));
    other.settle();
    other.begin(generation);
    this.handle.truncate(0);
    this.handle.flush();
    return other;
  }
}

// What the browser refuses, as Python's system calls say it: anything else thrown through them would end Python.
const writing = FS => {
  const tried = work => {
    try {
      return work();
    } catch (e) {
      throw new FS.ErrnoError(e.name === 'QuotaExceededError' ? ENOSPC : EIO);
    }
  };
  return {
    write(handle, bytes, at) {
      const n = tried(() => handle.write(bytes, {at}));
      if (n !== bytes.length) throw new FS.ErrnoError(ENOSPC);
      return n;
    },
    flush: handle => tried(() => handle.flush()),
    truncate: (handle, size) => tried(() => handle.truncate(size)),
  };
};

export const SHELVES = ['shelf-a', 'shelf-b'];

// The shelf that counts, scanned, and compacted where that is worth it and there is room.
function current(handles, disk) {
  const [a, b] = SHELVES.map(name => new Shelf(handles[name], disk));
  const rank = shelf => [shelf.generation, shelf.handle.getSize()], [[ga, sa], [gb, sb]] = [rank(a), rank(b)];
  const [older, newer] = ga < gb || (ga === gb && sa < sb) ? [a, b] : [b, a];
  if (older.generation) older.handle.truncate(0);      // ended right after compacting
  if (!newer.generation) newer.begin(1);
  newer.scan();
  if (newer.waste < WASTE || newer.waste < newer.end / 2) return newer;
  try {
    return newer.compactInto(older);
  } catch {                          // no room for both: what is there stays as it is
    older.handle.truncate(0);
    return newer;
  }
}

// Puts the folder into Python's file system at `mountpoint`. `live` names the files written in place.
export function mount(FS, mountpoint, handles, live) {
  const MEMFS = FS.filesystems.MEMFS, disk = writing(FS), shelf = current(handles, disk);
  let root = null;
  const pathOf = node => FS.getPath(node).slice(mountpoint.length + 1);
  const inside = (parent, name) => parent === root ? name : `${pathOf(parent)}/${name}`;

  // -- the order on the disk: nothing is written while what was written before it, elsewhere, may not be there yet.
  // So the mark of a log never speaks of a commit that a power cut took. SQLite's fdatasync is answered without asking
  // us: whoever commits calls flush() before saying so
  const wet = new Set();
  const dry = handle => { if (wet.has(handle)) { disk.flush(handle); wet.delete(handle); } };
  const before = handle => {
    for (const other of [...wet]) if (other !== handle) dry(other);
    if (handle === shelf.handle) return;
    shelf.settle();
    wet.add(handle);
  };
  const add = (...record) => { before(shelf.handle); return shelf.add(...record); };

  // -- a file that is written once: in memory while it is being written, on the shelf from its fsync on
  const bring = node => { if (node.contents === null) node.contents = shelf.read(node.at, node.usedBytes); };
  const put = node => {
    node.at = add(PUT, pathOf(node), node.contents.subarray(0, node.usedBytes));
    node.contents = null;
    node.unsaved = false;
  };
  const keptNode = {
    getattr: MEMFS.node_ops.getattr,
    setattr(node, attributes) {
      if (attributes.size !== undefined && attributes.size !== node.usedBytes) { bring(node); node.unsaved = true; }
      else attributes = {...attributes, size: undefined};
      MEMFS.node_ops.setattr(node, attributes);
    },
  };
  const keptStream = {
    llseek: MEMFS.stream_ops.llseek,
    read(stream, buffer, offset, length, position) {
      const node = stream.node;
      if (node.contents !== null) return MEMFS.stream_ops.read(stream, buffer, offset, length, position);
      const n = Math.max(0, Math.min(length, node.usedBytes - position));
      return n ? shelf.handle.read(buffer.subarray(offset, offset + n), {at: node.at + position}) : 0;
    },
    write(stream, buffer, offset, length, position) {
      bring(stream.node);
      stream.node.unsaved = true;
      return MEMFS.stream_ops.write(stream, buffer, offset, length, position, false);
    },
    fsync(stream) {
      if (stream.node.unsaved) put(stream.node);
      shelf.settle();
      return 0;
    },
    close(stream) { if (stream.node.unsaved) put(stream.node); },
  };

  // -- a file that is written in place
  const liveNode = {
    getattr(node) { node.usedBytes = node.handle.getSize(); return MEMFS.node_ops.getattr(node); },
    setattr(node, attributes) {
      const {size, ...others} = attributes;
      if (size !== undefined) { before(node.handle); disk.truncate(node.handle, size); }
      MEMFS.node_ops.setattr(node, others);
    },
  };
  const liveStream = {
    llseek(stream, offset, whence) {
      stream.node.usedBytes = stream.node.handle.getSize();
      return MEMFS.stream_ops.llseek(stream, offset, whence);
    },
    read(stream, buffer, offset, length, position) {
      return stream.node.handle.read(buffer.subarray(offset, offset + length), {at: position});
    },
    write(stream, buffer, offset, length, position) {
      before(stream.node.handle);
      return disk.write(stream.node.handle, buffer.subarray(offset, offset + length), position);
    },
    fsync(stream) { dry(stream.node.handle); return 0; },
  };

  // -- folders
  const folderNode = {
    ...Object.fromEntries(['getattr', 'setattr', 'lookup', 'readdir'].map(name => [name, MEMFS.node_ops[name]])),
    mknod(parent, name, mode, device) {
      const path = inside(parent, name);
      return make(parent, name, mode, device, live.includes(path) ? handles[path] : undefined);
    },
    rename(node, parent, name) {
      const from = pathOf(node), to = inside(parent, name);
      if (node.unsaved) put(node);
      add(MOVE, `${from}\0${to}`);
      MEMFS.node_ops.rename(node, parent, name);
    },
    unlink(parent, name) {
      const node = parent.contents[name];
      if (node.handle) { before(node.handle); disk.truncate(node.handle, 0); dry(node.handle); }
      else if (node.at !== undefined) add(GONE, pathOf(node));
      MEMFS.node_ops.unlink(parent, name);
    },
    rmdir: MEMFS.node_ops.rmdir,
  };
  const folderStream = {llseek: MEMFS.stream_ops.llseek, fsync() { shelf.settle(); return 0; }};

  const make = (parent, name, mode, device, handle) => {
    const node = MEMFS.createNode(parent, name, mode, device);
    if (FS.isDir(mode)) Object.assign(node, {node_ops: folderNode, stream_ops: folderStream});
    else if (handle) Object.assign(node, {handle, node_ops: liveNode, stream_ops: liveStream});
    else Object.assign(node, {node_ops: keptNode, stream_ops: keptStream, contents: new Uint8Array(0), unsaved: true});
    return node;
  };

  FS.mkdirTree(mountpoint);
  FS.mount({mount: () => make(null, '/', DIRECTORY, 0)}, {}, mountpoint);
  root = FS.lookupPath(mountpoint).node;
  for (const [path, {at, size}] of shelf.found) {
    const steps = path.split('/'), name = steps.pop();
    let parent = root;
    for (const step of steps) parent = parent.contents[step] ?? make(parent, step, DIRECTORY, 0);
    Object.assign(make(parent, name, FILE, 0), {contents: null, usedBytes: size, at, unsaved: false});
  }
  for (const name of live) if (handles[name].getSize()) make(root, name, FILE, 0, handles[name]);

  return {
    flush() { for (const handle of [...wet]) dry(handle); shelf.settle(); },
    close() { for (const handle of Object.values(handles)) handle.close(); },
    alive() { try { shelf.handle.getSize(); return true; } catch { return false; } },
    told: () => ({files: shelf.found.size, bytes: shelf.end, damaged: shelf.damaged, cut: shelf.cut}),
  };
}
