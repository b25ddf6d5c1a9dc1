#!/usr/bin/env python3
"""Checks the TextMate grammar of `editors` with the engine that editors use (npm: vscode-textmate) and its tester
(vscode-tmgrammar-test).

    tests/outside/highlight.py

Needs Node, and fetches both from npm into the target folder; says so and passes over it where there is no Node.
FLAMACUE names the program. Takes some ten seconds.

Holds: the signs in tests/outside/highlight/scopes.flam have the scopes written under them; and in all examples
every word and sign that `flamacue lsp` calls a key, a row, a letter, a rest, a barline, a name or a comment has
a scope of that kind.
"""

import json
import os
import pathlib
import shutil
import subprocess
import sys

import shared

HERE = pathlib.Path(__file__).resolve().parent / "highlight"
GRAMMAR = shared.ROOT / "editors" / "flamacue" / "syntaxes" / "flam.tmLanguage.json"
TARGET = pathlib.Path(os.environ.get("CARGO_TARGET_DIR", shared.ROOT / "target"))
MODULES = TARGET / "highlight"
TESTER = "vscode-tmgrammar-test@0.1.3"

# What a token of the program may be for the grammar: the start of one of its scopes. Of values, marks and
# syllables the grammar knows less, and words of prose are not told of by the program.
SCOPES = {
    ("keyword", ""): ["keyword.control"],
    ("keyword", "heading"): ["markup.heading"],
    ("class", "declaration"): ["entity.name"],
    ("class", ""): ["variable.other"],
    ("string", ""): ["string", "markup.heading"],
    ("property", ""): ["support.type.property-name"],
    ("function", ""): ["support.function.row", "support.class.instrument"],
    ("variable", ""): ["variable.parameter.letter", "constant.language.hand", "variable.language.grace"],
    ("variable", "accented"): ["markup.bold.accent"],
    ("variable", "ghosted"): ["variable.other.ghost", "variable.parameter.letter"],
    ("operator", "silent"): ["comment.rest"],
    ("operator", ""): ["keyword.operator"],
    ("comment", ""): ["comment.line"],
}


def disagreements(file, tokens, lines):
    """Tokens that the grammar takes for something else."""
    text = file.read_text().splitlines()
    for line, start, length, kind, modifier in tokens:
        wanted = SCOPES.get((kind, modifier))
        if wanted is None:
            continue
        inside = [scopes for first, last, scopes in lines[line] if first < start + length and last > start]
        found = [scope for scopes in inside for scope in scopes]
        if not any(scope.startswith(start) for scope in found for start in wanted):
            word = text[line][start : start + length]
            yield f"{file.name}:{line + 1}: `{word}` is {kind} {modifier}, and the grammar says {found}"


def main():
    if not shutil.which("npm"):
        print("highlight: there is no Node here; nothing was checked")
        return
    if not (MODULES / "node_modules" / "vscode-tmgrammar-test").exists():
        MODULES.mkdir(parents=True, exist_ok=True)
        install = ["npm", "install", "--silent", "--no-audit", "--no-fund", "--prefix", MODULES, TESTER]
        subprocess.run(install, check=True)
    tester = MODULES / "node_modules" / ".bin" / "vscode-tmgrammar-test"
    subprocess.run([tester, "-g", GRAMMAR, HERE / "scopes.flam"], check=True, stdout=subprocess.DEVNULL)
    files = sorted((shared.ROOT / "examples").rglob("*.flam"))
    told = shared.server_tokens(files)
    tokenize = ["node", HERE / "tokenize.mjs", MODULES, GRAMMAR, *files]
    lines = json.loads(subprocess.run(tokenize, check=True, capture_output=True).stdout)
    wrong = [fault for file in files for fault in disagreements(file, told[file], lines[str(file)])]
    if wrong:
        sys.exit("highlight: {} disagreements\n{}".format(len(wrong), "\n".join(wrong[:40])))
    count = sum(map(len, told.values()))
    print(f"highlight: {len(files)} files, {count} words and signs, no disagreement")


if __name__ == "__main__":
    main()
