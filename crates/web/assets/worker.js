// Pages of the press side stay readable without a connection: the last answer of each is kept on this device.
"use strict";
const KEPT = "bondline-press";
self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));
self.addEventListener("message", (event) => { if (event.data === "forget") event.waitUntil(caches.delete(KEPT)); });
self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  const ours = url.origin === self.location.origin && event.request.method === "GET";
  if (!ours || !(url.pathname.startsWith("/press") || url.pathname.startsWith("/a/") || url.pathname.includes("/picture/"))) return;
  event.respondWith((async () => {
    const kept = await caches.open(KEPT);
    try {
      const answer = await fetch(event.request);
      if (answer.ok && !answer.redirected) await kept.put(event.request, answer.clone());
      return answer;
    } catch (error) {
      const known = await kept.match(event.request);
      if (known) return known;
      throw error;
    }
  })());
});
