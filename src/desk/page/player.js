// What is heard: the block under the cursor, made anew for each tempo, so that the drums keep their pitch.

const STEP = 5; // Hundredths of the tempo.

export class Player {
  /**
   * Takes an element to fill, `hear(wanted)` for sound, and `moved(heard, time)`, told where the music is, in seconds from
   * its start; null where none is heard.
   */
  constructor(root, { hear, moved, at }) {
    this.hear = hear;
    this.moved = moved;
    this.at = at;
    this.source = null;
    this.turn = 0;
    this.build(root);
  }

  build(root) {
    const add = (name, properties = {}) => Object.assign(root.appendChild(document.createElement(name)), properties);
    this.play = add("button", { type: "button", textContent: "Play", title: "Ctrl+Enter" });
    this.play.addEventListener("click", () => this.toggle());
    this.looped = this.pressed(add, "Loop", false);
    this.click = this.pressed(add, "Click", true);
    this.counted = this.pressed(add, "Count in", false);
    const label = add("label", { textContent: "Tempo " });
    this.tempo = label.appendChild(Object.assign(document.createElement("input"), {
      type: "range", min: 30, max: 150, step: STEP, value: 100,
    }));
    this.told = label.appendChild(document.createElement("output"));
    this.tempo.addEventListener("input", () => this.tell());
    this.tempo.addEventListener("change", () => this.again());
    // What is said and the beats: a picture, which nobody is to be told of eight times a second.
    this.panel = add("span", { className: "counted" });
    this.panel.setAttribute("aria-hidden", "true");
    this.name = add("span", { className: "heard" });
    this.name.setAttribute("role", "status");
    add("p", {
      className: "caution",
      textContent: "With headphones, keep to a moderate level. Rest when a hand or an arm hurts; see a doctor if it lasts.",
    });
    this.tell();
  }

  pressed(add, words, value) {
    const button = add("button", { type: "button", textContent: words });
    const set = (on) => button.setAttribute("aria-pressed", String(on));
    set(value);
    button.addEventListener("click", () => {
      set(button.getAttribute("aria-pressed") !== "true");
      this.again();
    });
    return { get on() { return button.getAttribute("aria-pressed") === "true"; } };
  }

  tell() {
    const beats = this.heard?.tempo ? ` (${Math.round((this.heard.tempo * this.tempo.value) / 100)})` : "";
    this.told.textContent = `${this.tempo.value} %${beats}`;
  }

  toggle() {
    if (this.source) this.stop();
    else this.start(this.at());
  }

  /** Starts again where other things are wanted of what is heard. */
  again() {
    this.tell();
    if (this.source) this.start({ ...this.wanted.place, from: null });
  }

  /** What the text is now may sound otherwise. */
  outdated() {
    if (this.source && this.looped.on) this.start({ ...this.wanted.place, from: null });
  }

  async start(place) {
    const turn = (this.turn += 1);
    // Only what a person does may start sound.
    this.context ??= new AudioContext({ sampleRate: 48000, latencyHint: "interactive" });
    await this.context.resume();
    const wanted = {
      at: place.offset,
      exercise: place.exercise,
      factor: this.tempo.value / 100,
      click: this.click.on,
      count: this.counted.on,
      times: this.looped.on ? 2 : 1,
    };
    const heard = await this.hear(wanted);
    if (turn !== this.turn) return;
    if (heard.why) {
      this.halt();
      this.name.textContent = heard.why;
      return;
    }
    const buffer = await this.context.decodeAudioData(heard.sound);
    if (turn !== this.turn) return;
    this.halt();
    this.turn = turn;
    [this.heard, this.wanted] = [heard, { ...wanted, place }];
    const source = this.context.createBufferSource();
    source.buffer = buffer;
    if (this.looped.on) {
      // The second time through has the end of the first in it, as each further one is to have.
      source.loop = true;
      source.loopStart = heard.music + heard.once;
      source.loopEnd = heard.music + 2 * heard.once;
    }
    const from = this.first(heard, place.from);
    source.connect(this.context.destination);
    source.addEventListener("ended", () => { if (this.source === source) this.stop(); });
    this.started = this.context.currentTime + 0.02 - from;
    source.start(this.context.currentTime + 0.02, from);
    this.source = source;
    this.play.textContent = "Stop";
    this.name.textContent = heard.name;
    this.tell();
    this.follow();
  }

  /** The second to start at: where a note of a bar and beat is first played, or the start of it all. */
  first(heard, from) {
    if (!from) return 0;
    const stroke = heard.strokes.find((own) => own.bar === from.bar && own.beat === from.beat);
    const bar = heard.strokes.find((own) => own.bar === from.bar);
    return Math.max(0, ((stroke ?? bar)?.seconds ?? 0) - 0.01);
  }

  /** The second of what is heard that sounds now. */
  position() {
    const { baseLatency = 0, outputLatency = baseLatency } = this.context;
    const played = this.context.currentTime - (outputLatency || 0) - this.started;
    const { loop, loopStart, loopEnd } = this.source;
    if (!loop || played < loopEnd) return played;
    return loopStart + ((played - loopStart) % (loopEnd - loopStart));
  }

  /** The same in the music, in seconds from its start: below zero while it is counted in, past its end while it dies away. */
  time() {
    const played = this.position() - this.heard.music;
    return played < 0 || !this.source.loop ? played : played % this.heard.once;
  }

  follow() {
    if (!this.source) return;
    this.moved(this.heard, this.time());
    requestAnimationFrame(() => this.follow());
  }

  halt() {
    const source = this.source;
    this.source = null;
    if (source) {
      source.stop();
      source.disconnect();
    }
  }

  stop() {
    this.turn += 1;
    this.halt();
    this.play.textContent = "Play";
    this.moved(null, null);
  }
}
