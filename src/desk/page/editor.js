// The text: a plain text area, so that typing, undoing, selecting, composing and reading aloud are the
// browser's own, over a layer that shows the visible lines in colour with what is wrong underlined.
//
// Prose is wrapped at the width that is seen. Rows of music stay in columns: where one is wider, the letters are made
// smaller until it is not, and where that would make them too small, prose is wrapped at the width of the row, for a
// text area wraps all its lines at one width. It is as high as its text, and what holds it scrolls, so that the layer
// goes with it.

import { Heights } from "./heights.js";
import { Lines } from "./lines.js";

const MARGIN = 12; // Rows drawn above and below what is seen.
const STRIDE = 4096; // Code units that are compared at once.
const PADDING = 8; // Pixels over and under the text, as in the style sheet.
const SMALLEST = 10; // Pixels of letters that can be read.

/** What lies between two texts: the least change that makes one of the other. */
export function change(before, after) {
  const shorter = Math.min(before.length, after.length);
  let from = 0;
  while (from + STRIDE <= shorter && before.slice(from, from + STRIDE) === after.slice(from, from + STRIDE)) from += STRIDE;
  while (from < shorter && before.charCodeAt(from) === after.charCodeAt(from)) from += 1;
  const back = (text, tail, length) => text.slice(text.length - tail - length, text.length - tail);
  let tail = 0;
  while (tail + STRIDE <= shorter - from && back(before, tail, STRIDE) === back(after, tail, STRIDE)) tail += STRIDE;
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
    this.tops = [0, 1];
    this.tokens = [];
    this.findings = [];
    this.root = root;
    this.sheet = root.appendChild(document.createElement("div"));
    this.sheet.className = "sheet";
    const layer = (name) => {
      const own = this.sheet.appendChild(document.createElement("div"));
      own.className = name;
      own.setAttribute("aria-hidden", "true");
      return own;
    };
    this.heights = new Heights(layer("measured"));
    this.lines = layer("lines");
    this.area = this.sheet.appendChild(document.createElement("textarea"));
    this.drawn = new Lines(layer("numbers"), this.lines);
    const area = this.area;
    area.spellcheck = false;
    for (const [name, value] of [
      ["aria-label", "Text"], ["autocapitalize", "off"], ["autocomplete", "off"], ["autocorrect", "off"],
    ]) area.setAttribute(name, value);
    area.addEventListener("input", () => this.typed());
    // It is as high as its text, and has nothing to scroll.
    area.addEventListener("scroll", () => { area.scrollTop = 0; });
    root.addEventListener("scroll", () => {
      this.look();
      this.draw();
    });
    document.addEventListener("selectionchange", () => {
      if (document.activeElement === area) this.moved(area.selectionStart);
    });
    this.resized();
    new ResizeObserver(() => this.resized()).observe(root);
  }

  /** Shows another text; nobody is told of it. */
  set(text) {
    this.area.value = text;
    // A text area has one kind of line end.
    this.text = this.area.value;
    this.tokens = [];
    this.findings = [];
    this.take();
    this.area.setSelectionRange(0, 0);
    this.root.scrollTo(0, 0);
    this.look();
    this.draw();
  }

  /** Takes which part is seen. To ask for it while something is typed would have the browser lay out all of it. */
  look() {
    const { scrollTop, clientHeight } = this.root;
    this.view = { top: scrollTop, height: clientHeight };
  }

  /** Takes all of the text. */
  take() {
    const { text } = this;
    this.starts = [0];
    for (let at = text.indexOf("\n"); at >= 0; at = text.indexOf("\n", at + 1)) this.starts.push(at + 1);
    this.fit();
    const lines = text.split("\n");
    this.widths = this.heights.widths(lines);
    this.wrap();
    this.stack(0, null, this.heights.of(lines));
  }

  /** Takes an edit that was typed; what it leaves alone keeps its rows. */
  shift(edit, after) {
    const [first, last] = [this.lineAt(edit.from), this.lineAt(edit.to)];
    const grown = edit.text.length - (edit.to - edit.from);
    this.text = after;
    const end = last + 1 < this.starts.length ? this.starts[last + 1] - 1 + grown : after.length;
    const own = after.slice(this.starts[first], end).split("\n");
    let at = this.starts[first];
    const starts = own.map((line) => (at += line.length + 1) - line.length - 1);
    const rest = this.starts.slice(last + 1).map((start) => start + grown);
    const gone = last + 1 - first;
    this.starts = this.starts.slice(0, first).concat(starts, rest);
    this.widths = this.widths.slice(0, first).concat(this.heights.widths(own), this.widths.slice(last + 1));
    // A row that came to be wider than the room, or was the widest.
    if (this.widths.some((width) => width > this.heights.width)) this.take();
    else if (this.wrap()) this.stack(0, null, this.heights.of(after.split("\n")));
    else this.stack(first, gone, this.heights.of(own));
  }

  /** Puts lines of so many rows each in place of others, or of all: where each stands, in rows. */
  stack(first, gone, rows) {
    const rest = gone === null ? [] : this.tops.slice(first + gone);
    let top = this.tops[first];
    this.tops = this.tops.slice(0, first);
    for (const count of rows) {
      this.tops.push(top);
      top += count;
    }
    // The end of the text is the last.
    const moved = rest.length > 0 ? top - rest[0] : 0;
    this.tops = this.tops.concat(rest.length > 0 ? rest.map((own) => own + moved) : [top]);
    const height = this.tops.at(-1) * this.heights.row + 2 * PADDING;
    if (height !== this.height) this.sheet.style.height = `${height}px`;
    this.height = height;
  }

  /** Finds the width at which lines are wrapped; whether it is another. */
  wrap() {
    const width = this.widths.reduce((most, own) => Math.max(most, own), this.room);
    if (!this.heights.wrap(width)) return false;
    this.sheet.style.minWidth = `${this.around + width}px`;
    this.lines.style.width = `${width}px`;
    return true;
  }

  /** Makes letters as large as the widest row of music lets them be. */
  fit() {
    const { style } = this.root;
    for (const name of ["--text-size", "--text-line"]) style.removeProperty(name);
    this.heights.font();
    const size = parseFloat(getComputedStyle(this.area).fontSize);
    const widest = Math.max(0, ...this.heights.widths(this.longest()));
    const fitting = Math.floor((2 * size * this.room) / widest) / 2;
    if (widest > this.room && fitting >= SMALLEST) {
      style.setProperty("--text-size", `${fitting}px`);
      style.setProperty("--text-line", `${Math.round(fitting * 1.5)}px`);
      this.heights.font();
    }
  }

  /** Lines among which the widest is. */
  longest() {
    const lines = this.text.split("\n");
    return lines.sort((one, other) => other.length - one.length).slice(0, 200);
  }

  /** Takes the size of what it stands in and of its font. */
  resized() {
    const { paddingLeft, left } = getComputedStyle(this.area);
    this.around = parseFloat(left) + 2 * parseFloat(paddingLeft);
    const room = this.root.clientWidth - this.around;
    if (room !== this.room) {
      this.room = room;
      // What is seen stays in sight when lines take other heights.
      const share = this.height === undefined ? 0 : this.root.scrollTop / this.heights.row;
      const line = this.height === undefined ? 0 : this.lineOf(this.root.scrollTop);
      const within = share - this.tops[line];
      this.take();
      this.root.scrollTop = (this.tops[line] + within) * this.heights.row;
    }
    this.look();
    this.draw();
  }

  typed() {
    const after = this.area.value;
    const edit = change(this.text, after);
    if (edit.from === edit.to && edit.text === "") return;
    const grown = edit.text.length - (edit.to - edit.from);
    const moved = (part) => {
      if (part.to <= edit.from) return part;
      if (part.from >= edit.to) return { ...part, from: part.from + grown, to: part.to + grown };
      return { ...part, to: Math.max(part.from, part.to + grown) };
    };
    this.tokens = this.tokens.map(moved);
    this.findings = this.findings.map((found) => (found.from === undefined ? found : moved(found)));
    this.shift(edit, after);
    // The browser showed the cursor where there was room before.
    if (edit.text.includes("\n")) this.reveal(this.area.selectionEnd, 0);
    this.draw();
    this.changed(edit);
  }

  /** Puts a text in place of a range, as if it were typed, so that it can be undone. */
  replace(from, to, text) {
    this.area.focus({ preventScroll: true });
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
    return lastUpTo(this.starts, this.starts.length, offset);
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

  /** How far down a line begins. */
  top(line) {
    return PADDING + this.tops[line] * this.heights.row;
  }

  /** The line that stands so far down. */
  lineOf(y) {
    return lastUpTo(this.tops, this.starts.length, (y - PADDING) / this.heights.row);
  }

  /** The first and the last line that are seen, and some around. */
  seen() {
    const { top, height } = this.view;
    const around = MARGIN * this.heights.row;
    return [this.lineOf(top - around), this.lineOf(top + height + around)];
  }

  /** The range of the text that is seen. */
  seenRange() {
    const [first, last] = this.seen();
    return [this.starts[first], last + 1 < this.starts.length ? this.starts[last + 1] : this.text.length];
  }

  draw() {
    const [first, last] = this.seen();
    // What is wrong at a single place, as at the end of a line, underlines what is nearest.
    const wide = (found) => (found.to > found.from ? found : { ...found, to: found.from + 1 });
    const findings = this.findings.filter((found) => found.from !== undefined).map(wide);
    const lines = [];
    let nth = 0;
    for (let index = first; index <= last; index += 1) {
      const [start, text] = [this.starts[index], this.line(index)];
      const end = start + text.length;
      const within = (part) => part.from < end && part.to > start;
      while (nth < this.tokens.length && this.tokens[nth].to <= start) nth += 1;
      let past = nth;
      while (past < this.tokens.length && this.tokens[past].from < end) past += 1;
      lines.push({
        index, text, start,
        top: this.top(index),
        tokens: this.tokens.slice(nth, past),
        findings: findings.filter((found) => within(found) || (found.from === end && found.from >= start)),
      });
    }
    this.drawn.draw(lines);
  }

  /** Where on the screen an offset stands. */
  box(offset) {
    const index = this.lineAt(offset);
    const box = this.drawn.box(index, offset - this.starts[index]);
    if (box) return { x: box.left, y: box.top, below: box.bottom };
    const y = this.sheet.getBoundingClientRect().top + this.top(index);
    return { x: this.lines.getBoundingClientRect().left, y, below: y + this.heights.row };
  }

  /** Puts the cursor at a range and shows it. */
  go(from, to = from) {
    this.area.focus({ preventScroll: true });
    this.area.setSelectionRange(from, to);
    this.reveal(from, 1 / 3);
    this.draw();
    this.moved(from);
  }

  /** Scrolls to where an offset is seen: a share of what is seen stands above it, or less where none need be. */
  reveal(offset, share) {
    const { root } = this;
    const line = this.lineAt(offset);
    const [above, below] = [this.top(line), PADDING + this.tops[line + 1] * this.heights.row];
    const seen = root.scrollTop;
    if (above < seen || (below > seen + root.clientHeight && share > 0)) root.scrollTop = above - root.clientHeight * share;
    else if (below > seen + root.clientHeight) root.scrollTop = below + PADDING - root.clientHeight;
    // Past the right end only rows of music reach.
    const column = (offset - this.starts[line]) * this.heights.sign;
    const x = Math.min(column, this.heights.width);
    if (x < root.scrollLeft || this.heights.width <= this.room) root.scrollLeft = 0;
    if (x > root.scrollLeft + this.room) root.scrollLeft = x - this.room / 2;
    this.look();
  }
}

/** The last of so many rising numbers that is not above another. */
function lastUpTo(numbers, count, most) {
  let [low, high] = [0, count - 1];
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (numbers[middle] <= most) low = middle;
    else high = middle - 1;
  }
  return low;
}
