// What a page can rely on when it calls the library.

import assert from "node:assert/strict";
import test from "node:test";
import { memorySize, read, web } from "./beside.mjs";

const FILL = "fill\n  play  s s s s\n";

test("the module exports what the library offers, and nothing else", () => {
  assert.deepEqual(Object.keys(web).sort(), ["BlockSound", "Compilation", "Desk", "Session", "compile"]);
});

test("included files are seen from the folder of their file", () => {
  const text = `title: B\n\ninclude parts/one.flam\n`;
  const files = { "book/parts/one.flam": `include ../two.flam\n`, "book/two.flam": FILL };
  const made = web.compile("book/book.flam", text, files);
  assert.equal(made.report(), "");
  assert.equal(made.pageCount, 1);
  const without = web.compile("book/book.flam", text);
  assert.match(without.report(), /can't read book\/parts\/one\.flam: there is no such file/);
  assert.equal(web.compile("book/book.flam", text, null).report(), without.report());
});

test("a fault in an included file names that file", () => {
  const files = { "two.flam": "fill\n  play  s s q s\n" };
  const [fault] = web.compile("one.flam", "include two.flam\n", files).faults();
  assert.equal(fault.file, "two.flam");
  assert.deepEqual([fault.start, fault.end], [{ line: 2, column: 13 }, { line: 2, column: 14 }]);
});

test("a file that is no string is refused", () => {
  assert.throws(() => web.compile("a.flam", FILL, { "b.flam": 3 }), /the file b\.flam is not a string/);
});

test("faults are plain objects, which a worker can hand on", () => {
  const faults = web.compile("a.flam", "fill\n  play  s s q s\n").faults();
  assert.ok(faults.length > 0);
  assert.deepEqual(structuredClone(faults), faults);
});

test("a header that asks for font files is told that there are none", () => {
  const made = web.compile("a.flam", `text-font: Mine.otf\n\n${FILL}`);
  assert.ok(made.hasErrors);
  assert.match(made.report(), /font files can't be read in a web page/);
  assert.equal(made.faults()[0].start.line, 1);
});

test("odd text does no harm", () => {
  for (const text of ["", "\0", "\ud800", "\u{feff}title: A\n", "fill\n  play " + "(".repeat(50_000), "é".repeat(10_000)]) {
    const made = web.compile("odd.flam", text);
    assert.equal(typeof made.report(), "string");
    made.free();
  }
  assert.equal(web.compile("a.flam", FILL).pageCount, 1);
});

test("nothing is left to chance", (t) => {
  // Where Node has no such thing, a call would fail as well.
  if (globalThis.crypto) t.mock.method(globalThis.crypto, "getRandomValues", () => assert.fail("asked for a random number"));
  t.mock.method(Date, "now", () => assert.fail("asked for the time"));
  const made = web.compile("demo", read("demo/over-the-bakery.flam"));
  assert.ok(made.pdf().length > 1000 && made.svg(0).length > 1000 && made.json().length > 1000);
});

test("memory that is freed is used again", (t) => {
  const text = read("demo/over-the-bakery.flam");
  const round = () => {
    const made = web.compile("demo", text);
    made.pdf();
    made.free();
  };
  for (let n = 0; n < 5; n += 1) round();
  const before = memorySize();
  for (let n = 0; n < 40; n += 1) round();
  assert.equal(memorySize(), before);
  t.diagnostic(`memory: ${(before / (1 << 20)).toFixed(1)} MiB`);
});

const TEXT = "title: Ö🥁 e\u0301\n\nfill \"🥁🥁\"\n  play  s s s s\n";

/** A session of a text and its files, after its first update. */
function session(text, files) {
  const made = new web.Session("a.flam", text, files);
  made.update();
  return made;
}

/** A session shows what is compiled from nothing of its first file. */
function likeCompiled(made, files) {
  const fresh = web.compile("a.flam", made.text("a.flam"), files);
  assert.equal(made.report(), fresh.report());
  assert.equal(made.pageCount, fresh.pageCount);
  assert.ok(made.svg(0) === fresh.svg(0) && made.json() === fresh.json());
}

test("a session makes nothing before it is asked to", () => {
  const made = new web.Session("a.flam", FILL);
  assert.deepEqual([made.pageCount, made.pdf(), made.svg(0), made.json()], [0, undefined, undefined, undefined]);
  assert.deepEqual([made.faults(), made.report()], [[], ""]);
  assert.deepEqual(made.update(), { current: true, pages: 1, changed: [0] });
  assert.deepEqual(made.update(), { current: true, pages: 1, changed: [] });
  likeCompiled(made);
  made.free();
});

test("the offsets of an edit are those of JavaScript's strings", () => {
  const made = session(TEXT);
  let mirror = TEXT;
  for (const [old, text] of [["🥁🥁", "🥁x🥁"], ["s s\n", "t 🥁"], ["🥁", "\n"], ["\u0301", ""], ["Ö", "日本𝄞"], ["𝄞🥁 e", "e\u0301\u0301"]]) {
    const start = mirror.lastIndexOf(old);
    assert.ok(start >= 0, old);
    made.edit("a.flam", start, start + old.length, text);
    mirror = mirror.slice(0, start) + text + mirror.slice(start + old.length);
    assert.equal(made.text("a.flam"), mirror);
  }
  made.edit("a.flam", 0, mirror.length, TEXT);
  made.edit("a.flam", TEXT.length, TEXT.length, "\n// 🥁\n");
  assert.equal(made.text("a.flam"), `${TEXT}\n// 🥁\n`);
  made.update();
  likeCompiled(made);
});

test("an edit that can't be made is refused and changes nothing", () => {
  const made = session(TEXT);
  const drum = TEXT.indexOf("🥁");
  for (const [start, end, why] of [
    [drum + 1, drum + 2, /the offset 9 is inside a character/],
    [drum, drum + 1, /the offset \d+ is inside a character/],
    [0, TEXT.length + 1, /past the end of the text, which is \d+ long/],
    [2 ** 32, 2 ** 32, /past the end/],
    [3, 2, /the range ends before it starts/],
    [-1, 0, /-1 is not an offset/],
    [0.5, 1, /0\.5 is not an offset/],
    [0, NaN, /NaN is not an offset/],
    [0, Infinity, /past the end|not an offset/],
    [undefined, 1, /NaN is not an offset/],
  ]) {
    const thrown = (error) => error instanceof Error && why.test(error.message);
    assert.throws(() => made.edit("a.flam", start, end, "x"), thrown, `${start} to ${end}`);
  }
  assert.throws(() => made.edit("b.flam", 0, 0, "x"), /there is no file of this name/);
  assert.equal(made.text("a.flam"), TEXT);
  assert.deepEqual(made.update(), { current: true, pages: 1, changed: [] });
  assert.throws(() => new web.Session("a.flam", FILL, { "b.flam": 3 }), /the file b\.flam is not a string/);
});

test("half a character is put in as its replacement, and counts as one", () => {
  const made = session("title: \ud83e\n");
  assert.equal(made.text("a.flam"), "title: \ufffd\n");
  made.edit("a.flam", 8, 8, "\udd41");
  assert.equal(made.text("a.flam"), "title: \ufffd\ufffd\n");
});

test("a byte order mark is no part of the text that is edited", () => {
  const made = session(`\ufeff${FILL}`);
  assert.equal(made.text("a.flam"), FILL);
  made.edit("a.flam", 0, 0, "\ufeff// one\n");
  assert.equal(made.text("a.flam"), `// one\n${FILL}`);
  made.setFile("a.flam", `\ufeff${FILL}`);
  assert.equal(made.text("a.flam"), FILL);
  made.update();
  likeCompiled(made);
});

test("a fault keeps the last good pages", () => {
  const made = session(FILL);
  const [picture, data] = [made.svg(0), made.json()];
  const at = FILL.length - 2;
  made.edit("a.flam", at, at + 1, "?");
  assert.deepEqual(made.update(), { current: false, pages: 1, changed: [] });
  assert.deepEqual(made.faults(), web.compile("a.flam", made.text("a.flam")).faults());
  assert.equal(made.report(), web.compile("a.flam", made.text("a.flam")).report());
  assert.deepEqual(structuredClone(made.faults()), made.faults());
  assert.ok(made.svg(0) === picture && made.json() === data && made.pdf().length > 1000);
  made.edit("a.flam", at, at + 1, "t");
  assert.deepEqual(made.update(), { current: true, pages: 1, changed: [0] });
  assert.deepEqual(made.faults(), []);
  assert.notEqual(made.svg(0), picture);
});

test("files are put in, edited and taken away", () => {
  const text = "title: A\n\ninclude b.flam\n";
  const made = session(text, { "b.flam": FILL, "a.flam": "never seen" });
  assert.deepEqual([made.text("a.flam"), made.text("b.flam"), made.text("c.flam")], [text, FILL, undefined]);
  likeCompiled(made, { "b.flam": FILL });
  const b = FILL.replace("s s", "k t");
  made.setFile("b.flam", b);
  assert.deepEqual(made.update().changed, [0]);
  likeCompiled(made, { "b.flam": b });
  made.removeFile("b.flam");
  made.removeFile("c.flam");
  assert.equal(made.update().current, false);
  assert.match(made.report(), /can't read b\.flam: there is no such file/);
  made.setFile("b.flam", FILL);
  assert.equal(made.update().current, true);
  likeCompiled(made, { "b.flam": FILL });
  made.removeFile("a.flam");
  assert.equal(made.text("a.flam"), "");
  assert.equal(made.update().pages, web.compile("a.flam", "").pageCount);
});

test("a session is told that there are no font files, and keeps its pages", () => {
  const made = session(FILL);
  const picture = made.svg(0);
  made.edit("a.flam", 0, 0, "Text-Font: Mine.otf\n\n");
  assert.deepEqual(made.update(), { current: false, pages: 1, changed: [] });
  assert.equal(made.report(), web.compile("a.flam", made.text("a.flam")).report());
  assert.match(made.report(), /font files can't be read in a web page/);
  assert.ok(made.svg(0) === picture);
  made.edit("a.flam", 0, 4, "// Text");
  assert.equal(made.update().current, true);
  likeCompiled(made);
});

test("the memory of a session that is freed is used again", () => {
  const text = read("demo/over-the-bakery.flam");
  const at = text.lastIndexOf("\n");
  const round = () => {
    const made = session(text);
    for (let n = 0; n < 5; n += 1) {
      made.edit("a.flam", at, at, "\n\nmore\n");
      made.update();
    }
    made.free();
  };
  for (let n = 0; n < 5; n += 1) round();
  const before = memorySize();
  for (let n = 0; n < 20; n += 1) round();
  assert.equal(memorySize(), before);
});
