// The visible lines of a text in colour, with what is wrong underlined, each with its number. A line that stays as
// it was stays in the document.

export class Lines {
  /** Takes what to fill: an element for numbers and one for lines. */
  constructor(numbers, lines) {
    this.numbers = numbers;
    this.lines = lines;
    this.drawn = new Map();
  }

  /**
   * Draws lines: `{index, text, top, start, tokens, findings}`, the tokens and findings of each by place, and where
   * it starts in the text.
   */
  draw(lines) {
    const before = this.drawn;
    this.drawn = new Map();
    const missing = [];
    for (const line of lines) {
      const key = looks(line);
      const own = before.get(line.index);
      if (own?.key === key) this.keep(before, line, own);
      else missing.push([line, key]);
    }
    // A line that moved is found by how it looks.
    const byLooks = new Map([...before.values()].map((own) => [own.key, own]));
    for (const [line, key] of missing) {
      const own = byLooks.get(key);
      if (own && before.get(own.index) === own) this.keep(before, line, own);
      else this.add(line, key);
    }
    for (const own of before.values()) {
      own.element.remove();
      own.number.remove();
    }
  }

  keep(before, line, own) {
    before.delete(own.index);
    this.place(line, own);
  }

  add(line, key) {
    const own = { key, element: element(line), number: document.createElement("div") };
    this.place(line, own);
    this.lines.append(own.element);
    this.numbers.append(own.number);
  }

  place({ index, top, text, start, findings }, own) {
    this.drawn.set(index, own);
    if (own.top !== top) {
      own.element.style.top = own.number.style.top = `${top}px`;
      own.top = top;
    }
    if (own.index !== index) own.number.textContent = index + 1;
    own.index = index;
    const begun = findings.filter((found) => found.from >= start && found.from <= start + text.length);
    const marked = `number ${worst(begun)}`;
    if (own.number.className !== marked) own.number.className = marked;
  }

  /** Where on the screen something within a drawn line stands; nothing where the line is not drawn. */
  box(index, at) {
    const own = this.drawn.get(index);
    if (!own) return null;
    const range = document.createRange();
    let left = at;
    range.selectNodeContents(own.element);
    for (const piece of own.element.children) {
      const { length } = piece.firstChild;
      if (left <= length) {
        range.setStart(piece.firstChild, left);
        range.setEnd(piece.firstChild, left);
        break;
      }
      left -= length;
    }
    const box = range.getBoundingClientRect();
    return box.height > 0 ? box : own.element.getBoundingClientRect();
  }
}

/** What makes a line look as it does. */
function looks({ text, start, tokens, findings }) {
  const of = (part, kind) => `${part.from - start} ${part.to - start} ${kind}`;
  const parts = [...tokens.map((own) => of(own, own.kind)), ...findings.map((own) => of(own, own.severity))];
  return `${text}\n${parts.join("\n")}`;
}

function worst(findings) {
  if (findings.some((found) => found.severity === "error")) return "fault";
  return findings.length > 0 ? "warning" : "";
}

function element({ text, start, tokens, findings }) {
  const end = start + text.length;
  const cuts = new Set([start, end]);
  for (const part of [...tokens, ...findings]) {
    cuts.add(Math.min(end, Math.max(start, part.from)));
    cuts.add(Math.max(start, Math.min(end, part.to)));
  }
  const line = document.createElement("div");
  line.className = "line";
  const places = [...cuts].sort((a, b) => a - b);
  for (let nth = 0; nth + 1 < places.length; nth += 1) {
    const [from, to] = [places[nth], places[nth + 1]];
    const covers = (part) => part.from <= from && part.to >= to;
    const piece = line.appendChild(document.createElement("span"));
    piece.textContent = text.slice(from - start, to - start);
    const token = tokens.find(covers);
    if (token) piece.classList.add(token.kind);
    const wrong = worst(findings.filter(covers));
    if (wrong) piece.classList.add(wrong);
  }
  // What is missing at the end of the line.
  if (findings.some((found) => found.from >= end)) {
    const piece = line.appendChild(document.createElement("span"));
    piece.textContent = "\u00a0";
    piece.className = worst(findings);
  }
  return line;
}
