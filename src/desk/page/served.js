// A desk that is served by the program: the text is a file of this machine.

import { download } from "./download.js";
import { Draft } from "./draft.js";
import { question } from "./question.js";

const PATIENCE = 1500; // Milliseconds until the program is looked for again.

/** Takes up the desk; everything is asked at the address the page came from, which holds a token. */
export async function open(desk) {
  return new Served(desk);
}

class Served {
  constructor(desk) {
    this.desk = desk;
    this.saved = true;
    this.reachable = true;
    desk.action("Save", () => this.save(), "Ctrl+S");
    desk.action("Tidy", () => desk.tidy());
    desk.action("PDF", () => this.download("pdf"));
    desk.action("Sound", () => this.download("flac"));
    this.draft = new Draft();
    this.around();
    window.addEventListener("beforeunload", (event) => { if (!this.saved) event.preventDefault(); });
    this.listen();
  }

  /** A way back to the folder from which the text was opened. */
  async around() {
    const folder = await (await fetch("folder")).json();
    if (folder !== null) this.desk.action("All texts", () => location.assign(folder));
  }

  async post(path, body) {
    const answer = await fetch(path, {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify(body),
    });
    if (!answer.ok) throw new Error((await answer.text()) || answer.statusText);
    if (!this.reachable) {
      this.reachable = true;
      this.tell();
    }
    return answer;
  }

  async ask(request) {
    const answer = await (await this.post("ask", request)).json();
    if (request.ask === "open" || request.ask === "reread") {
      this.name = answer.name;
      this.saved = answer.saved;
      this.draft.of(answer.path);
      this.tell();
    }
    return answer;
  }

  /** What was typed and not saved when the desk ended, where a person wants it back. */
  async opened({ text, saved }) {
    const kept = this.draft.text;
    if (!saved || kept === null || kept === text) return;
    const [own, other] = ["Take it up", "Drop it"];
    const words = `Text of ${this.name} that was not saved when the desk ended is still here.`;
    if ((await question(words, [own, other])) === own) this.desk.editor.replace(0, text.length, kept);
    else this.draft.drop();
  }

  async hear(wanted) {
    const bytes = await (await this.post("hear", wanted)).arrayBuffer();
    const length = new DataView(bytes).getUint32(0, true);
    const heard = JSON.parse(new TextDecoder().decode(new Uint8Array(bytes, 4, length)));
    return { ...heard, sound: bytes.slice(4 + length) };
  }

  tell() {
    this.desk.say(this.saved ? "Saved" : "Not saved");
  }

  changed() {
    this.draft.keep(() => this.desk.editor.text);
    this.saved = false;
    this.tell();
  }

  /** The program does not answer: what was typed waits. */
  failed() {
    this.reachable = false;
    this.desk.say("The desk was stopped or does not answer. The text is kept here; start it again.", true);
    setTimeout(() => this.desk.send(), PATIENCE);
  }

  async save(over = false) {
    await this.desk.tidy();
    const answer = await (await this.post("save", { over })).json();
    if (answer.saved) {
      this.saved = true;
      this.draft.drop();
      this.tell();
    } else if (answer.gone) {
      const own = "Write this text anew";
      if ((await question(`${this.name} is no longer there.`, [own, "Leave it"])) === own) await this.save(true);
    } else if (answer.changed) {
      const words = `${this.name} was changed by another program since it was read.`;
      const [own, other] = ["Write this text over it", "Take up the other text"];
      const chosen = await question(words, [own, other, "Leave both"]);
      if (chosen === own) await this.save(true);
      if (chosen === other) this.desk.show(await this.ask({ ask: "reread" }));
    } else {
      this.desk.say(answer.why, true);
    }
  }

  async download(form) {
    await this.desk.settled();
    const answer = await this.post("make", { form });
    if (answer.headers.get("content-type").startsWith("application/json")) {
      this.desk.say((await answer.json()).why, true);
      return;
    }
    download(await answer.blob(), this.name.replace(/\.[^.]*$/, "") + `.${form}`);
  }

  /** Waits for word that a file was changed by another program. */
  async listen() {
    let since = 0;
    for (;;) {
      try {
        const news = await (await this.post("news", { since })).json();
        if (news.turn > since && since > 0) await this.outside(news);
        since = news.turn;
      } catch {
        await new Promise((done) => setTimeout(done, PATIENCE));
      }
    }
  }

  async outside(news) {
    if (news.gone) {
      this.saved = false;
      this.draft.keep(() => this.desk.editor.text);
      this.desk.say(`${this.name} is no longer there; saving writes it anew.`, true);
    } else if (news.back) {
      // What was typed and not sent yet is in no file.
      this.saved = news.saved && this.desk.waiting.length === 0 && !this.desk.asking;
      if (this.saved) this.draft.drop();
      this.desk.say(`${this.name} is there again`);
    } else if (news.file && this.saved) {
      this.desk.show(await this.ask({ ask: "reread" }));
      this.desk.say("Taken up as it was changed by another program");
    } else if (news.file) {
      this.desk.say(`${this.name} was changed by another program; saving asks which text is to stay.`, true);
    } else {
      this.desk.took(await this.desk.ask({ ask: "look" }));
    }
  }
}
