// In a browser: a page starts a worker, the worker compiles and hands pages and faults back.

import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import fs from "node:fs";
import http from "node:http";
import path from "node:path";
import test from "node:test";
import { forPages, read, temporaryFolder, web } from "./beside.mjs";

const DEMO = "demo/over-the-bakery.flam";
const FAULTY = "fill\n  play  s s q s\n";

const ADDED = "// 🥁\n";

const PAGE = `<!doctype html><meta charset="utf-8"><title>Flamacue</title>
<script type="module">
  const told = (what) => fetch("/told", { method: "POST", body: JSON.stringify(what) });
  const worker = new Worker("/worker.js", { type: "module" });
  worker.onerror = (event) => told({ error: String(event.message) });
  worker.onmessage = ({ data }) => {
    if (data.svg) document.body.innerHTML = data.svg;
    const svg = document.querySelector("svg");
    told({ ...data, pdf: Array.from(data.pdf ?? []), width: svg?.getBoundingClientRect().width });
  };
</script><body></body>`;

const WORKER = `
import init, { compile, Session } from "/flamacue_web.js";
try {
  await init();
  const text = await (await fetch("/demo.flam")).text();
  const made = compile("demo", text, {});
  const faulty = compile("a.flam", ${JSON.stringify(FAULTY)});
  const session = new Session("demo", text);
  session.update();
  session.edit("demo", 0, 0, ${JSON.stringify(ADDED)});
  session.update();
  postMessage({ edited: session.svg(0), svg: made.svg(0), pdf: made.pdf(), pages: made.pageCount, faults: faulty.faults() });
} catch (error) {
  postMessage({ error: String(error) });
}
`;

const TYPES = { ".js": "text/javascript", ".wasm": "application/wasm", ".html": "text/html" };

/** Serves the page, and gives what it tells. */
function serve(test) {
  const made = { "/": PAGE, "/worker.js": WORKER, "/demo.flam": read(DEMO) };
  return new Promise((ready) => {
    let tell;
    const told = new Promise((resolve) => (tell = resolve));
    const server = http.createServer(async (request, response) => {
      const name = new URL(request.url, "http://localhost").pathname;
      if (name === "/told") {
        const parts = await request.toArray();
        response.end();
        tell(JSON.parse(Buffer.concat(parts).toString()));
        return;
      }
      const file = path.join(forPages, path.basename(name));
      const known = made[name] ?? (name.startsWith("/flamacue_web") && fs.readFileSync(file));
      const type = name === "/" ? ".html" : path.extname(name);
      response.writeHead(known ? 200 : 404, { "content-type": TYPES[type] ?? "text/plain" });
      response.end(known || "");
    });
    test.after(() => server.close());
    server.listen(0, "127.0.0.1", () => ready([`http://127.0.0.1:${server.address().port}/`, told]));
  });
}

test("a page in a browser gets what Node gets", { timeout: 120_000 }, async (t) => {
  const [address, told] = await serve(t);
  const profile = temporaryFolder(t);
  const words = ["--headless", "--no-sandbox", "--disable-gpu", `--user-data-dir=${profile}`, address];
  const browser = spawn("chromium", words, { stdio: "ignore" });
  const gone = new Promise((resolve) => browser.on("exit", resolve));
  const failed = new Promise((_, reject) => browser.on("error", reject));
  try {
    const page = await Promise.race([told, failed]);
    assert.equal(page.error, undefined);
    const here = web.compile("demo", read(DEMO), {});
    assert.equal(page.pages, here.pageCount);
    assert.ok(page.svg === here.svg(0), "the first page differs");
    assert.ok(Buffer.from(page.pdf).equals(Buffer.from(here.pdf())), "the PDF differs");
    assert.ok(page.edited === web.compile("demo", ADDED + read(DEMO)).svg(0), "the edited page differs");
    assert.deepEqual(page.faults, web.compile("a.flam", FAULTY).faults());
    assert.ok(page.width > 100, `the picture is ${page.width} wide`);
  } finally {
    browser.kill("SIGKILL");
    await Promise.race([gone, failed.catch(() => {})]);
  }
});
