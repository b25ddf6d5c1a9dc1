#!/usr/bin/env python3
"""Checks the tree-sitter grammar of `editors` against the program's own reader.

    tests/outside/syntax_tree.py

Makes the parser anew with the command of tree-sitter (a crate), which needs Node, and the C compiler; says so and
passes over it where there is no Node. Parses with tree-sitter's Python binding (PyPI). FLAMACUE names the program.
Takes some ten seconds, and a minute more where the command is not installed yet.

Holds, for all examples, demos and those texts of the suite that have no error: nothing in them makes no sense to the
grammar; each line is of the kind that `flamacue lsp` says by its words and signs; each of these is coloured as what
it is; comments, keys, names and the words that blocks and rows begin with are found where the program finds them
and nowhere else; and after edits by chance a tree is that of the text read anew. A heading over a line of signs is
prose to the grammar, which does not look beyond a line of it.
"""

import ctypes
import os
import pathlib
import random
import shutil
import subprocess
import sys

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent))
import shared  # noqa: E402

shared.in_own_environment("tree_sitter")

from tree_sitter import Language, Parser, Query, QueryCursor  # noqa: E402

GRAMMAR = shared.ROOT / "editors" / "tree-sitter"
TARGET = pathlib.Path(os.environ.get("CARGO_TARGET_DIR", shared.ROOT / "target")).resolve() / "tree-sitter"
COMMAND = "0.26.13"
# Edits by chance, and what they put in.
EDITS, SEED = 400, 17
SNIPPETS = ["", "s", "\n", "\n\n", "  ", "\t", "// ", "```\n", "\"", "fill gate\n", "  play s\n", "--", "title: a\n", "🥁", "#"]

# What a word or sign of the program is coloured as: the start of a name in queries/highlights.scm.
COLOURS = {
    ("keyword", ""): "keyword",
    ("keyword", "heading"): "markup.heading",
    ("class", "declaration"): "label",
    ("class", ""): "label",
    ("string", ""): "string",
    ("property", ""): "property",
    ("enumMember", ""): ("constant", "number", "string"),
    ("function", ""): "function",
    ("variable", ""): ("variable", "variable.grace"),
    ("variable", "accented"): "variable.accented",
    ("variable", "ghosted"): "variable.ghosted",
    ("operator", "silent"): "comment.rest",
    ("operator", ""): "operator",
    ("number", ""): "number",
    ("macro", ""): "constant.mark",
    ("comment", ""): "comment",
}

# Words and signs that are to be found by both and nowhere else: nodes of the grammar, and what the program calls them.
BOTH = [
    ("comments", ["comment"], ("comment", "")),
    ("keys", ["key"], ("property", "")),
    ("words of blocks", ["block_word", "player/player"], ("keyword", "")),
    ("words of rows", ["row_word", "instrument_row/instrument"], ("function", "")),
    ("names", ["name", "kit_row/instrument"], ("class", "declaration")),
    ("references", ["reference", "parent_name"], ("class", "")),
]

# The kinds of lines.
ROWS = {f"{name}_row" for name in ("play", "instrument", "stick", "count", "words", "kit", "syllables")}
HEADS = {"setting", "heading", "part", "include", "block_head", "player", "set_break"}
KINDS = ROWS | HEADS | {"prose_line", "fence", "code_line", "closing_fence"}

# The kinds of lines in which the program names no words and signs, or only some of prose.
SILENT = {"prose_line", "fence", "code_line", "closing_fence", "set_break", ""}


def command():
    """The command of tree-sitter."""
    name = "tree-sitter"
    found = shutil.which(name)
    told = subprocess.run([found, "--version"], capture_output=True, text=True).stdout if found else ""
    if COMMAND not in told.split():
        # It needs no speed, and is built in half the time so; with Node it needs no engine of its own.
        variables = {key: value for key, value in os.environ.items() if key != "CARGO_TARGET_DIR"}
        options = ["--version", COMMAND, "--locked", "--debug", "--no-default-features"]
        subprocess.run(["cargo", "install", "tree-sitter-cli", *options], check=True, env=variables)
    return name


def language():
    """The grammar, made anew."""
    shutil.rmtree(TARGET, ignore_errors=True)
    shutil.copytree(GRAMMAR, TARGET)
    subprocess.run([command(), "generate"], check=True, cwd=TARGET)
    sources = [TARGET / "src" / name for name in ("parser.c", "scanner.c")]
    library = TARGET / "flam.so"
    warnings = ["-Wall", "-Wextra", "-Werror"]
    subprocess.run(["cc", "-shared", "-fPIC", *warnings, "-I", TARGET / "src", *sources, "-o", library], check=True)
    made = ctypes.CDLL(str(library)).tree_sitter_flam
    made.restype = ctypes.c_void_p
    capsule = ctypes.pythonapi.PyCapsule_New
    capsule.restype, capsule.argtypes = ctypes.py_object, [ctypes.c_void_p, ctypes.c_char_p, ctypes.c_void_p]
    return Language(capsule(made(), b"tree_sitter.Language", None))


def nodes(tree):
    """All nodes of a tree."""
    waiting = [tree.root_node]
    while waiting:
        node = waiting.pop()
        yield node
        waiting.extend(node.children)


def is_called(node, name):
    """Whether a node is of a kind, or `kind/kind` of what stands in another."""
    above, _, own = name.rpartition("/")
    return node.type == own and (not above or (node.parent is not None and node.parent.type == above))


class Text:
    """A file with its tree, and what the program says of it; places are lines and columns in UTF-16."""

    def __init__(self, file, parser, told):
        self.file = file
        self.bytes = file.read_bytes()
        self.raw = self.bytes.split(b"\n")
        self.lines = self.bytes.removeprefix(b"\xef\xbb\xbf").decode().split("\n")
        self.tree = parser.parse(self.bytes)
        # Headings over lines of signs.
        signed = [word for word in told if word[3:] == ("keyword", "heading") and not self.begins_heading(word[0])]
        self.told = [word for word in told if word not in signed]

    def begins_heading(self, line):
        return self.lines[line].startswith(("#", "part "))

    def place(self, point):
        line = self.raw[point.row]
        return point.row, len(line[: point.column].decode().encode("utf-16-le")) // 2

    def span(self, node):
        """Line, start and length of a node on one line."""
        line, start = self.place(node.start_point)
        last, end = self.place(node.end_point)
        # A line of code ends with its line end.
        return line, start, end - start if last == line else len(self.lines[line])

    def senseless(self):
        for node in nodes(self.tree):
            if node.type == "ERROR" or node.is_missing:
                yield f"{node.start_point.row + 1}: the grammar makes no sense of this"

    def kinds(self):
        """The kind of each line: the innermost node that is a line."""
        found = {}
        for node in nodes(self.tree):
            if node.is_named and node.type in KINDS:
                found[node.start_point.row] = (node.type, node.parent.type)
        return found

    def expected(self, line, words):
        """The kinds a line may be of, from its first word or sign, with what it may stand in."""
        words = [word for word in words if word[2:] != ("comment", "")]
        # Names begin only what is prose.
        if not words or words[0][2:] == ("class", ""):
            return {(kind, "") for kind in SILENT}
        start, _, kind, modifier = words[0]
        part = self.lines[line].startswith("part")
        return {
            ("keyword", "heading"): {("part" if part else "heading", "document")},
            ("keyword", ""): {("player" if start else "block_head", "block")},
            ("property", ""): {("setting", "block" if start else "header")},
            ("function", ""): {(f"{row}_row", "block") for row in ("play", "instrument", "stick", "count", "words")},
            ("variable", ""): {("kit_row", "block")},
            ("number", ""): {("syllables_row", "block")},
            ("string", ""): {("include", "document")},
        }.get((kind, modifier), set())

    def wrong_lines(self):
        found = self.kinds()
        words = {}
        for line, start, length, kind, modifier in self.told:
            words.setdefault(line, []).append((start, length, kind, modifier))
        for line, text in enumerate(self.lines):
            kind, above = found.get(line, ("", ""))
            expected = self.expected(line, words.get(line, []))
            is_silent = (kind, "") in expected
            # A line that says nothing has no node, and one that says something has one.
            body = text.strip() and not text.lstrip().startswith("//")
            if is_silent and kind == "" and body:
                yield f"{line + 1}: `{text}` is of no kind"
            if is_silent and kind == "set_break" and text.split("//")[0].strip() != "--":
                yield f"{line + 1}: `{text}` parts no set from another"
            if not is_silent and (kind, above) not in expected:
                yield f"{line + 1}: `{text}` is {kind} in {above}, and the program says {expected}"

    def wrong_colours(self, query):
        captures = [
            (*self.span(node), name) for name, found in QueryCursor(query).captures(self.tree.root_node).items()
            for node in found
        ]
        by_line = {}
        for line, start, length, name in captures:
            by_line.setdefault(line, []).append((start, start + length, name))
        for line, start, length, kind, modifier in self.told:
            wanted = COLOURS[kind, modifier]
            names = [name for first, last, name in by_line.get(line, []) if first < start + length and last > start]
            if not any(name.startswith(wanted) for name in names):
                word = self.lines[line][start : start + length]
                yield f"{line + 1}: `{word}` is {kind} {modifier}, and is coloured as {names}"

    def wrong_words(self):
        for what, kinds, told in BOTH:
            program = {word[:3] for word in self.told if word[3:] == told}
            grammar = {
                self.span(node) for node in nodes(self.tree) if any(is_called(node, kind) for kind in kinds)
            }
            for line, start, length in sorted(program ^ grammar):
                by = "the program" if (line, start, length) in program else "the grammar"
                word = self.lines[line][start : start + length]
                yield f"{line + 1}: of {what}, only {by} finds `{word}`"


def wrong_after_edits(parser, files):
    """Trees that are mended after edits by chance are those of the text read anew; whatever the text, it is read."""
    chance = random.Random(SEED)
    for count in range(EDITS):
        file = chance.choice(files)
        text = file.read_bytes()
        tree = parser.parse(text)
        for _ in range(3):
            start = chance.randint(0, len(text))
            end = min(len(text), start + chance.choice([0, 0, 1, 2, 9, 40]))
            new = chance.choice(SNIPPETS).encode()
            after = text[:start] + new + text[end:]
            tree.edit(
                start_byte=start, old_end_byte=end, new_end_byte=start + len(new),
                start_point=point(text, start), old_end_point=point(text, end),
                new_end_point=point(after, start + len(new)),
            )
            text, tree = after, parser.parse(after, tree)
        if str(tree.root_node) != str(parser.parse(text).root_node):
            yield f"{file.relative_to(shared.ROOT)}: edits {count} by chance: a tree that was mended is another"


def point(text, at):
    """The line and the byte in it."""
    return text.count(b"\n", 0, at), at - (text.rfind(b"\n", 0, at) + 1)


def main():
    if not shutil.which("node"):
        print("syntax_tree: there is no Node here; nothing was checked")
        return
    flam = language()
    parser = Parser(flam)
    queries = {file.stem: Query(flam, file.read_text()) for file in (GRAMMAR / "queries").glob("*.scm")}
    files = [file for folder in ("examples", "demo") for file in sorted((shared.ROOT / folder).rglob("*.flam"))]
    for file in sorted((shared.ROOT / "tests" / "suite").rglob("*.flam")):
        if subprocess.run([shared.program(), "check", file], capture_output=True).returncode == 0:
            files.append(file)
    told = shared.server_tokens(files)
    wrong, lines, words = [], 0, 0
    for file in files:
        text = Text(file, parser, told[file])
        lines, words = lines + len(text.lines), words + len(told[file])
        faults = [*text.senseless(), *text.wrong_lines(), *text.wrong_colours(queries["highlights"]), *text.wrong_words()]
        wrong += [f"{file.relative_to(shared.ROOT)}:{fault}" for fault in faults]
    wrong += wrong_after_edits(parser, files)
    if wrong:
        sys.exit("syntax_tree: {} disagreements\n{}".format(len(wrong), "\n".join(wrong[:60])))
    print(f"syntax_tree: {len(files)} files, {lines} lines, {words} words and signs, no disagreement")


if __name__ == "__main__":
    main()
