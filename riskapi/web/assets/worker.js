// Keeps style, scripts and the checklists that were opened, so that a visit goes on without signal. Nothing else is kept.
const VERSION = "__VERSION__";
const ASSETS = `assets-${VERSION}`;
const VISITS = "visits";
const KEPT = ["__KEPT__"];
const MOST_VISITS = 12;

self.addEventListener("install", (event) => {
  event.waitUntil(
    caches.open(ASSETS).then((cache) => cache.addAll([...KEPT, "/offline"])).then(() => self.skipWaiting()),
  );
});

self.addEventListener("activate", (event) => {
  event.waitUntil(
    caches.keys()
      .then((names) => Promise.all(names.filter((name) => name !== ASSETS && name !== VISITS).map((name) => caches.delete(name))))
      .then(() => self.clients.claim()),
  );
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const address = new URL(request.url);
  if (request.method !== "GET" || address.origin !== location.origin) return;
  if (address.pathname.startsWith("/assets/")) event.respondWith(asset(request));
  else if (request.mode === "navigate" && address.pathname === "/visit") event.respondWith(visit(request));
  else if (request.mode === "navigate") event.respondWith(fetch(request).catch(() => caches.match("/offline")));
});

async function asset(request) {
  return (await caches.match(request)) ?? fetch(request);
}

// The newest list where there is a signal, the kept one where there is none.
async function visit(request) {
  const cache = await caches.open(VISITS);
  try {
    const answer = await fetch(request);
    if (answer.ok && !answer.redirected && answer.type === "basic") await keep(cache, request, answer.clone());
    return answer;
  } catch {
    return (await cache.match(request.url)) ?? (await caches.match("/offline"));
  }
}

async function keep(cache, request, answer) {
  await cache.delete(request.url);
  await cache.put(request.url, answer);
  const held = await cache.keys();
  for (const old of held.slice(0, Math.max(0, held.length - MOST_VISITS))) await cache.delete(old);
}
