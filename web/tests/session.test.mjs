// A session against compilations from nothing: after every edit its pages, its data and what it finds
// are the same. FLAMACUE_EDITS says how many edits are tried.

import assert from "node:assert/strict";
import test from "node:test";
import { filesBelow, same, texts, web } from "./beside.mjs";
import { book, Editor, inOneFile, Random, typing } from "./edits.mjs";

const EDITS = Number(process.env.FLAMACUE_EDITS || 600);

/** Writing a PDF takes longest: one edit in so many is followed by one. */
const PDF_EVERY = 10;

/** The chapters of a book of some 75 pages. */
const LONG = 64;

/** A page without what is not seen of it: where its marks stand in the text, and its name, which says of how many. */
const look = (svg) => svg.replace(/ data-[a-z]+="[^"]*"/g, "").replace(/<title>.*<\/title>/, "");

/** A session, and the same files beside it. */
class Pair {
  #main;
  #pages = [];
  /** What updates took, in milliseconds. */
  times = [];
  compared = 0;

  constructor(main, files) {
    this.#main = main;
    this.files = { ...files };
    this.session = new web.Session(main, files[main], files);
  }

  edit(name, { start, end, text }) {
    this.session.edit(name, start, end, text);
    const edited = this.files[name].slice(0, start) + text + this.files[name].slice(end);
    // The mark of a byte order is no part of the text.
    this.files[name] = name === this.#main ? edited.replace(/^\ufeff+/, "") : edited;
  }

  /** Puts a file in whole. */
  setFile(name, text) {
    this.session.setFile(name, text);
    this.files[name] = text;
  }

  /** Takes a file away that others may include. */
  removeFile(name) {
    this.session.removeFile(name);
    delete this.files[name];
  }

  /** Makes files what they were, by an edit of each that is not. */
  goBack(files) {
    for (const [name, text] of Object.entries(files)) {
      if (!(name in this.files)) this.setFile(name, text);
      const [now, then] = [[...this.files[name]], [...text]];
      const most = Math.min(now.length, then.length);
      let [head, tail] = [0, 0];
      while (head < most && now[head] === then[head]) head += 1;
      while (tail < most - head && now.at(-1 - tail) === then.at(-1 - tail)) tail += 1;
      const length = (characters) => characters.join("").length;
      const [start, rest] = [length(now.slice(0, head)), length(now.slice(now.length - tail))];
      const [end, middle] = [this.files[name].length - rest, then.slice(head, then.length - tail)];
      if (this.files[name] !== text) this.edit(name, { start, end, text: middle.join("") });
    }
  }

  /** Compares after an edit; whether the text is without a fault that stops it. */
  compare(what) {
    const started = performance.now();
    const update = this.session.update();
    this.times.push(performance.now() - started);
    this.compared += 1;
    const made = web.compile(this.#main, this.files[this.#main], this.files);
    for (const [name, text] of Object.entries(this.files)) assert.ok(this.session.text(name) === text, what);
    assert.equal(this.session.report(), made.report(), what);
    assert.equal(JSON.stringify(this.session.faults()), JSON.stringify(made.faults()), what);
    assert.equal(update.current, !made.hasErrors, what);
    assert.equal(update.pages, this.session.pageCount, what);
    if (update.current) this.#comparePages(what, update, made);
    else this.#stays(what, update);
    made.free();
    return update.current;
  }

  #comparePages(what, update, made) {
    assert.equal(update.pages, made.pageCount, what);
    const pages = Array.from({ length: update.pages }, (_, page) => this.session.svg(page));
    pages.forEach((page, at) => {
      same(`${what}: page ${at}`, page, made.svg(at));
      const unchanged = this.#pages[at] !== undefined && look(this.#pages[at]) === look(page);
      assert.ok(unchanged || update.changed.includes(at), `${what}: page ${at} changed, and nothing was said`);
    });
    for (let gone = pages.length; gone < this.#pages.length; gone += 1) assert.ok(update.changed.includes(gone), what);
    assert.equal(this.session.svg(pages.length), undefined, what);
    same(`${what}: JSON`, this.session.json(), made.json());
    if (this.compared % PDF_EVERY === 0) same(`${what}: PDF`, this.session.pdf(), made.pdf());
    this.#pages = pages;
  }

  /** What was good last stays. */
  #stays(what, update) {
    assert.deepEqual(update.changed, [], what);
    assert.equal(update.pages, this.#pages.length, what);
    this.#pages.forEach((page, at) => assert.ok(this.session.svg(at) === page, `${what}: page ${at} is gone`));
  }
}

/** Makes random edits and compares after each. Those that stop the text are mostly taken back next. */
function tryEdits(main, files, edits, seed) {
  const random = new Random(seed);
  const editor = new Editor(Object.values(files));
  const pair = new Pair(main, files);
  assert.ok(pair.compare(`${main}, as it is`));
  let [lastGood, good] = [{ ...files }, 0];
  for (let number = 0; number < edits; number += 1) {
    const name = random.below(5) === 0 ? random.of(Object.keys(pair.files)) : main;
    const edit = editor.edit(pair.files[name], random);
    const what = `${main}, edit ${number}: ${JSON.stringify(edit)} of ${name}, seed ${seed}`;
    pair.edit(name, edit);
    // Now and then a whole file goes, or is put in as it is, or more is typed before anyone looks.
    if (name !== main && random.below(8) === 0) pair.removeFile(name);
    else if (name !== main && random.below(8) === 0) pair.setFile(name, pair.files[name]);
    else if (random.below(8) === 0) continue;
    if (pair.compare(what)) {
      good += 1;
      lastGood = { ...pair.files };
    } else if (random.below(4) > 0) {
      pair.goBack(lastGood);
      pair.compare(`${what}, taken back`);
    }
  }
  pair.session.free();
  return { good, compared: pair.compared, times: pair.times.slice(1) };
}

const ascending = (times) => [...times].sort((a, b) => a - b);

/** The middle one, the one that 99 of 100 are not above, and the longest. */
function told(times) {
  const sorted = ascending(times);
  const [middle, high] = [sorted[sorted.length >> 1], sorted[Math.floor(sorted.length * 0.99)]];
  return `median ${middle.toFixed(1)} ms, 99th percentile ${high.toFixed(1)} ms, longest ${sorted.at(-1).toFixed(1)} ms`;
}

test("examples edited at random are as compiled from nothing", (t) => {
  const all = filesBelow("examples");
  const mains = texts("examples");
  const each = Math.ceil((EDITS * 0.6) / mains.length);
  let [good, compared] = [0, 0];
  mains.forEach((main, at) => {
    // An example that includes others has them beside it.
    const files = /^include /m.test(all[main]) ? all : { [main]: all[main] };
    const tried = tryEdits(main, files, each, at + 1);
    good += tried.good;
    compared += tried.compared;
  });
  t.diagnostic(`${each * mains.length} edits, ${good} of them good; ${compared} comparisons`);
  assert.ok(good * 3 > each * mains.length, `only ${good} edits left a good text`);
});

for (const [name, files, seed] of [["a book", book(4), 7], ["a book in one file", inOneFile(book(4)), 8]]) {
  test(`${name} edited at random is as compiled from nothing`, (t) => {
    const edits = Math.ceil(EDITS / 5);
    const { good, compared, times } = tryEdits("book.flam", files, edits, seed);
    t.diagnostic(`${edits} edits, ${good} of them good; ${compared} comparisons`);
    t.diagnostic(`an update: ${told(times)}`);
    assert.ok(good * 4 > edits, `only ${good} edits left a good text`);
  });
}

for (const chapters of [4, LONG]) {
  test(`a letter typed in a book of ${chapters} chapters is set in little time`, (t) => {
    const files = book(chapters);
    const random = new Random(chapters);
    const clock = (work) => {
      const start = performance.now();
      work();
      return performance.now() - start;
    };
    const whole = clock(() => web.compile("book.flam", files["book.flam"], files).free());
    const session = new web.Session("book.flam", files["book.flam"], files);
    const first = clock(() => session.update());
    const [times, good] = [[], []];
    for (let n = 0; n < 200; n += 1) {
      const name = `chapters/${1 + random.below(chapters)}.flam`;
      const [text, before] = [files[name], session.text(name)];
      // A row of music: most of its letters can stand for each other.
      const rows = [...text.matchAll(/^  play  .*s/gm)];
      const row = random.of(rows);
      const at = row.index + row[0].length - 1;
      const { start, end, text: typed } = n % 2 === 0 ? { start: at, end: at + 1, text: "t" } : typing(text, at, random);
      session.edit(name, start, end, typed);
      let update;
      times.push(clock(() => (update = session.update())));
      if (update.current) good.push(times.at(-1));
      // Taken back as it was typed: an edit of its own.
      session.edit(name, start, start + typed.length, text.slice(start, end));
      times.push(clock(() => (update = session.update())));
      assert.ok(update.current && session.text(name) === before);
      good.push(times.at(-1));
    }
    t.diagnostic(`${session.pageCount} pages: compiled in ${whole.toFixed(0)} ms, the first update ${first.toFixed(0)} ms`);
    t.diagnostic(`an update: ${told(times)}; where no fault stops it: ${told(good)}`);
    // Far more than it takes; it is here to notice an update that begins from nothing.
    assert.ok(ascending(times)[times.length >> 1] < Math.max(whole, 20));
    session.free();
  });
}
