// The library for pages, and the program beside it. Two variables say where they are:
// FLAMACUE_WEB, the folder with the module in the forms `nodejs` and `web`; FLAMACUE, the program.

import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import fs from "node:fs";
import { createRequire } from "node:module";
import os from "node:os";
import path from "node:path";
import { fileURLToPath } from "node:url";

export const root = fileURLToPath(new URL("../..", import.meta.url));

function from(variable) {
  const value = process.env[variable];
  if (!value) throw new Error(`${variable} is not set; .ci/wasm sets it`);
  return path.resolve(value);
}

// The module keeps its memory to itself; a test asks how large it is.
let memory;
const { Instance } = WebAssembly;
WebAssembly.Instance = class extends Instance {
  constructor(...words) {
    super(...words);
    memory = this.exports.memory;
  }
};

const started = performance.now();
export const web = createRequire(import.meta.url)(
  path.join(from("FLAMACUE_WEB"), "nodejs", "flamacue_web.js"),
);
/** What loading the module took, in milliseconds. */
export const loading = performance.now() - started;

/** The folder with what a page loads. */
export const forPages = path.join(from("FLAMACUE_WEB"), "web");

/** The folder with the desk that needs no server, which lies beside. */
export const site = path.join(from("FLAMACUE_WEB"), "..", "site");

/** The bytes of the module's memory. */
export const memorySize = () => memory.buffer.byteLength;

/** The names of the texts right in a folder, as the program is given them. */
export function texts(folder) {
  const names = fs.readdirSync(path.join(root, folder)).filter((name) => name.endsWith(".flam"));
  return names.sort().map((name) => `${folder}/${name}`);
}

export const read = (name) => fs.readFileSync(path.join(root, name), "utf8");

/** All texts in a folder and in those below it, by name: what a text there may include. */
export function filesBelow(folder) {
  const names = fs.readdirSync(path.join(root, folder), { recursive: true });
  const wanted = names.filter((name) => name.endsWith(".flam"));
  return Object.fromEntries(
    wanted.map((name) => `${folder}/${name.replaceAll(path.sep, "/")}`).map((n) => [n, read(n)]),
  );
}

/** Runs the program; a file says no date. */
export function program(...words) {
  const { SOURCE_DATE_EPOCH, ...env } = process.env;
  const done = spawnSync(from("FLAMACUE"), words, { cwd: root, env, encoding: "utf8", maxBuffer: 1 << 28 });
  if (done.error) throw done.error;
  return done;
}

/** Two files are the same; where they differ, the place is told rather than all of both. */
export function same(what, here, there) {
  if (here === there) return;
  const [a, b] = [Buffer.from(here), Buffer.from(there)];
  if (a.equals(b)) return;
  let at = 0;
  while (at < a.length && a[at] === b[at]) at += 1;
  const near = (bytes) => JSON.stringify(bytes.subarray(Math.max(0, at - 40), at + 40).toString("latin1"));
  assert.fail(`${what}: ${a.length} and ${b.length} bytes, differ at byte ${at}: ${near(a)} and ${near(b)}`);
}

/** A folder that is gone after the test. */
export function temporaryFolder(test) {
  const folder = fs.mkdtempSync(path.join(os.tmpdir(), "flamacue-web-"));
  test.after(() => fs.rmSync(folder, { recursive: true, force: true, maxRetries: 5, retryDelay: 200 }));
  return folder;
}
