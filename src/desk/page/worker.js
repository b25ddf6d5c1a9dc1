// Holds the text and what it comes to, where it keeps no key waiting.

import init, { Desk } from "./flamacue_web.js";
import { unpack } from "./unpack.js";

const MODULE = "flamacue_web_bg.wasm";
const KEPT = "desk @version@"; // Where the service worker keeps the files, too.

const ready = load();
let desk = null;

/** Loads the module: unpacked, where it was before, and else packed as the host has it. */
async function load() {
  const store = await opened();
  const kept = await store?.match(MODULE);
  if (kept) return init({ module_or_path: kept });
  const packed = new Uint8Array(await (await fetch(`${MODULE}.lzma`)).arrayBuffer());
  const bytes = unpack(packed);
  const done = await init({ module_or_path: bytes });
  store?.put(MODULE, new Response(bytes, { headers: { "content-type": "application/wasm" } })).catch(() => {});
  return done;
}

/** Where files are kept; nothing where the browser keeps none. */
async function opened() {
  try {
    return await caches.open(KEPT);
  } catch {
    return null;
  }
}

const CALLS = {
  take({ name, text }) {
    desk?.free();
    desk = new Desk(name, text);
  },
  ask: (request) => desk.ask(request),
  hear(wanted) {
    const made = desk.hear(JSON.stringify(wanted));
    const heard = { ...JSON.parse(made.told), sound: made.wav.buffer };
    made.free();
    return heard;
  },
  pdf: () => desk.pdf(),
  midi: () => desk.midi(),
  flac: () => desk.flac(),
};

addEventListener("message", async ({ data: { turn, what, wanted } }) => {
  try {
    await ready;
    postMessage({ turn, made: CALLS[what](wanted) });
  } catch (error) {
    postMessage({ turn, why: error.message });
  }
});
