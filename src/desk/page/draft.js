// What was typed and not saved, as the browser keeps it.

const WAIT = 300; // Milliseconds without a key until it is kept.

export class Draft {
  /** Says for which file. */
  of(path) {
    this.key = `unsaved ${path}`;
  }

  get text() {
    try {
      return localStorage.getItem(this.key);
    } catch {
      return null;
    }
  }

  /** Keeps what a function gives, soon. */
  keep(text) {
    clearTimeout(this.waiting);
    this.pending = text;
    this.waiting = setTimeout(() => this.flush(), WAIT);
  }

  /** Keeps at once what is to be kept. */
  flush() {
    clearTimeout(this.waiting);
    const text = this.pending;
    this.pending = null;
    if (!text) return;
    // A browser may keep nothing, or not so much.
    try { localStorage.setItem(this.key, text()); } catch { /* The text is in the page still. */ }
  }

  drop() {
    clearTimeout(this.waiting);
    this.pending = null;
    try { localStorage.removeItem(this.key); } catch { /* Nothing was kept. */ }
  }
}
