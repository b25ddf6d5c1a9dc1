// What the page unpacks the module with, against the program that packs it.

import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import fs from "node:fs";
import test from "node:test";

const source = fs.readFileSync(new URL("../../src/desk/page/unpack.js", import.meta.url));
const { unpack } = await import(`data:text/javascript;base64,${source.toString("base64")}`);

function pack(bytes, settings) {
  const done = spawnSync("xz", ["--format=lzma", "--stdout", `--lzma1=${settings},dict=16MiB`], {
    input: bytes,
    maxBuffer: 1 << 26,
  });
  assert.equal(done.status, 0, String(done.stderr));
  return new Uint8Array(done.stdout);
}

/** Bytes without order, the same at each run. */
function noise(length) {
  let state = 1;
  return Uint8Array.from({ length }, () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state >>> 24;
  });
}

const TEXTS = {
  nothing: new Uint8Array(),
  "a byte": Uint8Array.of(7),
  "one byte again and again": new Uint8Array(70_000).fill(65),
  noise: noise(100_000),
  "noise again, far away": Buffer.concat([noise(300_000), Buffer.alloc(9), noise(300_000)]),
  "a text": fs.readFileSync(new URL("../../guide/reference.md", import.meta.url)),
  "a program": fs.readFileSync(process.execPath).subarray(4_000_000, 6_000_000),
};

for (const settings of ["preset=9e,pb=0", "preset=0", "preset=6,lc=4,pb=2", "preset=6,lc=0,pb=4"]) {
  test(`what is packed with ${settings} is unpacked`, () => {
    for (const [name, bytes] of Object.entries(TEXTS)) {
      assert.ok(Buffer.compare(unpack(pack(bytes, settings)), bytes) === 0, name);
    }
  });
}

test("what is cut off or packed otherwise is told, and is no endless work", () => {
  const packed = pack(TEXTS["a text"], "preset=6");
  for (let cut = 13; cut < packed.length; cut += 997) assert.throws(() => unpack(packed.slice(0, cut)), `${cut}`);
  assert.throws(() => unpack(pack(TEXTS["a text"], "preset=6,lp=1,lc=2")), /not known/);
});
