// How a word may go on: a list under the cursor.

export class Offers {
  /** Takes the editor, and `ask(offset)` for a list of `{label, about, from, to, text}`. */
  constructor(editor, ask) {
    this.editor = editor;
    this.ask = ask;
    this.offers = [];
    this.chosen = 0;
    this.turn = 0;
    this.list = document.body.appendChild(document.createElement("ul"));
    this.list.className = "offers";
    this.list.id = "offers";
    this.list.hidden = true;
    this.list.setAttribute("role", "listbox");
    this.list.setAttribute("aria-label", "How the word may go on");
    const area = editor.area;
    area.setAttribute("aria-autocomplete", "list");
    area.setAttribute("aria-controls", "offers");
    area.addEventListener("keydown", (event) => this.key(event));
    area.addEventListener("blur", () => this.close());
    editor.root.addEventListener("scroll", () => this.close());
  }

  get open() {
    return !this.list.hidden;
  }

  /** Asks again after something was typed: while a word is being written, or where it was asked for. */
  async typed(asked = false) {
    const area = this.editor.area;
    const at = area.selectionStart;
    const before = this.editor.text.slice(this.editor.starts[this.editor.lineAt(at)], at);
    // A single sign is quicker to write than to choose.
    const word = /[\p{L}][\p{L}\d-]*$/u.exec(before);
    const value = /^\s*[\p{L}-]+:\s*$/u.test(before);
    if (!asked && !value && (word === null || word[0].length < 2)) return this.close();
    const turn = (this.turn += 1);
    const offers = await this.ask(at);
    if (turn !== this.turn || area.selectionStart !== at) return;
    const done = offers.length === 1 && offers[0].text === this.editor.text.slice(offers[0].from, at);
    if (offers.length === 0 || (done && !asked)) return this.close();
    this.show(offers.slice(0, 100));
  }

  show(offers) {
    this.offers = offers;
    this.chosen = 0;
    this.list.replaceChildren(...offers.map((offer, nth) => {
      const item = document.createElement("li");
      item.id = `offer-${nth}`;
      item.setAttribute("role", "option");
      item.appendChild(document.createElement("code")).textContent = offer.label;
      item.appendChild(document.createElement("span")).textContent = offer.about;
      // Before the text loses the cursor.
      item.addEventListener("pointerdown", (event) => {
        event.preventDefault();
        this.take(nth);
      });
      return item;
    }));
    const box = this.editor.box(offers[0].from);
    this.list.hidden = false;
    const { offsetHeight: height, offsetWidth: width } = this.list;
    const under = box.below + height < window.innerHeight;
    this.list.style.top = `${under ? box.below : Math.max(4, box.y - height)}px`;
    this.list.style.left = `${Math.max(4, Math.min(box.x, window.innerWidth - width - 8))}px`;
    this.choose(0);
  }

  choose(nth) {
    this.chosen = (nth + this.offers.length) % this.offers.length;
    [...this.list.children].forEach((item, own) => {
      item.setAttribute("aria-selected", String(own === this.chosen));
      if (own === this.chosen) item.scrollIntoView({ block: "nearest" });
    });
    this.editor.area.setAttribute("aria-activedescendant", `offer-${this.chosen}`);
  }

  take(nth) {
    const { from, to, text } = this.offers[nth];
    this.close();
    this.editor.replace(from, Math.max(to, this.editor.area.selectionStart), text);
    this.close();
  }

  close() {
    this.turn += 1;
    this.list.hidden = true;
    this.editor.area.removeAttribute("aria-activedescendant");
  }

  key(event) {
    if ((event.ctrlKey || event.metaKey) && event.key === " ") {
      event.preventDefault();
      this.typed(true);
      return;
    }
    if (!this.open || event.isComposing) return;
    const keys = {
      ArrowDown: () => this.choose(this.chosen + 1),
      ArrowUp: () => this.choose(this.chosen - 1),
      Enter: () => this.take(this.chosen),
      Tab: () => this.take(this.chosen),
      Escape: () => this.close(),
    };
    const act = keys[event.key];
    if (act && !event.shiftKey) {
      event.preventDefault();
      act();
    } else if (["ArrowLeft", "ArrowRight", "Home", "End"].includes(event.key)) {
      this.close();
    }
  }
}
