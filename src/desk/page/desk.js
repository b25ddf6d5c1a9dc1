// The desk: a text, its pages and its sound.

import { Editor } from "./editor.js";
import { Faults } from "./faults.js";
import { Offers } from "./offers.js";
import { Pages } from "./pages.js";
import { Player } from "./player.js";
import { question } from "./question.js";
import { divide } from "./divide.js";
import { MovingMusic } from "./motion.js";
import { open } from "./host.js";

const byId = (id) => document.getElementById(id);
const WAIT = 120; // Milliseconds a cursor rests before it is explained.
const PAUSE = 150; // Milliseconds without a key until pages are made anew that are not seen.

class Desk {
  constructor() {
    this.sent = Promise.resolve();
    this.asks = [];
    this.answering = false;
    this.waiting = [];
    this.asking = false;
    this.editor = new Editor(byId("editor"), {
      changed: (edit) => this.edited(edit),
      moved: (offset) => this.moved(offset),
    });
    this.offers = new Offers(this.editor, (at) => this.complete(at));
    this.pages = new Pages(byId("reading"), {
      fetch: async (page) => (await this.asked({ ask: "page", page }, { page: null })).page,
      old: (pages) => this.renew(pages),
      clicked: (file, line, column) => this.clicked(file, line, column),
    });
    // What moves is looked for again on what was drawn.
    this.pages.onold = () => this.still();
    this.faults = new Faults(byId("faults"), {
      go: (found) => { if (found.from !== undefined) this.editor.go(found.from, found.to); },
      mend: (mend) => this.editor.replace(mend.from, mend.to, mend.text),
    });
    this.player = new Player(byId("playing"), {
      hear: (wanted) => this.hear(wanted),
      moved: (heard, time) => this.move(heard, time),
      at: () => this.place(),
    });
    this.editor.root.addEventListener("scroll", () => this.recolour());
    document.addEventListener("keydown", (event) => this.key(event));
    divide(byId("divide"), document.querySelector("main"));
  }

  async start() {
    this.host = await open(this);
    const opened = await this.host.ask({ ask: "open" });
    this.show(opened);
    await this.host.opened(opened);
  }

  /** Shows another text. */
  show(opened) {
    this.player.stop();
    byId("name").textContent = opened.name;
    document.title = opened.name;
    this.waiting = [];
    this.editor.set(opened.text);
    this.took(opened);
    this.recolour();
  }

  say(words, wrong = false) {
    byId("state").textContent = words;
    byId("state").classList.toggle("wrong", wrong);
  }

  /** Asks in turn, so that what is asked is asked of the text as it is; what was typed comes before all else. */
  ask(request) {
    const answer = new Promise((done, failed) => {
      const own = { request, done, failed };
      if (request.ask === "edit") this.asks.unshift(own);
      else this.asks.push(own);
    });
    this.sent = answer.catch(() => {});
    this.askNext();
    return answer;
  }

  async askNext() {
    if (this.answering || this.asks.length === 0) return;
    this.answering = true;
    const { request, done, failed } = this.asks.shift();
    await this.host.ask(request).then(done, failed);
    this.answering = false;
    this.askNext();
  }

  /** The same; something else where nobody answers, which is told when the text is sent. */
  async asked(request, otherwise) {
    try {
      await this.settled();
      return await this.ask(request);
    } catch {
      return otherwise;
    }
  }

  edited(edit) {
    this.waiting.push(edit);
    this.host.changed();
    this.send();
    this.offers.typed();
  }

  /** Sends what was typed; what is typed meanwhile goes in one with the next. */
  send() {
    if (!this.asking && this.waiting.length > 0) this.turn = this.sendWaiting();
    return this.turn;
  }

  async sendWaiting() {
    this.asking = true;
    const edits = this.waiting.splice(0);
    try {
      const [from, to] = this.editor.seenRange();
      const length = this.editor.text.length;
      const near = this.pages.seen();
      const answer = await this.ask({ ask: "edit", edits, length, from, to, near });
      if (answer.lost) await this.ask({ ask: "text", text: this.editor.text }).then((own) => this.took(own));
      else this.took(answer, near);
    } catch (error) {
      this.waiting.unshift(...edits);
      this.host.failed(error);
    } finally {
      this.asking = false;
    }
    if (this.host.reachable) this.send();
  }

  took(answer, near = []) {
    // What is waited for comes first.
    this.pages.update(answer, near);
    if (this.waiting.length === 0) this.editor.show(answer.tokens, answer.findings);
    this.faults.show(answer.findings);
    byId("reading").classList.toggle("stale", !answer.current);
    if (answer.changed.length > 0) {
      this.still();
      // Notes are found again, but nobody said where they stand.
      const { heard } = this.player;
      if (heard) heard.moving = heard.moving.map((own) => ({ ...own, blocks: [], motion: { ...own.motion, ways: [] } }));
      this.player.outdated();
      if (document.activeElement === this.editor.area) this.mark(answer.changed[0]);
    }
  }

  /** Makes pages anew that are near to what is seen, when no key is pressed. */
  renew(pages) {
    clearTimeout(this.pausing);
    this.pausing = setTimeout(async () => {
      const { sent } = await this.asked({ ask: "look", near: pages }, { sent: {} });
      this.pages.renewed(pages, sent);
    }, PAUSE);
  }

  async recolour() {
    if (this.recolouring) return;
    this.recolouring = true;
    try {
      const [from, to] = this.editor.seenRange();
      const { tokens } = await this.asked({ ask: "tokens", from, to }, { tokens: null });
      if (tokens !== null && this.waiting.length === 0) this.editor.show(tokens, this.editor.findings);
    } finally {
      this.recolouring = false;
    }
  }

  async complete(at) {
    return (await this.asked({ ask: "complete", at }, { offers: [] })).offers;
  }

  /** When all that was typed was sent; an error where it can't be. */
  async settled() {
    while (this.asking || this.waiting.length > 0) {
      if (!this.host.reachable) throw new Error("the text can't be sent");
      await this.send();
    }
  }

  moved(offset) {
    clearTimeout(this.resting);
    this.mark();
    this.resting = setTimeout(() => this.explain(offset), WAIT);
  }

  /** Marks on the page what stands under the cursor. */
  mark(page = null) {
    const { line, column } = this.editor.place(this.editor.area.selectionStart);
    if (this.pages.mark(line, column)) this.pages.showMarked();
    else if (page !== null) this.pages.follow(page);
  }

  async explain(offset) {
    const { words, page } = await this.asked({ ask: "explain", at: offset }, { words: null, page: null });
    byId("explained").hidden = words === null;
    byId("explained").textContent = words ?? "";
    if (page !== null && this.pages.marked.length === 0) this.pages.follow(page);
  }

  clicked(file, line, column) {
    if (file !== 0) {
      this.say(`That is written in line ${line} of an included file.`);
      return;
    }
    const from = this.clickedAt = this.editor.offset(line, column);
    this.editor.go(from, Math.min(from + 1, this.editor.text.length));
  }

  /** Where to play from: the note under the cursor, or the start of its block; of a series, what was clicked. */
  place() {
    const offset = this.editor.area.selectionStart;
    const note = this.pages.marked.map((element) => element.closest(".note")).find(Boolean);
    const from = note ? { bar: Number(note.dataset.bar), beat: note.dataset.beat } : null;
    return { offset, from, exercise: this.clickedAt === offset ? this.pages.block : null };
  }

  async hear(wanted) {
    await this.settled();
    await this.sent;
    return this.host.hear(wanted);
  }

  /** Moves the music that is heard, at a second from its start; puts all out where none is. */
  move(heard, time) {
    if (heard === null) {
      this.still();
      return;
    }
    const now = heard.moving.findLast(({ from }) => from <= time) ?? heard.moving[0];
    if (!now) return;
    if (this.moving?.of !== now) {
      this.still();
      const music = new MovingMusic(now.motion, {
        roots: this.pages.blocks(now, heard),
        drawings: now.motion.ways.map(() => (page) => this.pages.svg(page)),
        counted: this.player.panel,
        light: (elements) => this.pages.light(elements),
      });
      this.moving = { of: now, music };
    }
    this.moving.music.show(time - now.from);
  }

  /** Nothing moves any more. */
  still() {
    this.moving?.music.show(null);
    this.moving = null;
    this.pages.light([]);
  }

  /** Sets the text in order; a text with faults in how it is written stays as it is. */
  async tidy() {
    await this.settled();
    const { edits } = await this.ask({ ask: "tidy" });
    const at = this.editor.area.selectionStart;
    const line = this.editor.lineAt(at);
    for (const edit of [...edits].reverse()) this.editor.replace(edit.from, edit.to, edit.text);
    if (edits.length > 0) this.editor.go(this.editor.starts[Math.min(line, this.editor.starts.length - 1)]);
    await this.settled();
    return edits.length;
  }

  key(event) {
    if (!event.ctrlKey && !event.metaKey) return;
    if (event.key === "s") {
      event.preventDefault();
      this.host.save();
    } else if (event.key === "Enter") {
      event.preventDefault();
      this.player.toggle();
    }
  }

  action(words, act, title = "") {
    const button = byId("actions").appendChild(document.createElement("button"));
    Object.assign(button, { type: "button", textContent: words, title });
    button.addEventListener("click", act);
    return button;
  }

  /** Asks a person; the answer that was chosen. */
  question(words, answers) {
    return question(words, answers);
  }
}

const desk = new Desk();
desk.start().catch((error) => desk.say(`The desk can't be opened: ${error.message}`, true));
// For who looks at the desk from outside.
globalThis.desk = desk;
