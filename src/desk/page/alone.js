// A desk without a server: the text is in a worker of the page, and goes nowhere else.

import { packed, unpacked } from "./address.js";
import { download } from "./download.js";
import { Draft } from "./draft.js";
import { changed, choose, nowhere, write } from "./files.js";
import { Held } from "./held.js";
import { question } from "./question.js";

const MEDIA = { pdf: "application/pdf", midi: "audio/midi", flac: "audio/flac" };
const ENDS = { pdf: "pdf", midi: "mid", flac: "flac" };
const NEW = "untitled.flam";
const STARTER = "first.flam";

// The worker loads while the page does.
const held = new Held();

/** Takes up the desk: the text of the address, or what was not saved, or one to begin with. */
export async function open(desk) {
  const host = new Alone(desk);
  await host.begin();
  return host;
}

class Alone {
  constructor(desk) {
    this.desk = desk;
    this.reachable = true;
    this.draft = new Draft();
    this.draft.of("desk");
    this.act("New", () => this.another(async () => ({ name: NEW, text: "", place: nowhere() })));
    this.act("Open", () => this.another(choose));
    this.act("Save", () => this.save(), "Ctrl+S");
    this.act("Tidy", () => desk.tidy());
    this.act("PDF", () => this.make("pdf"));
    this.act("SVG", () => this.picture(), "The page that is seen");
    this.act("MIDI", () => this.make("midi"));
    this.act("Sound", () => this.make("flac"));
    this.act("Share", () => this.share(), "An address that holds the text");
    window.addEventListener("hashchange", () => this.addressed());
    window.addEventListener("pagehide", () => this.draft.flush());
    // Where a browser keeps no draft, leaving the page would lose the text.
    window.addEventListener("beforeunload", (event) => {
      this.draft.flush();
      if (!this.saved && this.draft.text === null) event.preventDefault();
    });
  }

  /** A button; why what it does can't be done is told. */
  act(words, work, title) {
    this.desk.action(words, async () => {
      try {
        await work();
      } catch (error) {
        this.desk.say(error.message, true);
      }
    }, title);
  }

  async begin() {
    const [shared, kept] = [await this.shared(), this.kept()];
    if (shared && (!kept || kept.text === shared.text || (await this.mayDrop(kept)))) {
      await this.take({ ...shared, place: nowhere() }, false);
    } else if (kept) {
      await this.take({ ...kept, place: nowhere() }, false);
    } else {
      const text = await (await fetch("starter.flam")).text();
      await this.take({ name: STARTER, text, place: nowhere() }, true);
    }
  }

  /** Takes a text in place of the one that is there. */
  async take({ name, text, place }, saved) {
    await held.call("take", { name, text });
    Object.assign(this, { name, place, saved });
    if (saved) this.draft.drop();
    else this.keep(text);
  }

  /** The text that was not saved when the page was left. */
  kept() {
    try {
      const { name, text } = JSON.parse(this.draft.text);
      return typeof name === "string" && typeof text === "string" ? { name, text } : null;
    } catch {
      return null;
    }
  }

  keep(text = null) {
    this.draft.keep(() => JSON.stringify({ name: this.name, text: text ?? this.desk.editor.text }));
  }

  /** Whether a text that was not saved may go. */
  async mayDrop({ name }) {
    const [drop, stay] = ["Drop it", "Keep it"];
    return (await question(`${name} was not saved as a file, and another text is to take its place.`, [drop, stay])) === drop;
  }

  async ask(request) {
    const answer = await held.call("ask", request);
    if (request.ask === "open") this.tell();
    return answer;
  }

  /** The first pages are seen; from now on the desk opens without a network. */
  async opened() {
    if (this.trouble) this.desk.say(this.trouble, true);
    try {
      await navigator.serviceWorker?.register("service-worker.js");
    } catch { /* A browser may keep no files, or not those of this address. */ }
  }

  hear(wanted) {
    return held.call("hear", wanted);
  }

  tell() {
    this.desk.say(this.saved ? "" : "Kept in this browser, not saved as a file");
  }

  changed() {
    this.saved = false;
    this.reachable = true;
    this.keep();
    this.tell();
    this.forget();
  }

  /** Takes out of the address a text that is another than this. */
  forget() {
    if (location.hash) history.replaceState(null, "", location.pathname + location.search);
  }

  /** What holds the text broke: another takes its place, and gets the text with the next change of it. */
  async failed() {
    this.reachable = false;
    this.draft.flush();
    this.desk.say("The pages could not be made. The text is kept; go on writing.", true);
    held.restart();
    await held.call("take", { name: this.name, text: "" }).catch(() => {});
  }

  /** Shows another text, which the address may hold. */
  async another(find, isShared = false) {
    const found = await find();
    if (found === null) return;
    if (!this.saved && this.desk.editor.text !== "" && !(await this.mayDrop(this))) return;
    await this.desk.settled().catch(() => {});
    if (!isShared) this.forget();
    await this.take(found, true);
    this.desk.show(await this.desk.ask({ ask: "open" }));
  }

  async save() {
    await this.desk.tidy().catch(() => {});
    if (await changed(this.place)) {
      const [own, other] = ["Write this text over it", "Leave both"];
      const words = `${this.name} was changed by another program since it was read.`;
      if ((await question(words, [own, other])) !== own) return;
    }
    const text = this.desk.editor.text;
    const written = await write(text, this.name, this.place);
    if (written === null) return;
    Object.assign(this, written);
    document.getElementById("name").textContent = document.title = this.name;
    // More may have been typed while a place was chosen.
    if (this.desk.editor.text !== text) return;
    this.saved = true;
    this.draft.drop();
    this.desk.say("Saved");
  }

  get stem() {
    return this.name.replace(/\.[^.]*$/, "");
  }

  async make(form) {
    await this.desk.settled();
    const made = await held.call(form);
    download(new Blob([made], { type: MEDIA[form] }), `${this.stem}.${ENDS[form]}`);
  }

  /** The page that is seen, as it is drawn. */
  async picture() {
    await this.desk.settled();
    const { pages } = this.desk;
    const top = pages.root.getBoundingClientRect().top;
    const page = Math.max(0, pages.hosts.findIndex((host) => host.getBoundingClientRect().bottom > top + 40));
    const sent = (await this.ask({ ask: "page", page })).page;
    if (sent === null) throw new Error("Mend the faults first; there are no pages yet.");
    const number = pages.hosts.length > 1 ? `-${page + 1}` : "";
    download(new Blob([sent.svg], { type: "image/svg+xml" }), `${this.stem}${number}.svg`);
  }

  /** Puts the text in the address of the page, and the address where it can be pasted from. */
  async share() {
    const hash = await packed({ name: this.name, text: this.desk.editor.text });
    history.replaceState(null, "", `${location.pathname}${location.search}#${hash}`);
    try {
      await navigator.clipboard.writeText(location.href);
      this.desk.say("The address of this page holds the text, and was copied");
    } catch {
      this.desk.say("The address of this page holds the text; copy it from there");
    }
  }

  /** The text of the address, where it holds one. */
  async shared() {
    const hash = location.hash.slice(1);
    if (hash === "") return null;
    try {
      return await unpacked(hash);
    } catch {
      this.trouble = "The address holds no text, or not all of it";
      return null;
    }
  }

  /** Another text was put in the address. */
  async addressed() {
    const shared = await this.shared();
    if (shared === null && this.trouble) this.desk.say(this.trouble, true);
    if (shared === null || shared.text === this.desk.editor.text) return;
    await this.another(async () => ({ ...shared, place: nowhere() }), true);
  }
}
