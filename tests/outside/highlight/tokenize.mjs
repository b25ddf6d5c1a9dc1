// The scopes that a TextMate grammar gives to the words of files, as JSON: for each file its lines, and for each of
// these the start, the end and the scopes of its tokens. Columns are those of UTF-16.
//
//     node tokenize.mjs MODULES GRAMMAR FILE...

import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";

const [modules, grammarFile, ...files] = process.argv.slice(2);
const require = createRequire(join(modules, "node_modules", "x.js"));
const { Registry, INITIAL, parseRawGrammar } = require("vscode-textmate");
const { loadWASM, createOnigScanner, createOnigString } = require("vscode-oniguruma");

await loadWASM(readFileSync(require.resolve("vscode-oniguruma/release/onig.wasm")).buffer);
const registry = new Registry({
  onigLib: Promise.resolve({ createOnigScanner, createOnigString }),
  loadGrammar: async () => parseRawGrammar(readFileSync(grammarFile, "utf8"), grammarFile),
});
const grammar = await registry.loadGrammar("source.flam");

const told = {};
for (const file of files) {
  let stack = INITIAL;
  told[file] = readFileSync(file, "utf8").split(/\r\n|\r|\n/).map((line) => {
    const { tokens, ruleStack } = grammar.tokenizeLine(line, stack);
    stack = ruleStack;
    return tokens.map(({ startIndex, endIndex, scopes }) => [startIndex, endIndex, scopes.slice(1)]);
  });
}
console.log(JSON.stringify(told));
