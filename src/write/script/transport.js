// Plays events at their beats, at a tempo that may change while they play.
//
// Nothing is stretched: each event starts a sound of its own at the second its beat falls on, a little ahead
// of time, so that a slow page is still in time. When the tempo changes, what has not begun yet is called
// back and planned anew.

// Seconds planned ahead while the page is seen, where a busy computer may let it wait for some tenths, and while it is
// not: a browser then calls once a second.
const AHEAD = 0.5;
const AHEAD_UNSEEN = 1.6;
// Milliseconds between two looks at the clock.
const EVERY = 40;
// Seconds until the first beat.
const LEAD = 0.1;
// Seconds after which a sound has died away, and in which a stop falls silent.
const LONGEST = 12;
const FADE = 0.03;

class Transport {
  #context;
  #piece;
  #out;
  #tempo;
  #anchor = null;
  // The anchor before the last change of tempo: what is heard right then was planned by it.
  #before = null;
  #first = 0;
  #last = Infinity;
  #next = 0;
  #planned = [];
  #begun = new Set();
  #timer = null;
  #earliest;
  #ended;

  // `piece` is {beats, intro, events}: how many beats it has, what comes before it (at beats below zero) and
  // what is played, by beat. An event is {beat, early, sound}: it starts `early` seconds before its beat,
  // and `sound(when, secondsPerBeat, out)` plays it and gives {stop(when)}, or nothing where it is silent.
  constructor(context, piece, tempo, ended) {
    this.#context = context;
    this.#piece = piece;
    this.#tempo = tempo;
    this.#ended = ended;
    this.#earliest = Math.max(0, ...[...piece.intro, ...piece.events].map(event => event.early));
  }

  get running() {
    return this.#anchor !== null;
  }

  start(out, { intro, loop }) {
    this.#out = new GainNode(this.#context);
    this.#out.connect(out);
    const before = intro ? -(this.#piece.intro[0]?.beat ?? 0) : 0;
    const time = this.#context.currentTime + LEAD + this.#earliest;
    this.#anchor = { time, beat: -before, tempo: this.#tempo };
    this.#before = null;
    this.#first = -before;
    this.#next = intro ? 0 : this.#piece.intro.length;
    this.#last = loop ? Infinity : this.#piece.beats;
    this.#begun.clear();
    this.#fill();
    this.#timer = setInterval(() => this.#fill(), EVERY);
  }

  stop() {
    if (!this.running) return;
    clearInterval(this.#timer);
    const now = this.#context.currentTime;
    this.#anchor = null;
    this.#out.gain.setTargetAtTime(0, now, FADE / 5);
    for (const { sounding } of this.#planned) sounding?.stop(now + FADE);
    this.#planned = [];
  }

  set tempo(perMinute) {
    if (!this.running) {
      this.#tempo = perMinute;
      return;
    }
    const now = this.#context.currentTime;
    const beat = this.#beatAt(now);
    this.#before = this.#anchor;
    this.#anchor = { time: now, beat, tempo: perMinute };
    this.#tempo = perMinute;
    this.#callBack(({ when }) => when > now);
    this.#fill();
  }

  set loop(on) {
    if (!this.running) return;
    if (on) {
      this.#last = Infinity;
    } else {
      const beat = Math.max(0, this.#beatAt(this.#context.currentTime));
      this.#last = (Math.floor(beat / this.#piece.beats) + 1) * this.#piece.beats;
      const now = this.#context.currentTime;
      this.#callBack(event => event.when > now && event.beat >= this.#last);
    }
    this.#fill();
  }

  // The beat that is heard right now, from the start of the piece; below zero in the intro; null before all and after it.
  get heard() {
    if (!this.running) return null;
    const beat = this.#beatAt(this.#context.currentTime - this.#late);
    if (beat < this.#first || beat >= this.#last) return null;
    return beat < 0 ? beat : beat % this.#piece.beats;
  }

  // Seconds until what the clock has reached is heard.
  get #late() {
    return this.#context.outputLatency || this.#context.baseLatency || 0;
  }

  #beatAt(time) {
    const from = time < this.#anchor.time && this.#before ? this.#before : this.#anchor;
    return from.beat + ((time - from.time) * from.tempo) / 60;
  }

  #timeOf(beat) {
    return this.#anchor.time + ((beat - this.#anchor.beat) * 60) / this.#tempo;
  }

  // An event by its number: first those of the intro, then those of the piece, round and round.
  #event(number) {
    const { beats, intro, events } = this.#piece;
    if (number < intro.length) return { beat: intro[number].beat, event: intro[number] };
    const inPiece = number - intro.length;
    const event = events[inPiece % events.length];
    return event && { beat: Math.floor(inPiece / events.length) * beats + event.beat, event };
  }

  // Stops what is planned and has not begun, as far as it is meant, so that it is planned anew.
  #callBack(isMeant) {
    const back = this.#planned.filter(isMeant);
    if (!back.length) return;
    this.#planned = this.#planned.filter(event => !isMeant(event));
    for (const { sounding } of back) sounding?.stop(0);
    this.#next = Math.min(this.#next, ...back.map(event => event.number));
    // A grace note may have begun while a note before it in the list had not.
    this.#begun = new Set(this.#planned.map(event => event.number));
  }

  #fill() {
    if (!this.running) return;
    const now = this.#context.currentTime;
    const until = now + (document.hidden ? AHEAD_UNSEEN : AHEAD) + this.#earliest;
    for (;;) {
      const number = this.#next;
      const due = this.#event(number);
      if (!due || due.beat >= this.#last) break;
      const time = this.#timeOf(due.beat);
      if (time > until) break;
      this.#next += 1;
      if (this.#begun.has(number)) continue;
      const when = Math.max(time - due.event.early, now);
      const sounding = due.event.sound(when, 60 / this.#tempo, this.#out);
      this.#planned.push({ number, when, beat: due.beat, sounding });
    }
    this.#planned = this.#planned.filter(event => event.when > now - LONGEST);
    if (now - this.#late >= this.#timeOf(this.#last)) {
      // What rings is left to ring.
      clearInterval(this.#timer);
      this.#anchor = null;
      this.#planned = [];
      this.#ended();
    }
  }
}
