// Chromium without a window, told what to do by its own protocol (Chrome DevTools) over a pipe.

import { spawn } from "node:child_process";
import { temporaryFolder } from "./beside.mjs";

const END = "\0";
const WORDS = [
  "--headless", "--no-sandbox", "--disable-gpu", "--remote-debugging-pipe", "--no-first-run",
  "--autoplay-policy=no-user-gesture-required",
];

/** A browser that ends with the test. */
export class Browser {
  #open = new Map();
  #turn = 0;
  #rest = "";
  #pages = new Map();

  constructor(test) {
    const words = [...WORDS, `--user-data-dir=${temporaryFolder(test)}`];
    this.run = spawn("chromium", words, { stdio: ["ignore", "ignore", "ignore", "pipe", "pipe"] });
    const gone = new Promise((done) => this.run.on("exit", done));
    this.run.on("error", (error) => this.#fail(error));
    this.run.on("exit", () => this.#fail(new Error("the browser ended")));
    this.run.stdio[3].on("error", (error) => this.#fail(error));
    this.run.stdio[4].setEncoding("utf8").on("data", (text) => this.#read(text));
    test.after(async () => {
      this.run.kill("SIGKILL");
      await gone;
    });
  }

  #fail(error) {
    for (const { failed } of this.#open.values()) failed(error);
    this.#open.clear();
  }

  #read(text) {
    const parts = (this.#rest + text).split(END);
    this.#rest = parts.pop();
    for (const part of parts) {
      const { id, result, error, method, params, sessionId } = JSON.parse(part);
      const { done, failed } = this.#open.get(id) ?? {};
      this.#open.delete(id);
      if (error) failed?.(new Error(error.message));
      else if (id) done?.(result);
      else this.#pages.get(sessionId)?.told(method, params);
    }
  }

  send(method, params = {}, sessionId = undefined) {
    const id = (this.#turn += 1);
    return new Promise((done, failed) => {
      this.#open.set(id, { done, failed });
      this.run.stdio[3].write(JSON.stringify({ id, method, params, sessionId }) + END);
    });
  }

  /** A page of a visitor who was never here, and whose files go to a folder. */
  async visit(address, downloads) {
    const { browserContextId } = await this.send("Target.createBrowserContext");
    await this.send("Browser.setDownloadBehavior", { behavior: "allow", browserContextId, downloadPath: downloads });
    const { targetId } = await this.send("Target.createTarget", { url: "about:blank", browserContextId });
    const { sessionId } = await this.send("Target.attachToTarget", { targetId, flatten: true });
    const page = new Page(this, sessionId);
    this.#pages.set(sessionId, page);
    for (const part of ["Page", "Runtime", "Log"]) await page.send(`${part}.enable`);
    await page.send("Page.navigate", { url: address });
    return page;
  }
}

/** A page of it, and what went wrong in it. */
class Page {
  troubles = [];

  constructor(browser, session) {
    this.browser = browser;
    this.session = session;
  }

  send(method, params) {
    return this.browser.send(method, params, this.session);
  }

  told(method, params) {
    if (method === "Runtime.exceptionThrown") {
      this.troubles.push(params.exceptionDetails.exception?.description ?? params.exceptionDetails.text);
    } else if (method === "Log.entryAdded" && params.entry.level === "error") {
      this.troubles.push(params.entry.text);
    }
  }

  /** What an expression comes to in the page. */
  async value(expression) {
    const wanted = { expression, awaitPromise: true, returnByValue: true };
    const { result, exceptionDetails } = await this.send("Runtime.evaluate", wanted);
    if (exceptionDetails) throw new Error(exceptionDetails.exception?.description ?? exceptionDetails.text);
    return result.value;
  }

  /** Until something holds, also while one page gives way to another. */
  async until(expression, patience = 30_000) {
    const end = Date.now() + patience;
    while (!(await this.value(`Boolean(${expression})`).catch(() => false))) {
      if (Date.now() > end) throw new Error(`it never held that ${expression}; ${this.troubles.join("; ")}`);
      await new Promise((done) => setTimeout(done, 20));
    }
  }
}
