// Random edits of drum-text, and a made-up book to try them on.

/** Numbers that look random and are the same in every run (xorshift of 32 bits, Marsaglia 2003). */
export class Random {
  #state;

  constructor(seed) {
    this.#state = (Math.imul(seed, 0x9e3779b1) | 1) >>> 0;
    for (let n = 0; n < 8; n += 1) this.below(1);
  }

  /** A number under another, which is not zero. */
  below(end) {
    let state = this.#state;
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    this.#state = state >>> 0;
    return this.#state % end;
  }

  of(list) {
    return list[this.below(list.length)];
  }
}

/** What is typed most, and characters of one to four bytes and of one or two code units. */
const LETTERS = [
  ..."sktmfhxcSK.-_|[]()'/~%@*#&\"RL1q", " ", "  ", "\n", "\r\n", "\t", ":2", "//", "--",
  "é", "e\u0301", "\u0301", "“", "日", "🥁", "𝄞", "👩🏽‍🎤", "\u00a0", "\u200b", "\ufeff",
];

/** Keys of the header and of blocks. */
const KEYS = [
  "tempo: 120", "time: 3/4", "  time: 6/8", "  columns: 2", "  bars: 2", "stick: natural", "  stick: alternate",
  "counting: takadimi", "contents: exercises", "contents: headings", "numbers: by chapter", "index: both",
  "key: first page", "chapters: new page", "title: Another 🥁", "page: a5", "style: stand", "style: book",
  "staff-height: 6 mm", "title-page: on", "front-matter: roman", "language: de", "sticking: none",
  "counts: all", "Text-Font: Mine.otf", "nonsense: 3",
].map((line) => `${line}\n`);

/** Other lines that are typed whole. */
const LINES = [
  "# A heading", "## Smaller", "part \"Öne\"", "", "\n", "  --", "  stick  R L R L", "  say  one two",
  "  dyn  p f", "  mark  accent", "Look at @loft, and at @house-1-2.page and @nobody.", "- one\n- two",
  "1. one\n2. two", "include two.flam", "include chapters/1.flam", "include book/house.flam",
  "include nowhere.flam", "// said aside",
].map((line) => `${line}\n`);

/** Blocks: music, kits, names for others to refer to, counting. */
const BLOCKS = [
  "kit\n  z  gong, ride", "kit\n  s  snare, place 3", "fill loft \"The loft\"\n  play  s s s s",
  "exercise \"Two bars\"\n  columns: 2\n  play  ssss s.s. ss s | k s k s",
  "groove\n  hat   x.x. x.x. x.x. x.x.\n  kick  x... .... x... ....",
  "variation of loft\n  gaps: k", "context\n  play: loft x2", "syllables mine\n  2  # yo",
  "exercise house-1-2 \"A name twice\"\n  play  s s s s",
].map((block) => `\n${block}\n\n`);

/** A range of a text and what is to stand in its place. */
const put = (start, end, text) => ({ start, end, text });

/** The place of a whole character at an offset or right before it. */
function boundary(text, at) {
  const here = Math.min(at, text.length);
  const inside = here > 0 && here < text.length && text.codePointAt(here - 1) > 0xffff;
  return inside ? here - 1 : here;
}

/** Where the piece of a text lies that holds an offset and ends with `end`. */
function around(text, at, end) {
  const before = at === 0 ? -1 : text.lastIndexOf(end, at - 1);
  const after = text.indexOf(end, at);
  const stop = after < 0 ? text.length : after + end.length;
  return [before < 0 ? 0 : Math.min(before + end.length, stop), stop];
}

/** Makes edits as people do: letters, lines, blocks, and what stands elsewhere put here. */
export class Editor {
  #lines;
  #blocks;

  constructor(texts) {
    this.#lines = texts.flatMap((text) => text.match(/[^\n]*\n/g) ?? []);
    this.#blocks = texts.flatMap((text) => text.split("\n\n").map((block) => `${block}\n\n`));
  }

  edit(text, random) {
    const at = boundary(text, random.below(text.length + 1));
    const [lineStart, lineEnd] = around(text, at, "\n");
    const [blockStart, blockEnd] = around(text, at, "\n\n");
    const line = text.slice(lineStart, lineEnd);
    switch (random.below(20)) {
      case 0: return put(lineStart, lineEnd, "");
      case 1: return put(lineStart, lineStart, line);
      case 2: return put(lineStart, lineEnd, random.of(this.#lines));
      case 3: case 4: return put(lineStart, lineStart, random.of(LINES));
      case 5: return put(lineStart, lineStart, random.of(KEYS));
      case 6: return put(0, 0, random.of(KEYS));
      case 7: return put(0, 0, random.of(LINES));
      case 8: return put(blockStart, blockStart, random.of(BLOCKS));
      case 9: return put(blockStart, blockStart, random.of(this.#blocks));
      case 10: return put(blockStart, blockEnd, "");
      case 11: return put(blockStart, blockEnd, random.of(this.#blocks));
      case 12: return put(at, boundary(text, at + random.below(60)), "");
      default: return typing(text, at, random);
    }
  }
}

/** A letter typed, struck out or replaced. */
export function typing(text, at, random) {
  const here = text.codePointAt(at);
  const next = here === undefined ? at : at + String.fromCodePoint(here).length;
  return put(at, random.below(2) === 0 ? at : next, random.below(4) === 0 ? "" : random.of(LETTERS));
}

const CELLS = ["ssss", "s.ss", "(s).ss", "kk", "sss", "S.s.", "t.tt", "[ss]s", "''s", "m"];

function exercise(name, number, random) {
  const wide = number % 3 === 0;
  const beats = Array.from({ length: wide ? 8 : 2 }, (_, beat) => (beat === 4 ? "| " : "") + random.of(CELLS));
  const keys = wide ? "" : "  columns: 2\n  time: 2/4\n";
  return `exercise house-${name} "House ${name} 🚪"\n${keys}  play  ${beats.join(" ")}\n\n`;
}

/** A book of some chapters, each in a file of its own; `book.flam` holds them together. */
export function book(chapters) {
  const random = new Random(chapters);
  const files = {};
  let main = "title: Doors\nauthor: Isolde Quarrier\nlanguage: en\ncontents: headings\nindex: both\n";
  main += "numbers: by chapter\nrunning-heads: on\n\n";
  for (let chapter = 1; chapter <= chapters; chapter += 1) {
    let text = `title: Street ${chapter}\ntags: feet\n\n`;
    for (let number = 1; number <= 12; number += 1) {
      const other = `${1 + random.below(chapters)}-${1 + random.below(12)}`;
      if (number % 4 === 1) text += `Walk on *slowly* and look at every door, as @house-${other} has it.\n\n`;
      text += exercise(`${chapter}-${number}`, number, random);
    }
    files[`chapters/${chapter}.flam`] = text;
    main += `include chapters/${chapter}.flam\n`;
  }
  return { ...files, "book.flam": main };
}

/** The same book in one file. */
export function inOneFile(files) {
  const whole = files["book.flam"].replace(/^include (.*)\n/gm, (_, name) => {
    const [, title, body] = files[name].match(/^title: (.*)\n[^]*?\n\n([^]*)$/);
    return `# ${title}\n\n${body}`;
  });
  return { "book.flam": whole };
}
