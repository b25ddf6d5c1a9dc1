// How many rows each line of the text takes where long ones are wrapped.

// Lines that were measured and are kept.
const MOST = 20000;
// Rows of music begin with a word and no colon; what else is set in from the margin is a key or an item of a list.
const ROW = /^[ \t]+(?![-*+]\s|\d+[.)]\s)[^\s:]+(?![^\s:]*:)\s/;
const PLAIN = /^[\x20-\x7e]*$/;

export class Heights {
  /** Takes an element of the text's font to measure lines in, which is not seen. */
  constructor(room) {
    this.room = room;
    this.known = new Map();
    this.width = 0;
  }

  /** Takes the size of the font: the width of its signs, and the height of a row. */
  font() {
    const probe = this.room.appendChild(document.createElement("div"));
    probe.textContent = "0".repeat(100);
    probe.style.width = "max-content";
    const { width, height } = probe.getBoundingClientRect();
    probe.remove();
    if (width / 100 === this.sign && height === this.row) return;
    [this.sign, this.row] = [width / 100, height];
    this.known.clear();
  }

  /** How wide each of some lines is, where it is a row of music and is not wrapped; nothing for the others. */
  widths(lines) {
    const others = lines.filter((line) => ROW.test(line) && !PLAIN.test(line));
    const probes = others.map((line) => this.probe(line, "max-content"));
    this.room.append(...probes);
    const widths = probes.map((probe) => probe.getBoundingClientRect().width);
    this.room.replaceChildren();
    return lines.map((line) => {
      if (!ROW.test(line)) return 0;
      return PLAIN.test(line) ? line.length * this.sign : widths.shift();
    });
  }

  /** Wraps lines at a width. */
  wrap(width) {
    if (width === this.width) return false;
    this.width = width;
    this.known.clear();
    return true;
  }

  /** How many rows each of some lines takes. */
  of(lines) {
    const fits = Math.floor((this.width - 0.5) / this.sign);
    const isOne = (line) => line.length <= fits && PLAIN.test(line);
    const unknown = [...new Set(lines.filter((line) => !isOne(line) && !this.known.has(line)))];
    if (unknown.length > 0) this.measure(unknown);
    return lines.map((line) => (isOne(line) ? 1 : this.known.get(line)));
  }

  measure(lines) {
    if (this.known.size > MOST) this.known.clear();
    const probes = lines.map((line) => this.probe(line, `${this.width}px`));
    this.room.append(...probes);
    const heights = probes.map((probe) => probe.getBoundingClientRect().height);
    lines.forEach((line, nth) => this.known.set(line, Math.max(1, Math.round(heights[nth] / this.row))));
    this.room.replaceChildren();
  }

  probe(line, width) {
    const probe = document.createElement("div");
    // An empty line has a height too.
    probe.textContent = line || "\u200b";
    probe.style.width = width;
    return probe;
  }
}
