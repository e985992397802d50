// Opens the stopwatch without a network: out of the store where the page put itself, and only when the network does not answer.
"use strict";

const STORE = "pullwright-stopwatch", PATIENCE = 4000;

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

self.addEventListener("fetch", (event) => {
  const { request } = event, address = new URL(request.url);
  if (request.method !== "GET" || address.origin !== self.location.origin) return;
  // Files of our own bear the hash of their content in their names: what is in the store is the same.
  if (address.pathname.startsWith("/static/")) event.respondWith(stored(request).then((found) => found || fetch(request)));
  else if (request.mode === "navigate" && address.pathname.endsWith("/stopwatch")) event.respondWith(opened(request, address));
});

async function stored(request) {
  return (await caches.open(STORE)).match(request);
}

async function opened(request, address) {
  const patience = new AbortController(), clock = setTimeout(() => patience.abort(), PATIENCE);
  try {
    const answer = await fetch(request, { signal: patience.signal });
    if (answer.status < 500) return answer;
    return (await stored(address.pathname)) || answer;
  } catch {
    const found = await stored(address.pathname);
    if (found) return found;
    return new Response("This page is not kept on this phone, and the network is away. Open it once while the network is there.", {
      status: 503, headers: { "content-type": "text/plain; charset=utf-8" } });
  } finally {
    clearTimeout(clock);
  }
}
