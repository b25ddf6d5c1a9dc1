// Keeps the files of the desk, so that it opens without a network after the first visit. `web/site` puts in the
// names of the files, and a version that is another wherever a file is.

const KEPT = "desk ";
const VERSION = KEPT + "@version@";
const FILES = "@files@".split(" ");

addEventListener("install", (event) => {
  const kept = caches.open(VERSION).then((cache) => cache.addAll(FILES.map((file) => new Request(file, { cache: "no-cache" }))));
  event.waitUntil(kept.then(() => skipWaiting()));
});

addEventListener("activate", (event) => {
  const dropped = caches.keys().then((names) => {
    const old = names.filter((name) => name.startsWith(KEPT) && name !== VERSION);
    return Promise.all(old.map((name) => caches.delete(name)));
  });
  event.waitUntil(dropped.then(() => clients.claim()));
});

addEventListener("fetch", (event) => {
  if (event.request.method !== "GET") return;
  const kept = caches.open(VERSION).then((cache) => cache.match(event.request, { ignoreSearch: true }));
  event.respondWith(kept.then((answer) => answer ?? fetch(event.request)));
});
