// Python in a worker of the page: loads it and the program side by side, opens the data folder, and hands both over.
import {loadPyodide} from '../pyodide/pyodide.mjs';
import createPyodideModule from '../pyodide/pyodide.asm.mjs';
import {develop} from './develop.js';
import {thawed} from './frozen.js';
import {AGAIN, SHELVES, after, handlesOf, mount} from './shelf.js';
import {unpack, unsqueezed} from './unpack.js';

const FOLDER = 'inspect-app', LIVE = ['logbook.db', 'logbook.db-wal', 'logbook.db-journal'];
const OWNER_MS = 5_000, HANDLES_MS = 20_000;

const client = {};                   // Flet's own end of the line
const asked = new Map();
let number = 0, folder = null, release = () => {}, listen = () => {};

// What the page is to Python.
const page = {
  told: {}, develop: (bytes, ...how) => develop(bytes.toJs(), ...how), mark: name => step(name),
  listen(heard) { const kept = heard.copy(); listen = () => kept(); },
  share: (name, type, bytes) => page.ask('share', {name, type, bytes: bytes.toJs()}),
  pair: (address, code) => page.ask('pair', {address, code}), send: bytes => page.ask('send', {bytes: bytes.toJs()}),
  async publish(path, name, bytes) {
    const headers = {'content-type': 'application/pdf', 'content-disposition': `inline; filename="${name}"`};
    const made = new Response(bytes.toJs(), {headers});
    const store = await caches.open(`inspect-documents ${page.told.base}`);
    await store.put(new URL(`../${path}`, self.location.href), made);
  },
  ask: (what, given) => new Promise((resolve, reject) => {
    asked.set(++number, {resolve, reject});
    self.postMessage({ask: what, id: number, given});
  }),
};

self.onmessage = ({data}) => {
  if (data instanceof Uint8Array) client.send?.(data);
  else if (data.told) { Object.assign(page.told, data.told); listen(); }
  else if (data.answered) {
    const {resolve, reject} = asked.get(data.answered);
    asked.delete(data.answered);
    if (data.failed) reject(new Error(data.failed)); else resolve(data.answer);
  } else if (data.release) { folder?.close(); release(); }
  else if (data.look && folder && !folder.alive()) self.postMessage({again: true});
};

const trouble = (title, sentence) => self.postMessage({title, trouble: sentence});

// One owner: of two tabs only one can write; the other waits for it, and then starts.
function own(base) {
  const name = `${FOLDER} ${base}`;
  const held = new Promise(done => { release = done; });
  return new Promise((resolve, reject) => {
    const patience = new AbortController();
    const stop = after(OWNER_MS, () => patience.abort());
    navigator.locks.request(name, {signal: patience.signal}, () => {
      stop();
      resolve();
      return held;
    }).catch(() => {
      navigator.locks.request(name, () => { self.postMessage({again: true}); });
      reject(new Error('owned'));
    });
  });
}

async function handles() {
  const base = new URL('..', self.location.href).pathname;
  try {
    await own(base);
  } catch {
    trouble('Open in another tab', 'The app is open in another tab or window of this browser. Go on there, or close it: ' +
      'this one then starts by itself.');
    return null;
  }
  const inside = `${FOLDER}${base === '/' ? '' : base.replaceAll('/', ' ').trimEnd()}`, names = [...SHELVES, ...LIVE];
  try {
    return await handlesOf(inside, names, HANDLES_MS).catch(e => {
      if (!AGAIN.includes(e.name)) throw e;
      trouble('The data is still held', 'The browser has not let go of the data since the app ran last. Nothing is ' +
        'lost, and the app starts as soon as it does. If it does not, close the browser and open it again.');
      return handlesOf(inside, names, Infinity);
    });
  } catch (e) {
    if (e.name === 'QuotaExceededError') {
      trouble('No room', 'This phone has no room left. Nothing is lost. Free some space, then start the app anew.');
    } else {
      trouble('This browser keeps no files', `A private window keeps none; open the app in an ordinary one. (${e.name}: ${e.message})`);
    }
    return null;
  }
}

async function fetched(name) {
  const answer = await fetch(new URL(`../${name}`, self.location.href));
  if (!answer.ok) throw new Error(`${name}: ${answer.status}`);
  return answer.arrayBuffer();
}

// Python as it stood at the build with everything imported, or begun anew where it cannot be had
async function begun() {
  if (self.name !== 'anew') {
    try {
      return await thawed(loadPyodide, createPyodideModule, await fetched('frozen.pack').then(unsqueezed));
    } catch (e) {
      console.warn(`begins anew: ${e.message ?? e}`);
    }
  }
  const python = await loadPyodide();
  python.runPython('import sys; sys.path[:0] = ["/app", "/app/packages"]');
  return python;
}

const noted = async (name, work) => { const made = await work; step(name); return made; };
const step = name => { performance.mark(name); self.postMessage({step: name}); };

async function start() {
  step('worker');
  const [python, program, held] = await Promise.all([noted('python', begun()), noted('program', fetched('app.pack').then(unsqueezed)), noted('disk', handles())]);
  if (!held) return;
  // links into it are made anew; while another tab has the data they are that one's
  caches.delete(`inspect-documents ${new URL('..', self.location.href).pathname}`);
  unpack(python.FS, program, '/app');
  step('unpacked');
  folder = mount(python.FS, '/data', held, LIVE);
  page.folder = folder;
  step('folder');
  client.documentUrl = new URL('..', self.location.href).href;
  python.registerJsModule('flet_js', client);
  python.registerJsModule('browser_page', page);
  await python.runPythonAsync('from inspect_app.alone.start import start\nstart()');
  step('imported');
  await client.start_connection(bytes => {
    const made = bytes.toJs();
    self.postMessage(made, [made.buffer]);
  });
  self.postMessage({started: true});
}

start().catch(e => trouble('This did not start', `${e.message ?? e}`.trim().split('\n').at(-1)));
