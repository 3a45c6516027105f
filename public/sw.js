// The service worker: keeps one whole version of the workbook on the device and
// answers from it, so that a start without a network is the normal start.
//
// Each version has a cache of its own. A version is fetched whole and checked
// byte by byte (SHA-256) before anything is kept; one wrong byte and the version
// that is there stays as it is. A new version waits until the page says
// "take-over": nothing changes under a hand that is working. The older version
// is dropped only when the new one has taken over.
//
// Everything is answered from the list. Nothing else is asked of any server,
// except the made-up workbook under demo/, which is not part of the program.

/* stamp:begin */
const VERSION = "unstamped";
const FILES = {};
/* stamp:end */

const PREFIX = "quaywright-files-";
const CACHE = PREFIX + VERSION;
// The app keeps the head of its log in the cache "quaywright-witness". It is no
// copy of a file and outlives every version: it does not bear the prefix.

const SCOPE = new URL(self.registration.scope);
const addressOf = (name) => new URL(name, SCOPE).href;

async function sha256(bytes) {
  const digest = await crypto.subtle.digest("SHA-256", bytes);
  return [...new Uint8Array(digest)].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

// Asks the server for one listed file, past every HTTP cache, and returns it only
// if it is the file of this version. What is kept is a plain answer: neither a
// redirect nor a transfer encoding comes along.
async function fetchListed(name) {
  const answer = await fetch(addressOf(name), { cache: "reload", credentials: "same-origin" });
  if (answer.status !== 200) throw new Error(`${name}: the server answered ${answer.status}`);
  const bytes = await answer.arrayBuffer();
  if ((await sha256(bytes)) !== FILES[name]) throw new Error(`${name}: not the file of version ${VERSION}`);
  const headers = new Headers();
  for (const kept of ["content-type", "content-security-policy"]) {
    if (answer.headers.has(kept)) headers.set(kept, answer.headers.get(kept));
  }
  return new Response(bytes, { headers });
}

async function install() {
  const wasThere = await caches.has(CACHE);
  const names = Object.keys(FILES);
  const answers = await Promise.all(names.map(fetchListed));
  try {
    const cache = await caches.open(CACHE);
    await Promise.all(names.map((name, at) => cache.put(addressOf(name), answers[at])));
  } catch (reason) {
    // The device is full, say. A cache that was there before may be in use.
    if (!wasThere) await caches.delete(CACHE);
    throw reason;
  }
}

async function activate() {
  for (const name of await caches.keys()) {
    if (name.startsWith(PREFIX) && name !== CACHE) await caches.delete(name);
  }
  // The page that installed this is served from now on: offline at once.
  await self.clients.claim();
}

// A listed file from the cache; if the device has lost it, from the server again.
async function listed(name) {
  const cache = await caches.open(CACHE);
  const kept = await cache.match(addressOf(name));
  if (kept) return kept;
  const fresh = await fetchListed(name);
  await cache.put(addressOf(name), fresh.clone()).catch(() => {}); // a full device still gets its answer
  return fresh;
}

function answer(request) {
  const address = new URL(request.url);
  const inScope = address.origin === SCOPE.origin && address.pathname.startsWith(SCOPE.pathname);
  if (!inScope || request.method !== "GET") return Response.error();
  const name = address.pathname.slice(SCOPE.pathname.length);
  if (name.startsWith("demo/")) return fetch(request);
  if (Object.hasOwn(FILES, name)) return listed(name);
  if (request.mode === "navigate") return listed("index.html");
  return new Response(`not part of version ${VERSION}`, { status: 404, headers: { "content-type": "text/plain" } });
}

self.addEventListener("install", (event) => event.waitUntil(install()));
self.addEventListener("activate", (event) => event.waitUntil(activate()));
self.addEventListener("fetch", (event) => event.respondWith(answer(event.request)));
self.addEventListener("message", (event) => {
  if (event.data?.type === "take-over") event.waitUntil(self.skipWaiting());
  if (event.data?.type === "version") event.ports[0]?.postMessage(VERSION);
});
