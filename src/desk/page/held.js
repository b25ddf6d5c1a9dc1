// A text in a worker of the page, which is asked by messages.

export class Held {
  constructor() {
    this.start();
  }

  start() {
    this.turn = 0;
    this.why = null;
    this.open = new Map();
    this.worker = new Worker("worker.js", { type: "module" });
    this.worker.addEventListener("message", ({ data }) => this.answered(data));
    this.worker.addEventListener("error", (event) => this.ended(event.message || "what engraves it can't be loaded"));
  }

  /** Starts another worker, which has no text yet. */
  restart() {
    this.worker.terminate();
    this.ended("it was started again");
    this.start();
  }

  /** Has something done: what comes of it. */
  call(what, wanted) {
    const turn = (this.turn += 1);
    return new Promise((done, failed) => {
      if (this.why) throw new Error(this.why);
      this.open.set(turn, { done, failed });
      this.worker.postMessage({ turn, what, wanted });
    });
  }

  answered({ turn, made, why }) {
    const { done, failed } = this.open.get(turn);
    this.open.delete(turn);
    if (why === undefined) done(made);
    else failed(new Error(why));
  }

  ended(why) {
    this.why = why;
    for (const { failed } of this.open.values()) failed(new Error(why));
    this.open.clear();
  }
}
