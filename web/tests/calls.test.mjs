// What a page can rely on when it calls the library.

import assert from "node:assert/strict";
import test from "node:test";
import { memorySize, read, web } from "./beside.mjs";

const FILL = "fill\n  play  s s s s\n";

test("the module exports what the library offers, and nothing else", () => {
  assert.deepEqual(Object.keys(web).sort(), ["Compilation", "compile"]);
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
