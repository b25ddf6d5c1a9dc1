// The desk without a server, as `web/site` lays it, in a browser: it is there in a second, engraves as the program
// does, is heard, makes files, carries a text in its address, and opens without a network after the first visit.

import assert from "node:assert/strict";
import fs from "node:fs";
import http from "node:http";
import path from "node:path";
import test from "node:test";
import zlib from "node:zlib";
import { program, read, same, site, temporaryFolder } from "./beside.mjs";
import { Browser } from "./browser.mjs";

const TYPES = { ".html": "text/html", ".css": "text/css", ".js": "text/javascript", ".wasm": "application/wasm" };
const STARTER = "src/command/starter.flam";

/**
 * Most bytes of all files together as they are sent, deflated; the module is packed already. Text faces and
 * hyphenation are a half of it.
 */
const MOST_SENT = 3_000_000;

/**
 * Milliseconds in which the first page is to be seen where a fixed piece of work of the browser takes `PACE`; elsewhere
 * they are so much more or less as that takes.
 */
const FIRST_PAGE = 1000;
const PACE = 15;
const WORK = read("tests/outside/shared/pace.js");

/** How many visitors come for the first time; the machine may be busy with something else for one of them. */
const VISITORS = 4;

const SHOWN = `globalThis.desk?.pages.hosts[0]?.shadowRoot.querySelector("svg")`;

/** The milliseconds from the start of the visit to the first page. */
const FIRST_SEEN = `(async () => {
  while (!(${SHOWN})) await new Promise((done) => setTimeout(done, 2));
  return performance.now();
})()`;

/** All pages as they are sent to the desk. */
const PAGES = `(async () => {
  await desk.settled();
  const all = [];
  for (const host of desk.pages.hosts) all.push((await desk.ask({ ask: "page", page: host.page })).page.svg);
  return all;
})()`;

/** Presses a button of the desk. */
const press = (words) =>
  `[...document.querySelectorAll("#actions button")].find((own) => own.textContent === ${JSON.stringify(words)}).click()`;

/** A host of files, and how it ends. */
function serve(test) {
  const server = http.createServer((request, response) => {
    const name = new URL(request.url, "http://localhost").pathname.slice(1) || "index.html";
    const file = path.join(site, path.basename(name));
    const known = fs.existsSync(file);
    response.writeHead(known ? 200 : 404, { "content-type": TYPES[path.extname(file)] ?? "text/plain" });
    response.end(known ? fs.readFileSync(file) : "");
  });
  const end = () => {
    server.close();
    server.closeAllConnections();
  };
  test.after(end);
  return new Promise((ready) => {
    server.listen(0, "127.0.0.1", () => ready([`http://127.0.0.1:${server.address().port}/`, end]));
  });
}

/** What the program makes of a text, as files of a form. */
function built(text, form, folder) {
  const file = path.join(folder, "fresh.flam");
  fs.writeFileSync(file, text);
  const done = program("build", file, "-o", path.join(folder, `fresh.${form}`));
  assert.equal(done.status, 0, done.stderr);
  const made = fs.readdirSync(folder).filter((name) => name.startsWith("fresh") && name.endsWith(`.${form}`));
  made.sort((a, b) => a.length - b.length || (a < b ? -1 : 1));
  return made.map((name) => {
    const bytes = fs.readFileSync(path.join(folder, name));
    fs.rmSync(path.join(folder, name));
    return bytes;
  });
}

/** A file that comes. */
async function came(folder, name) {
  const file = path.join(folder, name);
  for (let n = 0; n < 1500; n += 1) {
    if (fs.existsSync(file)) return fs.readFileSync(file);
    await new Promise((done) => setTimeout(done, 20));
  }
  throw new Error(`${name} never came`);
}

/** Types where the cursor is put, as a person does. */
async function type(page, before, words) {
  await page.value(`(() => {
    const at = desk.editor.text.indexOf(${JSON.stringify(before)});
    desk.editor.go(at, at);
    desk.editor.area.focus();
  })()`);
  await page.send("Input.insertText", { text: words });
  return page.value("desk.settled().then(() => desk.editor.text)");
}

test("the files of the desk without a server are small", (t) => {
  const files = fs.readdirSync(site).map((name) => fs.readFileSync(path.join(site, name)));
  const sent = files.reduce((sum, bytes) => sum + zlib.gzipSync(bytes, { level: 9 }).length, 0);
  t.diagnostic(`${files.length} files, ${sent} bytes as they are sent`);
  assert.ok(sent < MOST_SENT, `${sent} bytes`);
});

test("the desk without a server", { timeout: 280_000 }, async (t) => {
  const [address, end] = await serve(t);
  const browser = new Browser(t);
  const [downloads, folder] = [temporaryFolder(t), temporaryFolder(t)];
  let page;

  await t.test("its first page is there at once", async (t) => {
    const times = [];
    for (let visitor = 0; visitor < VISITORS; visitor += 1) {
      page = await browser.visit(address, downloads);
      await page.until("globalThis.desk");
      times.push(await page.value(FIRST_SEEN));
      assert.equal(await page.value("desk.editor.text"), read(STARTER));
      assert.equal(await page.value(`document.getElementById("faults").textContent`), "Nothing is wrong.");
    }
    t.diagnostic(`first page after ${times.map((time) => time.toFixed(0)).join(", ")} ms`);
    const most = (FIRST_PAGE * (await page.value(`(${WORK})()`))) / PACE;
    t.diagnostic(`wanted in ${most.toFixed(0)} ms at this pace`);
    assert.ok(Math.min(...times) < most, `${times}, not ${most}`);
  });

  await t.test("what is typed is engraved as the program does", async (t) => {
    // The second is a fault, so that the page stays; the third takes it back.
    await type(page, "title:", "// é 🥁\n");
    const faulty = await type(page, "Sss tTt", "Q");
    assert.ok(await page.value(`document.getElementById("reading").classList.contains("stale")`));
    await page.value(`desk.editor.replace(${faulty.indexOf("QSss")}, ${faulty.indexOf("QSss") + 1}, ""); desk.settled()`);
    const text = await type(page, "# Then the fills", "Typed: é 🥁\n\n");
    const pages = await page.value(PAGES);
    const fresh = built(text, "svg", folder);
    assert.equal(pages.length, fresh.length);
    fresh.forEach((svg, at) => same(`page ${at}`, Buffer.from(pages[at]), svg));
    const took = await page.value(`(async () => {
      const [at, times] = [desk.editor.text.indexOf("hat    x.x.") + 7, []];
      for (const letter of "XxXxXxXxXxXxXxXxXxXxXxXxXxXxXxXxXxXxXxXx") {
        const start = performance.now();
        desk.editor.replace(at, at + 1, letter);
        await desk.sent;
        times.push(performance.now() - start);
        await desk.settled();
      }
      return times.sort((a, b) => a - b);
    })()`);
    t.diagnostic(`from the key to the page: median ${took[20].toFixed(1)} ms, longest ${took[39].toFixed(1)} ms`);
  });

  await t.test("a block is heard", async (t) => {
    const heard = await page.value(`(async () => {
      const at = desk.editor.text.indexOf("x.x. x.x.");
      desk.editor.go(at, at);
      const start = performance.now();
      const heard = await desk.hear({ at, factor: 1, click: true, count: false, times: 1 });
      const took = performance.now() - start;
      const letters = String.fromCharCode(...new Uint8Array(heard.sound, 0, 4));
      desk.player.toggle();
      return { took, letters, bytes: heard.sound.byteLength, once: heard.once, strokes: heard.strokes.length };
    })()`);
    assert.equal(heard.letters, "RIFF");
    assert.ok(heard.strokes > 8 && heard.bytes > 48_000 * heard.once, JSON.stringify(heard));
    await page.until(`desk.player.source && desk.player.context.state === "running" && desk.player.position() > 0.2`);
    await page.until("desk.pages.lit.length > 0");
    await page.value("desk.player.stop()");
    t.diagnostic(`${heard.once.toFixed(1)} s of sound made in ${heard.took.toFixed(0)} ms`);
  });

  await t.test("files are made as the program makes them", async () => {
    const text = await page.value("desk.editor.text");
    for (const [words, name, form] of [["PDF", "first.pdf", "pdf"], ["MIDI", "first.mid", "mid"]]) {
      await page.value(press(words));
      same(words, await came(downloads, name), built(text, form, folder)[0]);
    }
    await page.value(press("SVG"));
    const pages = await page.value("desk.pages.hosts.length");
    const svg = await came(downloads, pages > 1 ? "first-1.svg" : "first.svg");
    same("SVG", svg, built(text, "svg", folder)[0]);
    await page.value(press("Sound"));
    assert.equal((await came(downloads, "first.flac")).subarray(0, 4).toString(), "fLaC");
    // A browser that lets no page write into a file is given one.
    await page.value("delete globalThis.showSaveFilePicker; desk.tidy()");
    const tidy = await page.value("desk.editor.text");
    await page.value(press("Save"));
    assert.equal((await came(downloads, "first.flam")).toString(), tidy);
  });

  await t.test("a text is shared in an address and opened from it", async (t) => {
    const text = await type(page, "# First", "Shared: é 🥁\n\n");
    await page.value(press("Share"));
    await page.until("location.hash.length > 1");
    const shared = await page.value("location.href");
    const other = await browser.visit(shared, downloads);
    await other.until(SHOWN);
    assert.equal(await other.value("desk.editor.text"), text);
    assert.equal(await other.value("document.title"), "first.flam");
    t.diagnostic(`${text.length} letters in an address of ${shared.length}`);
    const broken = await browser.visit(`${address}#${"A".repeat(40)}`, downloads);
    await broken.until(SHOWN);
    assert.equal(await broken.value("desk.editor.text"), read(STARTER));
    assert.deepEqual([...other.troubles, ...broken.troubles], []);
  });

  await t.test("what was not saved is there again, without a network too", async (t) => {
    const text = await type(page, "# First", "Typed last\n\n");
    await page.value("navigator.serviceWorker.ready");
    await page.until(`navigator.serviceWorker.controller?.state === "activated"`);
    end();
    await page.value("globalThis.before = true");
    await page.send("Page.reload", { ignoreCache: false });
    await page.until(`!globalThis.before && ${SHOWN}`);
    t.diagnostic(`first page after ${(await page.value(FIRST_SEEN)).toFixed(0)} ms without a network`);
    assert.equal(await page.value("desk.editor.text"), text);
    const pages = await page.value(PAGES);
    built(text, "svg", folder).forEach((svg, at) => same(`page ${at}`, Buffer.from(pages[at]), svg));
    assert.deepEqual(page.troubles, []);
  });
});
