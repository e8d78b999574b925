// The page around the client: starts Python beside it, carries messages between the two, and does what only a page may:
// keep itself ready without network, ask the browser to keep the data, hand a file over.
'use strict';

const BASE = document.querySelector('base').getAttribute('href');

// What the client asks for.
var flet = {
  pyodide: true, multiView: false, noCdn: true, webSocketEndpoint: '', entrypointBaseUrl: BASE, assetBase: BASE,
  routeUrlStrategy: 'hash', canvasKitBaseUrl: `${BASE}canvaskit/`, webRenderer: 'canvaskit',
  fontFallbackBaseUrl: 'assets/fonts/', appPackageUrl: '', pyodideUrl: '', micropipIncludePre: false,
  pythonModuleName: '',
};
flet.flutterAppLoaded = new Promise(resolve => { flet.flutterAppResolve = resolve; });

// -- sentences of ours where the screens cannot say them
function trouble(title, sentence) {
  const sheet = document.getElementById('trouble') ?? document.createElement('div');
  sheet.id = 'trouble';
  sheet.setAttribute('role', 'alert');
  sheet.replaceChildren(...[['h1', title], ['p', sentence]].map(([kind, words]) => {
    const line = document.createElement(kind);
    line.textContent = words;
    return line;
  }));
  document.body.append(sheet);
}

const OLD = 'This browser is too old, or the page was not opened by https. It needs to keep files of its own: Chrome ' +
  'from 108 on, Firefox from 113 on, Safari from 16.4 on.';
const lacks = !window.isSecureContext || !navigator.storage?.getDirectory || !window.Worker || !navigator.locks;

// -- Python, in a worker that starts while the client still loads. One that gets no further before it has begun is ended,
// and another one begins: nothing is written before
const STEP_MS = 90_000, MOST_TRIES = 3;
let worker = null, toClient = null, tries = 0, steps = 0, beginning = true;
const waiting = [], told = {};
let begun = null;
// until then the client only shows that it waits: drawn seldom, it leaves the processor to Python
const STILL_MS = 250, draw = requestAnimationFrame.bind(window);
window.requestAnimationFrame = drawn => setTimeout(() => draw(drawn), STILL_MS);
const started = new Promise(resolve => { begun = resolve; });

function begin() {
  tries++;
  worker = new Worker('alone/worker.js', {type: 'module', name: tries === 1 ? '' : 'anew'});
  worker.onerror = e => trouble('This did not start', `The browser could not run the program: ${e.message ?? 'no reason given'}`);
  worker.onmessage = ({data}) => {
    if (data instanceof Uint8Array) (toClient ?? (bytes => waiting.push(bytes)))(data);
    else if (data.step) patience();
    else if (data.started) { patient(); document.getElementById('trouble')?.remove(); window.requestAnimationFrame = draw; begun(); }
    else if (data.trouble) { patient(); trouble(data.title, data.trouble); }
    else if (data.again) location.reload();
    else if (data.ask) answer(data);
  };
  worker.postMessage({told});
  patience();
}

// It has begun, or said why it does not: whatever it notes from here on, nobody waits for it any more
function patient() {
  beginning = false;
  clearTimeout(steps);
}

function patience() {
  if (!beginning) return;
  clearTimeout(steps);
  steps = setTimeout(() => {
    worker.terminate();
    if (tries < MOST_TRIES) begin();
    else trouble('This did not start', 'The browser does not get on with it. Nothing is lost. Close the browser, open it ' +
      'again, and start the app anew.');
  }, STEP_MS);
}

function answer({ask, id, given}) {
  Promise.resolve(ASKED[ask](given)).then(
    made => worker.postMessage({answered: id, answer: made}),
    e => worker.postMessage({answered: id, failed: `${e.name}: ${e.message}`}));
}

globalThis.jsConnect = async (app, args, toDart) => {
  await started;
  toClient = toDart;
  for (const bytes of waiting.splice(0)) toDart(bytes);
};
globalThis.jsSend = async (app, bytes) => worker?.postMessage(bytes, [bytes.buffer]);
globalThis.jsDisconnect = async () => {};

const tell = more => { Object.assign(told, more); worker?.postMessage({told: more}); };

// -- what Python may ask of the page
const HELD = `inspect-app ${BASE} held`, SHOP = `inspect-app ${BASE} shop`;
const shop = () => { try { return JSON.parse(localStorage.getItem(SHOP)) ?? {}; } catch { return {}; } };
const REACH_MS = 10_000, SEND_MS = 600_000;

async function asked(address, what, headers, body, patience) {
  try {
    const answer = await fetch(`${address}/phone-alone/${what}`, {
      method: 'POST', headers, body, mode: 'cors', credentials: 'omit', redirect: 'error', cache: 'no-store',
      signal: AbortSignal.timeout(patience),
    });
    const bytes = new Uint8Array(await answer.arrayBuffer()), said = answer.headers.get('x-inspect-said') ?? '';
    return {status: answer.status, said, bytes};
  } catch (e) {
    return {status: 0};              // a browser does not tell a page why: no such address, no certificate, not allowed
  }
}
const ASKED = {
  // a mark outside the data: by it the next start knows that the browser threw the data away
  hold(held) { localStorage.setItem(HELD, held); },
  async share({name, type, bytes}) {
    const file = new File([bytes], name, {type});
    if (navigator.canShare?.({files: [file]})) {
      try {
        await navigator.share({files: [file], title: name});
        return 'shared';
      } catch (e) {
        if (e.name === 'AbortError') return 'left';
      }
    }
    const link = document.createElement('a');
    link.href = URL.createObjectURL(file);
    link.download = name;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
    return 'downloaded';
  },
  // the shop's served program, by its own https address; what lets this phone in there never leaves this page for Python
  async pair({address, code}) {
    const answer = await asked(address, 'pair', {'content-type': 'application/json'}, JSON.stringify({code}), REACH_MS);
    if (answer.status !== 200) return answer;
    localStorage.setItem(SHOP, JSON.stringify({address, token: JSON.parse(await new Response(answer.bytes).text()).token}));
    tell({shop: address});
    return {status: 200};
  },
  async send({bytes}) {
    const {address, token} = shop(), bearer = {authorization: `Bearer ${token}`};
    const there = await asked(address, 'here', bearer, '', REACH_MS);
    return there.status === 204 ? asked(address, 'job', {...bearer, 'content-type': 'application/zip'}, bytes, SEND_MS) : there;
  },
  async keep() { await tellKept(await navigator.storage.persist?.()); },
  async renew() { (await navigator.serviceWorker?.getRegistration())?.waiting?.postMessage('go'); },
};

// -- ready without network; a new version waits until it is asked for, so that no start mixes two
async function ready() {
  const workers = navigator.serviceWorker;
  if (!workers) return tell({ready: 'no'});
  workers.addEventListener('message', ({data}) => { if (data.fetched) tell({fetched: data.fetched}); });
  const had = workers.controller;
  let again = false;
  workers.addEventListener('controllerchange', () => { if (had && !again) { again = true; location.reload(); } });
  try {
    const registration = await workers.register('sw.js', {updateViaCache: 'none'});
    const look = () => tell({
      ready: registration.active ? 'yes' : 'coming', renewal: Boolean(registration.waiting && registration.active),
    });
    const watch = found => found?.addEventListener('statechange', () => {
      look();
      if (found.state === 'redundant' && !registration.active) tell({ready: 'no'});
    });
    watch(registration.installing);
    registration.addEventListener('updatefound', () => watch(registration.installing));
    look();
    seek(registration);
  } catch (e) {
    tell({ready: navigator.serviceWorker.controller ? 'yes' : 'no'});
  }
}

// A browser looks for a newer version by itself only when a page is loaded, and not while one that came broken is still
// being tried: so it is asked again, as often as the app comes to the front, and while it stays there
const SEEK_MS = 1_800_000;
function seek(registration) {
  const once = () => {
    const tried = registration.installing;
    if (!tried) return registration.update().catch(() => {});  // no network: the next time
    tried.addEventListener('statechange', () => { if (tried.state === 'redundant') once(); }, {once: true});
  };
  once();
  setInterval(once, SEEK_MS);
  document.addEventListener('visibilitychange', () => { if (document.visibilityState === 'visible') once(); });
}

async function tellKept(granted) {
  const {usage = 0, quota = 0} = await navigator.storage.estimate?.() ?? {};
  tell({kept: Boolean(granted ?? await navigator.storage.persisted?.()), usage, quota});
}

function place() {
  const home = matchMedia('(display-mode: standalone)').matches || navigator.standalone === true;
  const edge = document.body.appendChild(Object.assign(document.createElement('div'), {id: 'edge'}));
  const measured = edge.getBoundingClientRect().height;
  edge.remove();
  // the toolkit is told of no edge there: the bar under an iPhone without a button is 34 points high
  const bar = home && navigator.standalone === true && Math.max(screen.width, screen.height) >= 812 ? 34 : 0;
  tell({lowerEdge: Math.max(measured, bar)});
  // the system's keyboard leaves the page shifted there: what is touched below would miss
  if (bar) addEventListener('focusout', () => setTimeout(() => scrollTo(0, 0), 250));
}

if (lacks) document.addEventListener('DOMContentLoaded', () => trouble('This cannot run here', OLD));
else {
  // what is kept here whole answered for this very page: what it draws first counts on that
  if (navigator.serviceWorker?.controller) tell({ready: 'yes'});
  tell({held: localStorage.getItem(HELD) ?? '', base: BASE, shop: shop().address ?? ''});
  begin();
  document.addEventListener('DOMContentLoaded', place);
  ready();
  navigator.storage.persist?.().then(tellKept, () => tellKept());
  // what holds the data lets go of it with the page; a page that comes back from the browser's memory starts anew
  addEventListener('pagehide', () => worker.postMessage({release: true}));
  addEventListener('pageshow', e => { if (e.persisted) location.reload(); });
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'visible') worker.postMessage({look: true});
  });
}
addEventListener('flutter-first-frame', () => document.getElementById('loading')?.remove(), {once: true});
