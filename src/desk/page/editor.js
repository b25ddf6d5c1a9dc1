// The text: a plain text area, so that typing, undoing, selecting, composing and reading aloud are the
// browser's own, over a layer that shows the visible lines in colour with what is wrong underlined.

const MARGIN = 4; // Lines drawn above and below what is seen.

/** What lies between two texts: the least change that makes one of the other. */
export function change(before, after) {
  const shorter = Math.min(before.length, after.length);
  let from = 0;
  while (from < shorter && before.charCodeAt(from) === after.charCodeAt(from)) from += 1;
  let tail = 0;
  while (
    tail < shorter - from &&
    before.charCodeAt(before.length - 1 - tail) === after.charCodeAt(after.length - 1 - tail)
  ) tail += 1;
  // A pair of code units is one character and is not parted.
  const low = (text, at) => (text.charCodeAt(at) & 0xfc00) === 0xdc00;
  if (low(before, from) || low(after, from)) from -= 1;
  if (low(before, before.length - tail) || low(after, after.length - tail)) tail -= 1;
  return { from, to: before.length - tail, text: after.slice(from, after.length - tail) };
}

export class Editor {
  /** Takes an element to fill, and what is told: `changed(edit)`, `moved(offset)`. */
  constructor(root, { changed, moved }) {
    this.changed = changed;
    this.moved = moved;
    this.text = "";
    this.starts = [0];
    this.tokens = [];
    this.findings = [];
    this.layer = root.appendChild(document.createElement("div"));
    this.layer.className = "layer";
    this.layer.setAttribute("aria-hidden", "true");
    this.numbers = this.layer.appendChild(document.createElement("div"));
    this.lines = this.layer.appendChild(document.createElement("div"));
    this.lines.className = "lines";
    this.area = root.appendChild(document.createElement("textarea"));
    const area = this.area;
    area.wrap = "off";
    area.spellcheck = false;
    for (const [name, value] of [
      ["aria-label", "Text"], ["autocapitalize", "off"], ["autocomplete", "off"], ["autocorrect", "off"],
    ]) area.setAttribute(name, value);
    area.addEventListener("input", () => this.typed());
    area.addEventListener("scroll", () => this.draw());
    document.addEventListener("selectionchange", () => {
      if (document.activeElement === area) this.moved(area.selectionStart);
    });
    new ResizeObserver(() => this.draw()).observe(root);
  }

  /** Shows another text; nobody is told of it. */
  set(text) {
    this.area.value = text;
    // A text area has one kind of line end.
    this.take(this.area.value);
    this.tokens = [];
    this.findings = [];
    this.area.setSelectionRange(0, 0);
    this.area.scrollTop = 0;
    this.draw();
  }

  take(text) {
    this.text = text;
    this.starts = [0];
    for (let at = text.indexOf("\n"); at >= 0; at = text.indexOf("\n", at + 1)) this.starts.push(at + 1);
  }

  typed() {
    const after = this.area.value;
    const edit = change(this.text, after);
    if (edit.from === edit.to && edit.text === "") return;
    const grown = edit.text.length - (edit.to - edit.from);
    const shift = (part) => {
      if (part.to <= edit.from) return part;
      if (part.from >= edit.to) return { ...part, from: part.from + grown, to: part.to + grown };
      return { ...part, to: Math.max(part.from, part.to + grown) };
    };
    this.tokens = this.tokens.map(shift);
    this.findings = this.findings.map((found) => (found.from === undefined ? found : shift(found)));
    this.take(after);
    this.draw();
    this.changed(edit);
  }

  /** Puts a text in place of a range, as if it were typed, so that it can be undone. */
  replace(from, to, text) {
    this.area.focus();
    this.area.setSelectionRange(from, to);
    const done = text === ""
      ? from === to || document.execCommand("delete")
      : document.execCommand("insertText", false, text);
    if (!done) {
      this.area.setRangeText(text, from, to, "end");
      this.typed();
    }
  }

  /** Colours, as `{from, to, kind}` by place, and findings, as `{from, to, severity}`. */
  show(tokens, findings) {
    this.tokens = tokens;
    this.findings = findings;
    this.draw();
  }

  lineAt(offset) {
    let [low, high] = [0, this.starts.length - 1];
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if (this.starts[middle] <= offset) low = middle;
      else high = middle - 1;
    }
    return low;
  }

  line(index) {
    const end = index + 1 < this.starts.length ? this.starts[index + 1] - 1 : this.text.length;
    return this.text.slice(this.starts[index], end);
  }

  /** Where a line and a column stand that count characters from 1. */
  offset(line, column) {
    const index = Math.min(Math.max(line - 1, 0), this.starts.length - 1);
    const before = Array.from(this.line(index)).slice(0, column - 1).join("");
    return this.starts[index] + before.length;
  }

  /** The line and the column of an offset, which count characters from 1. */
  place(offset) {
    const index = this.lineAt(offset);
    return { line: index + 1, column: Array.from(this.text.slice(this.starts[index], offset)).length + 1 };
  }

  get size() {
    const style = getComputedStyle(this.area);
    return { line: parseFloat(style.lineHeight), top: parseFloat(style.paddingTop) };
  }

  /** The first and the last line that are seen. */
  seen() {
    const { line, top } = this.size;
    const first = Math.max(0, Math.floor((this.area.scrollTop - top) / line) - MARGIN);
    const count = Math.ceil(this.area.clientHeight / line) + 2 * MARGIN;
    return [first, Math.min(this.starts.length - 1, first + count)];
  }

  /** The range of the text that is seen. */
  seenRange() {
    const [first, last] = this.seen();
    return [this.starts[first], last + 1 < this.starts.length ? this.starts[last + 1] : this.text.length];
  }

  draw() {
    const { line: height, top } = this.size;
    const [first, last] = this.seen();
    const [lines, numbers] = [document.createDocumentFragment(), document.createDocumentFragment()];
    const above = top - this.area.scrollTop;
    for (let index = first; index <= last; index += 1) {
      const y = `translateY(${above + index * height}px)`;
      const number = document.createElement("div");
      number.className = `number ${this.worst(index)}`;
      number.style.transform = y;
      number.textContent = index + 1;
      numbers.append(number);
      const line = this.drawLine(index);
      line.style.transform = `translateX(${-this.area.scrollLeft}px) ${y}`;
      lines.append(line);
    }
    this.lines.replaceChildren(lines);
    this.numbers.replaceChildren(numbers);
  }

  worst(index) {
    const [from, to] = [this.starts[index], this.starts[index] + this.line(index).length];
    const own = this.findings.filter((found) => found.from <= to && found.from >= from);
    if (own.some((found) => found.severity === "error")) return "fault";
    return own.length > 0 ? "warning" : "";
  }

  drawLine(index) {
    const [start, text] = [this.starts[index], this.line(index)];
    const end = start + text.length;
    const within = (part) => part.from < end && part.to > start;
    const tokens = this.tokens.filter(within);
    // What is wrong at a single place, as at the end of a line, underlines what is nearest.
    const wide = (found) => (found.to > found.from ? found : { ...found, to: found.from + 1 });
    let findings = this.findings.filter((found) => found.from !== undefined).map(wide);
    findings = findings.filter((found) => within(found) || (found.from === end && found.from >= start));
    const cuts = new Set([start, end]);
    for (const part of [...tokens, ...findings]) {
      cuts.add(Math.max(start, part.from));
      cuts.add(Math.min(end, part.to));
    }
    const line = document.createElement("div");
    line.className = "line";
    const places = [...cuts].sort((a, b) => a - b);
    for (let nth = 0; nth + 1 < places.length; nth += 1) {
      const [from, to] = [places[nth], places[nth + 1]];
      const covers = (part) => part.from <= from && part.to >= to;
      const piece = document.createElement("span");
      piece.textContent = text.slice(from - start, to - start);
      const token = tokens.find(covers);
      if (token) piece.classList.add(token.kind);
      const wrong = findings.filter(covers);
      if (wrong.some((found) => found.severity === "error")) piece.classList.add("fault");
      else if (wrong.length > 0) piece.classList.add("warning");
      line.append(piece);
    }
    if (findings.some((found) => found.from >= end)) {
      const piece = line.appendChild(document.createElement("span"));
      piece.textContent = "\u00a0";
      piece.className = "fault";
    }
    return line;
  }

  /** Where on the screen an offset stands. */
  box(offset) {
    const index = this.lineAt(offset);
    const probe = document.createElement("div");
    probe.className = "line";
    probe.textContent = this.text.slice(this.starts[index], offset);
    this.lines.append(probe);
    const width = probe.getBoundingClientRect().width;
    probe.remove();
    const { line, top } = this.size;
    const box = this.lines.getBoundingClientRect();
    const y = box.top + top - this.area.scrollTop + index * line;
    return { x: box.left + 12 + width - this.area.scrollLeft, y, below: y + line };
  }

  /** Puts the cursor at a range and shows it. */
  go(from, to = from) {
    this.area.focus();
    this.area.setSelectionRange(from, to);
    const { line, top } = this.size;
    const y = top + this.lineAt(from) * line;
    const seen = this.area.scrollTop;
    if (y < seen || y + line > seen + this.area.clientHeight) {
      this.area.scrollTop = y - this.area.clientHeight / 3;
    }
    this.draw();
    this.moved(from);
  }
}
