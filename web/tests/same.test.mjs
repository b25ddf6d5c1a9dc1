// What the library writes in Node is byte for byte what the program writes, and what it finds wrong
// is word for word the same.

import assert from "node:assert/strict";
import fs from "node:fs";
import path from "node:path";
import test from "node:test";
import { filesBelow, loading, program, read, same, temporaryFolder, texts, web } from "./beside.mjs";

/** The files the program writes of a text in one form, in their order. */
function written(folder, name, ending) {
  const stem = path.join(folder, "page");
  const done = program("build", name, "-o", `${stem}.${ending}`);
  assert.equal(done.status, 0, done.stderr);
  const files = fs.existsSync(`${stem}.${ending}`) ? [`${stem}.${ending}`] : [];
  for (let n = 1; fs.existsSync(`${stem}-${n}.${ending}`); n += 1) files.push(`${stem}-${n}.${ending}`);
  return files.map((file) => {
    const bytes = fs.readFileSync(file);
    fs.rmSync(file);
    return bytes;
  });
}

for (const folder of ["demo", "examples"]) {
  for (const name of texts(folder)) {
    test(`${name} becomes the same files`, (t) => {
      const out = temporaryFolder(t);
      const made = web.compile(name, read(name), filesBelow(folder));
      assert.equal(made.report(), "");
      assert.deepEqual(made.faults(), []);
      same("PDF", made.pdf(), written(out, name, "pdf")[0]);
      same("JSON", made.json(), written(out, name, "json")[0]);
      const pages = written(out, name, "svg");
      assert.equal(made.pageCount, pages.length);
      pages.forEach((page, at) => same(`SVG ${at + 1}`, made.svg(at), page));
      assert.equal(made.svg(pages.length), undefined);
      made.free();
    });
  }
}

/** What the program says of each of many texts, by name. */
function said(names) {
  const done = program("check", ...names);
  const parts = done.stderr.split(/^\[\d+\/\d+\] (.*)\n/m).slice(1);
  const last = parts.length - 1;
  parts[last] = parts[last].replace(/(no faults|faults in \d+ of \d+ files)\n$/, "");
  return new Map(names.map((_, at) => [parts[2 * at], parts[2 * at + 1]]));
}

for (const folder of ["tests/suite/score", "tests/suite/syntax"]) {
  test(`the texts of ${folder} have the same faults`, () => {
    const names = texts(folder);
    const there = said(names);
    const files = filesBelow(folder);
    let faulty = 0;
    for (const name of names) {
      const made = web.compile(name, read(name), files);
      assert.equal(made.report(), there.get(name), name);
      const faults = made.faults();
      assert.equal(made.hasErrors, faults.some((fault) => fault.severity === "error"), name);
      assert.equal(made.hasErrors, made.pageCount === 0 && made.pdf() === undefined, name);
      toldAsData(name, faults, there.get(name));
      faulty += faults.length > 0 ? 1 : 0;
      made.free();
    }
    assert.ok(faulty > 10, `only ${faulty} have faults`);
  });
}

/** Each fault of the report is there as data: its place, its sentence and its mend. */
function toldAsData(name, faults, report) {
  const heads = [...report.matchAll(/^(error|warning): (.*)\n[^\n]* ┌─ (.*):(\d+):(\d+)$/gm)];
  assert.deepEqual(
    faults.map(({ severity, message, file, start }) => [severity, message, file, start.line, start.column]),
    heads.map(([, severity, message, file, line, column]) => [severity, message, file, Number(line), Number(column)]),
    name,
  );
  for (const { code, start, end, mend, edit } of faults) {
    assert.match(code, /^[a-z-]+$/);
    assert.ok(start.line < end.line || (start.line === end.line && start.column <= end.column), name);
    // The report cuts what is longer.
    const told = [...(mend ?? "")].slice(0, 300).join("");
    assert.ok(report.includes(told), `${name}: ${mend}`);
    assert.ok(edit === undefined || (edit.start.line >= 1 && typeof edit.text === "string"), name);
  }
}

test("a text compiles in little time", (t) => {
  const median = (times) => times.sort((a, b) => a - b)[times.length >> 1];
  const clock = (work) => {
    const start = performance.now();
    const result = work();
    return [performance.now() - start, result];
  };
  t.diagnostic(`loading the module: ${loading.toFixed(0)} ms`);
  for (const name of ["examples/flam-drag-ruff.flam", "demo/over-the-bakery.flam", "examples/book.flam"]) {
    const [text, files] = [read(name), filesBelow(path.dirname(name))];
    const [compiling, picturing, writing] = [[], [], []];
    for (let n = 0; n < 15; n += 1) {
      const [time, made] = clock(() => web.compile(name, text, files));
      compiling.push(time);
      picturing.push(clock(() => made.svg(0))[0]);
      writing.push(clock(() => made.pdf())[0]);
      made.free();
    }
    const [a, b, c] = [compiling, picturing, writing].map((times) => median(times).toFixed(1));
    t.diagnostic(`${name}: compiled in ${a} ms, its first page as SVG ${b} ms, its PDF ${c} ms`);
    // Far more than it takes on any machine; it is here to notice a build without optimisation.
    assert.ok(median(compiling) < 5_000);
  }
});
