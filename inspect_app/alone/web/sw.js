// Keeps the whole app on the phone. Every file is fetched once, proven by its hash, and from then on answered from here;
// a version is here whole or not at all, and takes over only when it is asked to or nothing of the one before is open.
'use strict';
const VERSION = '@@VERSION@@', POLICY = '@@POLICY@@';
const FILES = @@FILES@@;             // path -> SHA-256
const SCOPE = new URL(self.registration.scope).pathname;
const OURS = `inspect-app ${SCOPE} `, CACHE = OURS + VERSION, DOCUMENTS = `inspect-documents ${SCOPE}`, SIDE_BY_SIDE = 6;
const TYPES = {
  html: 'text/html; charset=utf-8', js: 'text/javascript', mjs: 'text/javascript', json: 'application/json', css: 'text/css',
  wasm: 'application/wasm', png: 'image/png', zip: 'application/zip', woff2: 'font/woff2', ttf: 'font/ttf', otf: 'font/otf',
};

const hex = buffer => [...new Uint8Array(buffer)].map(b => b.toString(16).padStart(2, '0')).join('');
const proven = async (bytes, sha256) => hex(await crypto.subtle.digest('SHA-256', bytes)) === sha256;

// From the version before where it is the same, else from the web.
async function bytesOf(path, sha256, before) {
  const here = await before?.match(path);
  const kept = await here?.arrayBuffer();
  if (kept && await proven(kept, sha256)) return kept;
  let answer;
  // what the browser kept of a file that came broken may look unchanged to the web space: then it is sent whole
  for (const cache of ['no-cache', 'reload']) {
    answer = await fetch(path, {cache});
    const bytes = await answer.arrayBuffer();
    if (answer.ok && await proven(bytes, sha256)) return bytes;
  }
  throw new Error(`${path} is not of version ${VERSION} (${answer.status})`);
}

async function install() {
  const known = (await caches.keys()).filter(name => name.startsWith(OURS) && name !== CACHE);
  const before = known.length ? await caches.open(known.at(-1)) : null;
  const cache = await caches.open(CACHE), ahead = Object.entries(FILES);
  let done = 0;
  const fetching = async () => {
    for (let next; (next = ahead.pop());) {
      const [path, sha256] = next;
      if (!await cache.match(path)) {  // there already: a try before was cut off
        const type = TYPES[path.split('.').pop()] ?? 'application/octet-stream';
        const headers = {'content-type': type, 'content-security-policy': POLICY};
        await cache.put(path, new Response(await bytesOf(path, sha256, before), {headers}));
      }
      tell(++done / Object.keys(FILES).length);
    }
  };
  await Promise.all(Array.from({length: SIDE_BY_SIDE}, fetching));
}

async function tell(share) {
  for (const page of await self.clients.matchAll({includeUncontrolled: true})) page.postMessage({fetched: share});
}

self.addEventListener('install', event => event.waitUntil(install()));
self.addEventListener('activate', event => event.waitUntil((async () => {
  for (const name of await caches.keys()) if (name.startsWith(OURS) && name !== CACHE) await caches.delete(name);
  await self.clients.claim();
})()));
self.addEventListener('message', ({data}) => { if (data === 'go') self.skipWaiting(); });

async function answer(request, url) {
  const path = url.pathname.slice(SCOPE.length);
  if (path.startsWith('document/')) {
    const document = await (await caches.open(DOCUMENTS)).match(url.pathname);
    return document ?? new Response('This document is no longer open. Open it from the job again.', {status: 404});
  }
  const cache = await caches.open(CACHE);
  // nothing is asked of the web here: what it has may be of another version
  return await cache.match(request.mode === 'navigate' ? 'index.html' : path) ?? new Response('Not here.', {status: 404});
}

self.addEventListener('fetch', event => {
  const url = new URL(event.request.url);
  if (url.protocol === 'blob:' || url.protocol === 'data:') return;
  const ours = url.origin === self.location.origin, posted = event.request.method === 'POST';
  if (!ours && posted && url.protocol === 'https:' && url.pathname.startsWith('/phone-alone/')) return;  // to a shop's door
  if (!ours || event.request.method !== 'GET') event.respondWith(Response.error());
  else if (url.pathname.startsWith(SCOPE)) event.respondWith(answer(event.request, url));
});
