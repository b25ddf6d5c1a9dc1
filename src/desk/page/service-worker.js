// Keeps the files of the desk, so that it opens without a network after the first visit. `web/site` puts in the
// names of the files, and a version that is another wherever a file is.

const KEPT = "desk ";
const VERSION = KEPT + "@version@";
const FILES = "@files@".split(" ");

/** What is kept for a request; the page has one name, whichever a host gave it. */
async function kept(request) {
  const home = new URL("./", location);
  const { origin, pathname } = new URL(request.url);
  const isHome = origin === home.origin && pathname.replace(/index\.html$/, "") === home.pathname;
  const cache = await caches.open(VERSION);
  return cache.match(isHome ? home : request, { ignoreSearch: true });
}

/** Takes all files from their host, past what the browser still has of older ones. */
async function keep() {
  const cache = await caches.open(VERSION);
  await cache.addAll(FILES.map((file) => new Request(file, { cache: "no-cache" })));
  await skipWaiting();
}

/** Drops the files of other versions. */
async function tidy() {
  const old = (await caches.keys()).filter((name) => name.startsWith(KEPT) && name !== VERSION);
  await Promise.all(old.map((name) => caches.delete(name)));
  await clients.claim();
}

addEventListener("install", (event) => event.waitUntil(keep()));
addEventListener("activate", (event) => event.waitUntil(tidy()));
addEventListener("fetch", (event) => {
  if (event.request.method !== "GET") return;
  event.respondWith(kept(event.request).then((answer) => answer ?? fetch(event.request)));
});
