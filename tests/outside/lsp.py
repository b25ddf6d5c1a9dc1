#!/usr/bin/env python3
"""Drives `flamacue lsp` with somebody else's client (pygls, PyPI): a recorded typing of a text, letter by
letter, and edits made by chance over the examples, once with columns of UTF-16 and once of UTF-8.

    tests/outside/lsp.py          1,000 edits
    tests/outside/lsp.py 5000     more of them
    tests/outside/lsp.py 1000 18  others: by another seed

Makes a virtual environment of its own in tests/outside/.venv. FLAMACUE names the program. Takes about a minute
on a debug build.

Holds: the program ends as it is asked to and says nothing on standard error; every request is answered; at
chosen points and at the end what the editor is told is what `flamacue check` says of the same text, each at the
same place; places lie in the text, and no token cuts a character, also where there are tabs, emoji and
combining characters.
"""

import asyncio
import pathlib
import random
import re
import shutil
import subprocess
import sys
import tempfile

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent))
import shared  # noqa: E402

shared.in_own_environment("pygls", "lsprotocol")

from lsprotocol import types as lsp  # noqa: E402
from pygls.lsp.client import LanguageClient  # noqa: E402

EDITS = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
SEED = int(sys.argv[2]) if len(sys.argv) > 2 else 17
# Texts that are edited, and how often each is compared.
TEXTS = ["book", "duet", "variations", "count-first", "prose", "kit-block", "handout-editions", "transcription"]
POINTS = 4
# The longest an answer may take, in seconds: a debug build on a machine that does much else.
PATIENCE = 60

# A text with all that is hard to count.
HARD = (
    "title: Größe 🥁 e\u0301\n\n\tfill \"🥁 tab\"\n\nfill gate \"🥁🥁 e\u0301e\u0301\"  // 🥁\n"
    "\tplay\tS.ss\tt.tt m.mm C+k k  // \t🥁\n  stik\tR.RL R.RL R.RL R\n\nSee 🥁 @gate and @nowhere.\r\n"
    "* 𝄞 @gte\n\nfill gate\n  say  \"🥁\" \"e\u0301\" x y\n  play s s s 🥁\n"
)

# What is typed, with slips that are taken back (`<`).
TYPED = (
    "title: Tues<<<<Monday\ntempo: 84\n\n# Listen 🥁 first\n\nCount *out loud*.\n\n"
    "groove loft \"The one you know\"\n  hat    x.x. x.x. x.x. x.x.\n  snare  .... X... .... X...\n"
    "  kick   x... ..x. x... ..x<x.\n\nfill crumbs \"Cru\u0301mbs\"\n  play   S.ss .s.s T.tt FF<\n"
    "  stik<<ick  R.LR .L.R L.RL R\n\ncontext\n  play: loft x3, crum<<<<<crumbs\n\nSee @crumbs.\n"
)

# What is put in by chance.
SNIPPETS = [
    "s", ".", " ", "|", "\n", "\t", "x", "R", "🥁", "e\u0301", "\u0301", "𝄞", "[", "]", "(", ":2", "%", "@", "gate",
    "\n  play  s s s s\n", "\n\nfill \"🥁\"\n\tplay\tss ss s s\n", "tempo: 90\n", "// 🥁", "\r\n", "\r", "--\n", "ß",
    "\"", "stick R L R L", "variation of gate\n  gaps: k\n", "\u00a0", "\ufeff", "include one.flam\n", "edition short\n",
]


def units(text, encoding):
    """How many columns a text takes."""
    return len(text.encode("utf-8")) if encoding == "utf-8" else len(text.encode("utf-16-le")) // 2


def lines(text):
    """The lines of a text as editors have them, each with its end."""
    return re.findall(r"[^\r\n]*(?:\r\n|\r|\n)|[^\r\n]+$|$(?![\s\S])", text)


def place(text, at, encoding):
    """The line and column of a character."""
    # A character between the two of a line end belongs to the line they end.
    if 0 < at < len(text) and text[at - 1] == "\r" and text[at] == "\n":
        at -= 1
    before = text[:at]
    start = max(before.rfind("\n"), before.rfind("\r")) + 1
    number = len(re.findall(r"\r\n|\r|\n", before))
    return lsp.Position(line=number, character=units(text[start:at], encoding))


def character(text, position, encoding):
    """The character at a line and column; it must be there, and begin there."""
    all_lines = lines(text)
    assert position.line < max(len(all_lines), 1), f"line {position.line} of {len(all_lines)}"
    start = sum(len(line) for line in all_lines[: position.line])
    line = all_lines[position.line].rstrip("\r\n") if all_lines else ""
    column = 0
    for at, one in enumerate(line):
        if column == position.character:
            return start + at
        column += units(one, encoding)
        assert column <= position.character, "a column inside a character"
    assert column == position.character, f"column {position.character} of {column}"
    return start + len(line)


class Editor:
    """A text open in the client, and the same text beside it."""

    def __init__(self, client, path, encoding):
        self.client, self.path, self.encoding = client, path, encoding
        self.uri = path.as_uri()
        # Python would make one kind of line end of all.
        self.text = path.read_bytes().decode("utf-8")
        self.version = 1
        document = lsp.TextDocumentItem(uri=self.uri, language_id="flam", version=1, text=self.text)
        client.text_document_did_open(lsp.DidOpenTextDocumentParams(text_document=document))

    def change(self, edits):
        """Makes edits: from a character, to a character, what stands there then."""
        changes = []
        for start, end, new in edits:
            if start is None:
                self.text = new
                changes.append(lsp.TextDocumentContentChangeWholeDocument(text=new))
                continue
            here, there = place(self.text, start, self.encoding), place(self.text, end, self.encoding)
            # What can't be named as a place is moved to what can.
            start = character(self.text, here, self.encoding)
            end = character(self.text, there, self.encoding)
            self.text = self.text[:start] + new + self.text[end:]
            span = lsp.Range(start=here, end=there)
            changes.append(lsp.TextDocumentContentChangePartial(range=span, text=new))
        self.version += 1
        document = lsp.VersionedTextDocumentIdentifier(uri=self.uri, version=self.version)
        params = lsp.DidChangeTextDocumentParams(text_document=document, content_changes=changes)
        self.client.text_document_did_change(params)

    def close(self):
        document = lsp.TextDocumentIdentifier(uri=self.uri)
        self.client.text_document_did_close(lsp.DidCloseTextDocumentParams(text_document=document))

    async def told(self):
        """What the program says of the text as it is."""
        document = lsp.TextDocumentIdentifier(uri=self.uri)
        # What the program says of an edit it says before it answers what is asked after it.
        params = lsp.FoldingRangeParams(text_document=document)
        await answered(self.client.text_document_folding_range_async(params))
        published = self.client.published.get(self.uri)
        return published.diagnostics if published else []

    async def compare(self):
        """Holds what is told against `check`."""
        told = await self.told()
        self.path.write_bytes(self.text.encode("utf-8"))
        expected, more = shared.checked(self.path)
        found = []
        for one in told:
            at = character(self.text, one.range.start, self.encoding)
            end = character(self.text, one.range.end, self.encoding)
            assert at <= end
            kind = "error" if one.severity == lsp.DiagnosticSeverity.Error else "warning"
            found.append((kind, str(self.path), *shared.reported(self.text, at), shared.visible(one.message.split("\n")[0])))
        found.sort()
        expected = [one for one in expected if one[1] == str(self.path)]
        if more:
            found, expected = [one for one in expected if one in found], expected
        if found != expected:
            kept = pathlib.Path(tempfile.gettempdir()) / f"lsp-differs-{SEED}.flam"
            shutil.copy(self.path, kept)
            only = [one for one in found if one not in expected]
            missing = [one for one in expected if one not in found]
            sys.exit(f"lsp: {self.path.name} (kept as {kept}), {self.encoding}:\ntold {only}\nnot told {missing}")


async def answered(asked):
    """The answer; nothing where the program says why there is none."""
    try:
        return await asyncio.wait_for(asked, PATIENCE)
    except asyncio.TimeoutError:
        sys.exit("lsp: a request was not answered")
    except Exception as refused:  # noqa: BLE001
        if "Error" in type(refused).__name__ or "Exception" in type(refused).__name__:
            return None
        raise


async def question(editor, chance):
    """Asks something at a place by chance, and looks at the places in the answer."""
    client, text, version = editor.client, editor.text, editor.version
    document = lsp.TextDocumentIdentifier(uri=editor.uri)
    at = place(text, chance.randint(0, len(text)), editor.encoding)
    here = {"text_document": document, "position": at}
    whole = lsp.Range(start=lsp.Position(line=0, character=0), end=place(text, len(text), editor.encoding))
    asked = chance.randrange(12)
    if asked == 0:
        return await answered(client.text_document_hover_async(lsp.HoverParams(**here)))
    if asked == 1:
        return await answered(client.text_document_completion_async(lsp.CompletionParams(**here)))
    if asked == 2:
        return await answered(client.text_document_definition_async(lsp.DefinitionParams(**here)))
    if asked == 3:
        context = lsp.ReferenceContext(include_declaration=True)
        return await answered(client.text_document_references_async(lsp.ReferenceParams(**here, context=context)))
    if asked == 4:
        return await answered(client.text_document_rename_async(lsp.RenameParams(**here, new_name="other")))
    if asked == 5:
        return await answered(client.text_document_document_symbol_async(lsp.DocumentSymbolParams(text_document=document)))
    if asked == 6:
        options = lsp.FormattingOptions(tab_size=2, insert_spaces=True)
        params = lsp.DocumentFormattingParams(text_document=document, options=options)
        return await answered(client.text_document_formatting_async(params))
    if asked == 7:
        params = lsp.InlayHintParams(text_document=document, range=whole)
        return await answered(client.text_document_inlay_hint_async(params))
    if asked == 8:
        params = lsp.CodeActionParams(text_document=document, range=whole, context=lsp.CodeActionContext(diagnostics=[]))
        return await answered(client.text_document_code_action_async(params))
    if asked == 9:
        # Asked and given up at once: an answer comes all the same, or that it was given up.
        asking = client.text_document_hover_async(lsp.HoverParams(**here))
        asyncio.ensure_future(asking).cancel()
        return None
    if asked == 10:
        params = lsp.FoldingRangeParams(text_document=document)
        return await answered(client.text_document_folding_range_async(params))
    tokens = await answered(
        client.text_document_semantic_tokens_full_async(lsp.SemanticTokensParams(text_document=document))
    )
    if tokens and version == editor.version:
        line = column = 0
        for nth in range(0, len(tokens.data), 5):
            down, right, length = tokens.data[nth : nth + 3]
            line, column = line + down, (right if down else column + right)
            start = lsp.Position(line=line, character=column)
            end = lsp.Position(line=line, character=column + length)
            assert character(text, start, editor.encoding) < character(text, end, editor.encoding)
    return None


async def start(folder, encoding):
    client = LanguageClient("check", "1")
    client.published = {}

    @client.feature(lsp.TEXT_DOCUMENT_PUBLISH_DIAGNOSTICS)
    def _(params):
        client.published[params.uri] = params

    await client.start_io(str(shared.program()), "lsp")
    general = lsp.GeneralClientCapabilities(position_encodings=[encoding])
    capabilities = lsp.ClientCapabilities(general=general)
    about = await client.initialize_async(
        lsp.InitializeParams(capabilities=capabilities, root_uri=folder.as_uri(), process_id=None)
    )
    assert about.capabilities.position_encoding == encoding, about.capabilities.position_encoding
    client.initialized(lsp.InitializedParams())
    return client


async def end(client):
    await client.shutdown_async(None)
    client.exit(None)
    said = (await client._server.stderr.read()).decode()
    status = await client._server.wait()
    assert status == 0 and not said, f"status {status}: {said}"
    client._stop_event.set()


def random_edits(text, chance):
    """An edit by chance, rarely several at once or a whole new text."""
    if chance.random() < 0.02:
        return [(None, None, text[: chance.randint(0, len(text))] + HARD)]
    edits = []
    for _ in range(chance.choice([1, 1, 1, 2, 3])):
        start = chance.randint(0, max(len(text) - 40, 0))
        end = min(len(text) - 40, start + chance.choice([0, 0, 0, 1, 1, 2, 7, 30]))
        new = chance.choice(SNIPPETS) if chance.random() < 0.8 else ""
        edits.append((start, max(start, end), new))
    return edits


async def by_chance(folder, encoding, edits):
    chance = random.Random(SEED)
    client = await start(folder, encoding)
    (folder / "hard.flam").write_bytes(HARD.encode("utf-8"))
    names = ["hard", *TEXTS]
    for nth, name in enumerate(names):
        editor = Editor(client, folder / f"{name}.flam", encoding)
        await editor.compare()
        share = edits // len(names) + (nth < edits % len(names))
        for count in range(1, share + 1):
            # Places of a new edit are those after the edits before it.
            for edit in random_edits(editor.text, chance):
                low = len(editor.text)
                first, last, new = edit
                editor.change([edit if first is None else (min(first, low), min(last, low), new)])
            for _ in range(chance.choice([0, 0, 1, 2])):
                await question(editor, chance)
            if count % max(share // POINTS, 1) == 0 or count == share:
                await editor.compare()
        editor.close()
    await end(client)


async def typed(folder, encoding):
    client = await start(folder, encoding)
    path = folder / "typed.flam"
    path.write_text("")
    editor = Editor(client, path, encoding)
    for count, one in enumerate(TYPED):
        length = len(editor.text)
        editor.change([(length - 1, length, "")] if one == "<" else [(length, length, one)])
        if count % 60 == 0:
            await editor.compare()
    await editor.compare()
    wrong = [one.message for one in await editor.told() if one.severity == lsp.DiagnosticSeverity.Error]
    assert not wrong, f"the text that was typed has no fault: {wrong}"
    editor.close()
    await end(client)
    return len(TYPED)


async def chapters(folder, encoding):
    """A book of several files: what is wrong in a chapter is told in the chapter, and changes on the disk are seen."""
    client = await start(folder, encoding)
    (folder / "all.flam").write_text("include one.flam\n\nSee @gate.\n")
    (folder / "one.flam").write_text("fill gate\n  play s s s s s\n")
    book = Editor(client, folder / "all.flam", encoding)
    await book.told()
    chapter = (folder / "one.flam").as_uri()
    assert [one.code for one in client.published[chapter].diagnostics], "the chapter's fault is told"
    (folder / "one.flam").write_text("fill gate\n  play s s s s\n")
    changed = lsp.FileEvent(uri=chapter, type=lsp.FileChangeType.Changed)
    client.workspace_did_change_watched_files(lsp.DidChangeWatchedFilesParams(changes=[changed]))
    await book.compare()
    assert not client.published[chapter].diagnostics, "the mended chapter has no fault"
    one = Editor(client, folder / "one.flam", encoding)
    one.change([(0, 4, "groove")])
    document = lsp.TextDocumentIdentifier(uri=book.uri)
    position = place(book.text, book.text.index("@gate") + 2, encoding)
    found = await client.text_document_definition_async(lsp.DefinitionParams(text_document=document, position=position))
    assert found.uri == chapter and found.range.start.character == 7, found
    await end(client)


async def main():
    total = 0
    for encoding in [lsp.PositionEncodingKind.Utf16, lsp.PositionEncodingKind.Utf8]:
        with tempfile.TemporaryDirectory() as name:
            folder = pathlib.Path(name).resolve() / "two wörds 🥁"
            shutil.copytree(shared.ROOT / "examples", folder, ignore=shutil.ignore_patterns("service"))
            recorded = await typed(folder, encoding.value)
            await chapters(folder, encoding.value)
            left = max(EDITS // 2 - recorded, 50)
            await by_chance(folder, encoding.value, left)
            total += recorded + left
    print(f"lsp: {total} edits, the same faults as `flamacue check`")


if __name__ == "__main__":
    asyncio.run(main())
