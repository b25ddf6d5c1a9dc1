// What unpacks the module of the desk without a server as it comes, against the module that was packed.

import assert from "node:assert/strict";
import fs from "node:fs";
import { createRequire } from "node:module";
import path from "node:path";
import test from "node:test";
import { forPages } from "./beside.mjs";

const { Unpacker } = createRequire(import.meta.url)(path.join(forPages, "..", "nodejs", "flamacue_web_unpack.js"));
const whole = fs.readFileSync(path.join(forPages, "flamacue_web_bg.wasm"));
const packed = fs.readFileSync(path.join(forPages, "flamacue_web.packed"));

/** What is packed, unpacked in parts of so many bytes. */
function unpack(bytes, length) {
  const unpacker = new Unpacker();
  const parts = [];
  for (let at = 0; at < bytes.length; at += length) parts.push(unpacker.push(bytes.subarray(at, at + length)));
  parts.push(unpacker.end());
  return Buffer.concat(parts);
}

for (const length of [packed.length, 65_536, 1_021]) {
  test(`the module is unpacked from parts of ${length} bytes`, (t) => {
    const start = performance.now();
    const unpacked = unpack(packed, length);
    t.diagnostic(`${unpacked.length} bytes in ${(performance.now() - start).toFixed(0)} ms`);
    assert.ok(unpacked.equals(whole));
  });
}

test("what is cut off or changed is told", () => {
  for (const cut of [0, 1, 1_000, packed.length >> 1, packed.length - 1]) {
    assert.throws(() => unpack(packed.subarray(0, cut), 65_536), /./, `cut off after ${cut} bytes`);
  }
  const changed = Buffer.from(packed);
  changed.fill(0xff, 100_000, 200_000);
  assert.throws(() => assert.ok(unpack(changed, 65_536).equals(whole)));
});
