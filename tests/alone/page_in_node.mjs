// The page around the client in Node.js, without a browser: its worker and its clock in the test's hand. Prints JSON.
import {readFileSync} from 'node:fs';
import vm from 'node:vm';

const script = readFileSync(process.argv[2], 'utf-8');

// A page as it is opened: what it began, what it told, its timers; `pass` lets time go by.
function opened({controlled}) {
  const workers = [], timers = new Map();
  let clock = 0, number = 0, sheet = null;
  class Worker {
    constructor(url, {name}) { Object.assign(this, {name, ended: false, told: []}); workers.push(this); }
    postMessage(message) { this.told.push(message); }
    terminate() { this.ended = true; }
    says(data) { if (!this.ended) this.onmessage({data}); }
  }
  const setTimeout = (work, ms) => { timers.set(++number, {at: clock + ms, work}); return number; };
  const element = () => ({setAttribute() {}, replaceChildren(...lines) { sheet = lines.map(l => l.textContent); }});
  const document = {
    querySelector: () => ({getAttribute: () => '/tools/'}), getElementById: () => null, createElement: element,
    addEventListener() {}, body: {append() {}},
  };
  const never = new Promise(() => {});
  const window = {isSecureContext: true, Worker, requestAnimationFrame: () => 0};
  const navigator = {
    storage: {getDirectory: true, persist: () => never, estimate: () => never}, locks: {},
    serviceWorker: {controller: controlled ? {} : null, addEventListener() {}, register: () => never},
  };
  const room = vm.createContext({
    window, document, navigator, Worker, setTimeout, clearTimeout: n => timers.delete(n), setInterval() {}, console, URL,
    localStorage: {getItem: () => null, setItem() {}}, location: {reload() {}}, addEventListener() {},
    requestAnimationFrame: () => 0,
  });
  vm.runInContext(script, room);
  return {
    workers, sheet: () => sheet,
    pass(ms) {
      for (const until = clock + ms; clock < until; clock += 1000) {
        for (const [n, {at, work}] of [...timers]) if (at <= clock + 1000 && timers.delete(n)) work();
      }
    },
  };
}

const seen = {};
for (const controlled of [true, false]) seen[controlled ? 'kept' : 'new'] = opened({controlled}).workers[0].told[0].told.ready ?? null;

const day = opened({controlled: true}), python = day.workers[0];
for (const step of ['worker', 'python', 'disk', 'bench']) { day.pass(60_000); python.says({step}); }
python.says({started: true});
python.says({step: 'screen'});  // the first screen is drawn once the client may speak
day.pass(8 * 3_600_000);
seen.day = day.workers.map(w => w.ended);

const other = opened({controlled: true});
other.workers[0].says({title: 'Open in another tab', trouble: 'Go on there.'});
other.workers[0].says({step: 'python'});  // what was loading meanwhile
other.pass(3_600_000);
seen.other = {workers: other.workers.length, sheet: other.sheet()};

const silent = opened({controlled: true});
silent.workers[0].says({step: 'worker'});
silent.pass(600_000);
seen.silent = {workers: silent.workers.map(w => [w.name, w.ended]), sheet: silent.sheet()?.[0]};
console.log(JSON.stringify(seen));
