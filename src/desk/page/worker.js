// Holds the text and what it comes to, where it keeps no key waiting.

import init, { Desk } from "./flamacue_web.js";

const ready = init();
let desk = null;

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
