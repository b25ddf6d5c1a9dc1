// Holds the text and what it comes to, where it keeps no key waiting.

import init, { Desk } from "./flamacue_web.js";
import unpacking, { Unpacker } from "./flamacue_web_unpack.js";

const ready = load();
let desk = null;

/** Loads the module, which is unpacked and compiled while it comes. */
async function load() {
  const [packed] = await Promise.all([fetch("flamacue_web.packed"), unpacking()]);
  if (!packed.ok) throw new Error(`the host answers ${packed.status}`);
  const unpacker = new Unpacker();
  const unpacked = packed.body.pipeThrough(new TransformStream({
    transform: (part, to) => to.enqueue(unpacker.push(part)),
    flush: (to) => to.enqueue(unpacker.end()),
  }));
  const headers = { "content-type": "application/wasm" };
  await init({ module_or_path: new Response(unpacked, { headers }) });
  unpacker.free();
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
