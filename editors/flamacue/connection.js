// Messages of the Language Server Protocol to a program and back (version 3.17, "Base Protocol").
"use strict";

const { spawn } = require("child_process");

const LINE_END = "\r\n\r\n";

// A program that speaks the protocol over its standard input and output.
class Connection {
  // `hear` is called with the method and the parameters of what it tells unasked; `gone` when it ends.
  constructor(program, args, hear, gone) {
    this.hear = hear;
    this.waiting = new Map();
    this.next = 1;
    this.buffer = Buffer.alloc(0);
    this.open = true;
    this.child = spawn(program, args, { stdio: ["pipe", "pipe", "inherit"] });
    const end = (why) => {
      if (!this.open) return;
      this.open = false;
      for (const { reject } of this.waiting.values()) reject(new Error("the program has ended"));
      this.waiting.clear();
      gone(why);
    };
    this.child.on("error", (error) => end(error));
    this.child.on("exit", () => end());
    // A program that is gone can't be written to; that it is gone is told by its end.
    this.child.stdin.on("error", () => {});
    this.child.stdout.on("data", (data) => this.take(data));
  }

  // Asks, and waits for the answer; `token` is asked whether the answer is still wanted.
  ask(method, params, token) {
    if (!this.open) return Promise.reject(new Error("the program has ended"));
    const id = this.next++;
    const answer = new Promise((resolve, reject) => this.waiting.set(id, { resolve, reject }));
    this.write({ id, method, params });
    if (token) token.onCancellationRequested(() => this.tell("$/cancelRequest", { id }));
    return answer;
  }

  // Tells something that needs no answer.
  tell(method, params) {
    if (this.open) this.write({ method, params });
  }

  // Says good-bye, and waits until the program has ended.
  async close() {
    if (!this.open) return;
    const ended = new Promise((resolve) => this.child.on("exit", resolve));
    await this.ask("shutdown").catch(() => {});
    this.tell("exit");
    await ended;
  }

  write(message) {
    const body = Buffer.from(JSON.stringify({ jsonrpc: "2.0", ...message }), "utf8");
    this.child.stdin.write(`Content-Length: ${body.length}${LINE_END}`);
    this.child.stdin.write(body);
  }

  take(data) {
    this.buffer = Buffer.concat([this.buffer, data]);
    for (;;) {
      const head = this.buffer.indexOf(LINE_END);
      if (head < 0) return;
      const length = /Content-Length: *(\d+)/i.exec(this.buffer.toString("ascii", 0, head));
      const start = head + LINE_END.length;
      const end = start + Number(length ? length[1] : 0);
      if (this.buffer.length < end) return;
      const body = this.buffer.toString("utf8", start, end);
      this.buffer = this.buffer.subarray(end);
      if (body) this.read(JSON.parse(body));
    }
  }

  read(message) {
    if (message.method !== undefined) {
      // What it asks of the editor is granted; it asks for nothing but to be told of files.
      if (message.id !== undefined) this.write({ id: message.id, result: null });
      this.hear(message.method, message.params);
      return;
    }
    const waiting = this.waiting.get(message.id);
    this.waiting.delete(message.id);
    if (!waiting) return;
    if (message.error) waiting.reject(new Error(message.error.message));
    else waiting.resolve(message.result);
  }
}

module.exports = { Connection };
