#!/usr/bin/env python3
"""Plays a recorded session to `flamacue lsp` with another client than lsp.py has (pytest-lsp, PyPI), as two kinds
of editors that say of themselves what those of its lists say; columns are of UTF-16 and of UTF-8.

    tests/outside/lsp_recorded.py

Makes a virtual environment of its own in tests/outside/.venv. FLAMACUE names the program. Takes about a minute
on a debug build.

The session is lsp_recorded/session.jsonl: one line for each thing done, with places as line and column of UTF-16.

    ["type", at, text]          typed letter by letter, one edit each
    ["rub", at, count]          letters before the cursor rubbed out, one edit each
    ["put", from, to, text]     something else in the place of a range
    ["many", [[from, to, text], ...]]   several of them in one message
    ["all", text]               a whole new text
    ["faults", code, ...]       what is told now, by codes, and the same as `flamacue check` says
    ["hover", at, over, words]  what a hover says, and over which part of the text
    ["define", at, name]        the name a definition leads to
    ["references", at, name, count]
    ["mend", at, from, to]      a quick fix that is offered, and what it puts for what
    ["symbol", name]            a name in the outline, with the line it selects

Holds: what the editor is told is what `flamacue check` says, at the same places; the places of answers are those of
the words they speak of; and nothing is sent that the editor has not said it takes.
"""

import itertools
import json
import pathlib
import sys
import tempfile
import warnings

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent))
import shared  # noqa: E402

shared.in_own_environment("pytest_lsp")

import pytest  # noqa: E402
from lsprotocol import types as lsp  # noqa: E402
from pygls.workspace import PositionCodec, ServerTextPosition, TextDocument  # noqa: E402
from pytest_lsp import LspSpecificationWarning, client_capabilities, make_test_lsp_client  # noqa: E402

SESSION = pathlib.Path(__file__).resolve().parent / "lsp_recorded" / "session.jsonl"
UTF16 = PositionCodec(encoding=lsp.PositionEncodingKind.Utf16)


class Desk:
    """A client, the text it has open, and the same text beside it."""

    def __init__(self, client, path, encoding):
        self.client, self.path, self.uri = client, path, path.as_uri()
        codec = PositionCodec(encoding=encoding)
        self.document = TextDocument(self.uri, source="", version=1, language_id="flam", position_codec=codec)
        item = lsp.TextDocumentItem(uri=self.uri, language_id="flam", version=1, text="")
        client.text_document_did_open(lsp.DidOpenTextDocumentParams(text_document=item))
        self.edits = 0

    def name(self):
        return lsp.TextDocumentIdentifier(uri=self.uri)

    def place(self, recorded):
        """A recorded place in the client's columns."""
        place = lsp.Position(*recorded)
        if self.is_end(place):
            return place
        return self.document.position_to_client_units(UTF16.position_from_client_units(self.document.lines, place))

    def before(self, line, column):
        """The recorded place one letter, or one line end, before another."""
        if column == 0:
            return line - 1, UTF16.client_num_units(self.document.lines[line - 1].rstrip("\r\n"))
        at = UTF16.position_from_client_units(self.document.lines, lsp.Position(line, column))
        return line, column - UTF16.client_num_units(self.document.lines[line][at.character - 1])

    def is_end(self, place):
        """Whether a place is the empty line after the last line end, which the client's text has no line for."""
        return place == lsp.Position(len(self.document.lines), 0) and self.document.source[-1:] in ("", "\r", "\n")

    def offset(self, place):
        """The character at a place the program named; it must be there, and begin there."""
        if self.is_end(place):
            return len(self.document.source)
        assert place.line < len(self.document.lines), f"no line of the text: {place}"
        at = self.document.position_from_client_units(lsp.Position(place.line, place.character))
        assert self.document.position_to_client_units(at) == place, f"no place of the text: {place}"
        return self.document.offset_at_position(place)

    def words(self, span):
        """What stands in a range the program named."""
        return self.document.source[self.offset(span.start) : self.offset(span.end)]

    def change(self, *changes):
        """One message of edits, each at places after those before it."""
        sent = []
        for start, end, text in changes:
            span = lsp.Range(start=self.place(start), end=self.place(end))
            change = lsp.TextDocumentContentChangePartial(range=span, text=text)
            self.document.apply_change(change)
            sent.append(change)
        self.send(sent)

    def send(self, changes):
        self.edits += 1
        version = self.edits + 1
        document = lsp.VersionedTextDocumentIdentifier(uri=self.uri, version=version)
        params = lsp.DidChangeTextDocumentParams(text_document=document, content_changes=changes)
        self.client.text_document_did_change(params)

    async def told(self):
        # What the program says of an edit it says before it answers what is asked after it.
        await self.client.text_document_folding_range_async(lsp.FoldingRangeParams(text_document=self.name()))
        return self.client.diagnostics.get(self.uri, [])

    async def faults(self, codes):
        told = await self.told()
        self.path.write_bytes(self.document.source.encode("utf-8"))
        expected, more = shared.checked(self.path)
        assert not more
        found = []
        for one in told:
            at = self.offset(one.range.start)
            assert at <= self.offset(one.range.end)
            kind = "error" if one.severity == lsp.DiagnosticSeverity.Error else "warning"
            message = shared.visible(one.message.split("\n")[0])
            found.append((kind, str(self.path), *shared.reported(self.document.source, at), message))
        assert sorted(found) == expected
        assert [one.code for one in told] == codes, found

    def at(self, recorded):
        return {"text_document": self.name(), "position": self.place(recorded)}

    async def hover(self, at, over, words):
        answer = await self.client.text_document_hover_async(lsp.HoverParams(**self.at(at)))
        assert answer, f"nothing is said of `{over}`"
        assert (self.words(answer.range), answer.contents.value) == (over, words)

    async def define(self, at, name):
        answer = await self.client.text_document_definition_async(lsp.DefinitionParams(**self.at(at)))
        assert self.words(answer.range) == name

    async def references(self, at, name, count):
        context = lsp.ReferenceContext(include_declaration=True)
        params = lsp.ReferenceParams(**self.at(at), context=context)
        answer = await self.client.text_document_references_async(params)
        assert [self.words(one.range) for one in answer] == [name] * count

    async def mend(self, at, was, then):
        here = self.place(at)
        context = lsp.CodeActionContext(diagnostics=[])
        params = lsp.CodeActionParams(
            text_document=self.name(), range=lsp.Range(start=here, end=here), context=context
        )
        offered = await self.client.text_document_code_action_async(params)
        edits = itertools.chain(*(edits_of(action.edit, self.uri) for action in offered))
        assert [(self.words(one.range), one.new_text) for one in edits] == [(was, then)]

    async def symbol(self, name, selected):
        params = lsp.DocumentSymbolParams(text_document=self.name())
        waiting = list(await self.client.text_document_document_symbol_async(params))
        found = {}
        while waiting:
            one = waiting.pop()
            found[one.name] = self.words(one.selection_range)
            waiting.extend(one.children or [])
        assert found.get(name) == selected, found

    async def play(self, entry):
        match entry:
            case ["type", [line, column], text]:
                for letter in text:
                    self.change([(line, column), (line, column), letter])
                    line, column = (line + 1, 0) if letter == "\n" else (line, column + UTF16.client_num_units(letter))
            case ["rub", [line, column], count]:
                for _ in range(count):
                    start = self.before(line, column)
                    self.change([start, (line, column), ""])
                    line, column = start
            case ["put", start, end, text]:
                self.change([start, end, text])
            case ["many", changes]:
                self.change(*changes)
            case ["all", text]:
                change = lsp.TextDocumentContentChangeWholeDocument(text=text)
                self.document.apply_change(change)
                self.send([change])
            case ["faults", *codes]:
                await self.faults(codes)
            case ["hover", at, over, words]:
                await self.hover(at, over, words)
            case ["define", at, name]:
                await self.define(at, name)
            case ["references", at, name, count]:
                await self.references(at, name, count)
            case ["mend", at, was, then]:
                await self.mend(at, was, then)
            case ["symbol", name, selected]:
                await self.symbol(name, selected)
            case _:
                pytest.fail(f"no such entry: {entry}")


def edits_of(edit, uri):
    """The edits of a text in what a fix does."""
    for change in edit.document_changes or []:
        assert change.text_document.uri == uri
        yield from change.edits
    yield from (edit.changes or {}).get(uri, [])


@pytest.mark.asyncio
@pytest.mark.parametrize(
    ("editor", "encoding"),
    [("visual-studio-code", lsp.PositionEncodingKind.Utf16), ("neovim", lsp.PositionEncodingKind.Utf8)],
)
async def test_a_recorded_session(editor, encoding):
    capabilities = client_capabilities(editor)
    capabilities.general.position_encodings = [encoding]
    client = make_test_lsp_client()
    await client.start_io(str(shared.program()), "lsp")
    with tempfile.TemporaryDirectory() as folder, warnings.catch_warnings(record=True) as said:
        warnings.simplefilter("always")
        path = pathlib.Path(folder).resolve() / "tuesday 🥁.flam"
        about = await client.initialize_session(
            lsp.InitializeParams(capabilities=capabilities, root_uri=path.parent.as_uri())
        )
        assert about.capabilities.position_encoding == encoding
        desk = Desk(client, path, encoding)
        for number, line in enumerate(SESSION.read_text("utf-8").splitlines(), 1):
            try:
                await desk.play(json.loads(line))
            except AssertionError as fault:
                fault.add_note(f"line {number} of {SESSION.name}: {line}")
                raise
        closed = lsp.DidCloseTextDocumentParams(text_document=desk.name())
        client.text_document_did_close(closed)
        await client.shutdown_session()
        assert client._server.returncode == 0
    assert not [str(one.message) for one in said if issubclass(one.category, LspSpecificationWarning)]
    assert client.error is None
    print(f"{desk.edits} edits")


if __name__ == "__main__":
    settings = ["asyncio_mode=strict", "asyncio_default_fixture_loop_scope=function"]
    options = [option for setting in settings for option in ("-o", setting)]
    quiet = ["-q", "-p", "no:cacheprovider", "-W", "ignore::pytest.PytestAssertRewriteWarning"]
    sys.exit(pytest.main([*quiet, "-c", "/dev/null", *options, __file__]))
