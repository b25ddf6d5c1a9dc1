#!/usr/bin/env python3
"""Checks PDF output with qpdf, poppler, MuPDF and pikepdf.

    tests/outside/pdf_check.py                 the drawing the writer tests leave behind, and files
                                               built for paper and for a printer
    tests/outside/pdf_check.py FILE.pdf...     files the program built

Needs qpdf, pdffonts, pdftotext, pdftoppm and mutool (Debian: qpdf, poppler-utils, mupdf-tools), and
makes its own virtual environment (tests/outside/.venv) with pikepdf, pymupdf, pdfua and outloud from
PyPI. The drawing of the
writer tests is made by `cargo test --test write`; its folder is CARGO_TARGET_DIR/tmp. The program is
FLAMACUE, or else target/debug/flamacue.

Beside structure, fonts and text: boxes lie in each other; the only colours are gray, or black of CMYK;
nothing is transparent; every piece of marked content is reached from the structure tree and leads back
to it, and every figure says what it shows. Each of these checks is first shown a file damaged for it,
and must refuse it.

Sources: ISO 32000-1 (8.6 colour, 11 transparency, 14.7 and 14.8 structure, 14.11.2 boxes) as these
programs read it; the picture is compared with the SVG of the same drawing as resvg draws it.
"""

import os
import pathlib
import shutil
import subprocess
import sys
import tempfile

from shared import in_own_environment, program

ROOT = pathlib.Path(__file__).resolve().parents[2]

# Letters that are rare elsewhere, and words that need a shaper.
SENTENCES = [
    "Příliš žluťoučký kůň úpěl ďábelské ódy.",
    "Ο καλύμνιος σφουγγαράς ψιθύρισε.",
    "Đường phố vắng, trẻ thổi kèn.",
    "„Größer“ und ‚süß‘, »Öl« und ẞ.",
]


class Wrong(Exception):
    """What is wrong with a file."""


def run(*command):
    return subprocess.run(command, check=True, capture_output=True).stdout


def fail(message):
    sys.exit(f"pdf_check: {message}")


def check_structure(pdf):
    result = subprocess.run(["qpdf", "--check", pdf], capture_output=True, text=True)
    if result.returncode:
        fail(f"{pdf}: qpdf --check\n{result.stdout}{result.stderr}")


def check_fonts(pdf):
    """Every face embedded, cut down, and readable as Unicode."""
    rows = run("pdffonts", pdf).decode().splitlines()[2:]
    for row in rows:
        embedded, subset, unicode_map = row.split()[-5:-2]
        if (embedded, subset, unicode_map) != ("yes", "yes", "yes"):
            fail(f"{pdf}: {row}")
    return len(rows)


def text_of(pdf, *options):
    return run("pdftotext", *options, pdf, "-").decode()


def check_text(pdf):
    """No sign of the music font and no unknown character in copied text."""
    for options in [(), ("-layout",), ("-raw",)]:
        for letter in text_of(pdf, *options):
            if 0xE000 <= ord(letter) <= 0xF8FF or letter == "\ufffd":
                fail(f"{pdf}: U+{ord(letter):04X} in copied text")


def read_pgm(data):
    head, rest = data.split(maxsplit=4)[:4], data
    if head[0] != b"P5":
        fail("not a PGM")
    width, height = int(head[1]), int(head[2])
    return width, height, rest[-width * height:]


def check_picture(pdf, expected):
    """The PDF as poppler draws it against the SVG as resvg draws it: no pixel whose whole
    neighbourhood disagrees, and nearly the same amount of ink."""
    drawn = run("pdftoppm", "-r", "288", "-gray", pdf)
    width, height, ours = read_pgm(drawn)
    theirs_width, theirs_height, theirs = read_pgm(expected.read_bytes())
    if (width, height) != (theirs_width, theirs_height):
        fail(f"{pdf}: {width} x {height} pixels, not {theirs_width} x {theirs_height}")
    ink = lambda pixels: sum(255 - value for value in pixels)
    # poppler draws thin boxes whole pixels wide.
    if not 0.92 < ink(ours) / ink(theirs) < 1.08:
        fail(f"{pdf}: {ink(ours)} and {ink(theirs)} units of ink")
    lost = 0
    for y in range(1, height - 1):
        for x in range(1, width - 1):
            at = y * width + x
            if abs(ours[at] - theirs[at]) > 128:
                near = [theirs[at + dy * width + dx] for dy in (-1, 0, 1) for dx in (-1, 0, 1)]
                if all(abs(ours[at] - value) > 128 for value in near):
                    lost += 1
    if lost:
        fail(f"{pdf}: {lost} pixels of ink stand elsewhere than in the SVG")


def check_drawing(folder):
    pdf = folder / "drawing.pdf"
    if not pdf.exists():
        fail(f"{pdf} is not there; run `cargo test --test write` first")
    check_structure(pdf)
    if check_fonts(pdf) != 4:
        fail(f"{pdf}: not the four faces of the drawing")
    check_text(pdf)
    expected = [
        "Fiddle & “flam” AV",
        "1 & 2",
        "R L R",
        "An official café <waffle> & é",
        "to fly softly",
    ]
    lines = [line for line in text_of(pdf, "-raw").replace("\f", "").splitlines() if line]
    if lines != expected:
        fail(f"{pdf}: reads as {lines}")
    info = run("pdfinfo", pdf).decode()
    if "CreationDate" in info or "Fiddle & “flam”" not in info:
        fail(f"{pdf}: information\n{info}")
    check_picture(pdf, folder / "drawing.pgm")


def check_boxes(document):
    """Each box lies in the one around it (14.11.2)."""
    inside = lambda a, b: a[0] >= b[0] and a[1] >= b[1] and a[2] <= b[2] and a[3] <= b[3]
    for number, page in enumerate(document.pages, 1):
        box = lambda name: [float(x) for x in page.get(name, page.TrimBox)]
        media, bleed, trim = box("/MediaBox"), box("/BleedBox"), box("/TrimBox")
        if not (inside(trim, bleed) and inside(bleed, media)):
            raise Wrong(f"page {number}: boxes {trim}, {bleed}, {media}")
        if trim[:2] != [0, 0]:
            raise Wrong(f"page {number}: the trimmed page begins at {trim[:2]}")


COLOURS = "g G rg RG k K cs CS sc SC scn SCN sh".split()


def check_ink(document):
    """Gray, or black of CMYK, and nothing transparent."""
    import pikepdf

    for number, page in enumerate(document.pages, 1):
        for operands, operator in pikepdf.parse_content_stream(page):
            name = str(operator)
            if name not in COLOURS:
                continue
            black_only = name in "kK" and [float(x) for x in operands[:3]] == [0, 0, 0]
            if name not in "gG" and not black_only:
                raise Wrong(f"page {number}: colour {[str(x) for x in operands]} {name}")
        if "/Group" in page:
            raise Wrong(f"page {number}: a transparency group")
    for thing in document.objects:
        if not isinstance(thing, (pikepdf.Dictionary, pikepdf.Stream)):
            continue
        if "/SMask" in thing and thing.SMask != pikepdf.Name("/None"):
            raise Wrong("a soft mask")
        if any(key in thing and float(thing[key]) < 1 for key in ("/ca", "/CA")):
            raise Wrong("half-transparent ink")


def marked(page):
    """The numbers of a page's marked content; ink and words outside of it are a fault."""
    import pikepdf

    found, open_marks = [], []
    for operands, operator in pikepdf.parse_content_stream(page):
        name = str(operator)
        if name in ("BMC", "BDC"):
            properties = operands[1] if name == "BDC" else {}
            open_marks.append(str(operands[0]))
            if "/MCID" in properties:
                found.append(int(properties["/MCID"]))
        elif name == "EMC":
            open_marks.pop()
        elif name in ("TJ", "Tj", "f", "f*", "S", "B") and not open_marks:
            raise Wrong(f"{name} outside of marked content")
    if open_marks:
        raise Wrong("marked content left open")
    return found


def check_tags(document):
    """The structure tree and the marked content of the pages are one (14.7)."""
    import pikepdf

    root = document.Root
    if "/StructTreeRoot" not in root or not bool(root.MarkInfo.Marked):
        raise Wrong("no structure")
    pages = {page.objgen: number for number, page in enumerate(document.pages)}
    reached, links, kinds = {}, set(), []
    waiting = [(kid, None) for kid in root.StructTreeRoot.K]
    while waiting:
        element, parent = waiting.pop()
        if parent is not None and element.P.objgen != parent.objgen:
            raise Wrong(f"{element.S} does not lead back to its parent")
        kinds.append(str(element.S))
        if element.S == "/Figure" and not str(element.get("/Alt", "")):
            raise Wrong("a figure that says nothing")
        for kid in element.K:
            if isinstance(kid, int):
                page, number = element.Pg, kid
            elif kid.get("/Type") == "/MCR":
                page, number = kid.Pg, int(kid.MCID)
            elif kid.get("/Type") == "/OBJR":
                links.add(kid.Obj.objgen)
                continue
            else:
                waiting.append((kid, element))
                continue
            place = (pages[page.objgen], number)
            if place in reached:
                raise Wrong(f"marked content {place} has two elements")
            reached[place] = element.objgen
    numbers = root.StructTreeRoot.ParentTree.Nums
    parents = {int(numbers[at]): numbers[at + 1] for at in range(0, len(numbers), 2)}
    there = set()
    for number, page in enumerate(document.pages):
        for content in marked(page):
            there.add((number, content))
            back = parents[int(page.StructParents)][content]
            if reached.get((number, content)) != back.objgen:
                raise Wrong(f"page {number + 1}: marked content {content} is not in the tree")
        for link in page.get("/Annots", []):
            if link.objgen not in links or int(link.StructParent) not in parents:
                raise Wrong(f"page {number + 1}: a link that is not in the tree")
    if set(reached) - there:
        raise Wrong(f"the tree names content that is not there: {set(reached) - there}")
    return kinds


def check_with_pikepdf(pdf, tagged=True):
    import pikepdf

    with pikepdf.open(pdf) as document:
        check_boxes(document)
        check_ink(document)
        return check_tags(document) if tagged else []


def check_with_mutool(pdf):
    """MuPDF reads, cleans and draws it without a warning."""
    with tempfile.TemporaryDirectory() as folder:
        out = pathlib.Path(folder) / "out"
        for command in [["clean", pdf, f"{out}.pdf"], ["info", pdf],
                        ["draw", "-q", "-F", "stext", "-o", f"{out}.xml", pdf]]:
            result = subprocess.run(["mutool", *command], capture_output=True, text=True)
            said = [line for line in result.stderr.splitlines()
                    if ("warning" in line or "error" in line) and "ICC support" not in line]
            if result.returncode or said:
                raise Wrong(f"mutool {command[0]}: {said or result.stderr}")


def damaged(pdf, how, folder):
    """A copy of a file with one thing wrong."""
    import pikepdf

    wrong = folder / "wrong.pdf"
    if how == "bytes":
        data = pdf.read_bytes()
        middle = data.index(b"stream") + 40
        wrong.write_bytes(data[:middle] + bytes(40) + data[middle + 40 :])
        return wrong
    with pikepdf.open(pdf) as document:
        page = document.pages[0]
        elements = [thing for thing in document.objects
                    if isinstance(thing, pikepdf.Dictionary) and thing.get("/S") is not None]
        figure = next(element for element in elements if element.get("/S") == "/Figure")
        content = lambda old, new: page.Contents.read_bytes().replace(old, new, 1)
        if how == "trim":
            page.TrimBox = [0, 0, 2000, 2000]
        elif how == "colour":
            page.Contents = document.make_stream(b"1 0 0 rg " + page.Contents.read_bytes())
        elif how == "transparent":
            state = pikepdf.Dictionary(ca=0.5)
            page.Resources.ExtGState = pikepdf.Dictionary(Half=document.make_indirect(state))
        elif how == "alt":
            del figure.Alt
        elif how == "number":
            page.Contents = document.make_stream(content(b"/MCID 0", b"/MCID 77"))
        elif how == "unmarked":
            page.Contents = document.make_stream(page.Contents.read_bytes() + b" 0 0 1 1 re f")
        elif how == "parent":
            figure.P = figure
        document.save(wrong)
    return wrong


DAMAGE = ["trim", "colour", "transparent", "alt", "number", "unmarked", "parent"]


def refuses(check, pdf):
    try:
        check(pdf)
    except (Wrong, IndexError, KeyError):
        return True
    return False


PROSE = """title: Prose
index: exercises

Words with a mark[^a], `code` and a [link](https://loft.example), or @out.

- one
  - inner

> quoted

| a | b |
|---|--:|
| c | d |

    code

[^a]: A note.

fill out "The way out"
  play   S.ss t.tt m.mm C+k
"""


def check_universal(pdf):
    """What ISO 14289-1 asks of every file, as far as pdfua and outloud look for it."""
    import pikepdf

    with pikepdf.open(pdf) as document:
        if str(document.Root.get("/Lang", "")) == "":
            raise Wrong("no language")
        if b"<pdfuaid:part>1</pdfuaid:part>" not in document.Root.Metadata.read_bytes():
            raise Wrong("no identifier of PDF/UA")
    for command in [["pdfua", "check"], ["outloud"]]:
        checker = pathlib.Path(sys.executable).parent / command[0]
        result = subprocess.run([checker, *command[1:], pdf], capture_output=True, text=True)
        if result.returncode:
            raise Wrong(f"{command[0]}: {result.stdout}{result.stderr}")


def check_table(pdf):
    """The table of the objects is a compressed stream (7.5.8)."""
    data = pdf.read_bytes()
    start = int(data[data.rindex(b"startxref") + 9 :].split()[0])
    head = data[start : start + 400]
    if b"/XRef" not in head or b"/FlateDecode" not in head:
        raise Wrong("the table of the objects is not compressed")


def check_copied(pdf):
    """Music reads as words or as nothing, in no private-use letters."""
    private = [c for c in text_of(pdf) if "\ue000" <= c <= "\uf8ff"]
    if private:
        raise Wrong(f"private-use letters are copied: {private[:5]}")
    # What a program sees that knows no replacements.
    import pymupdf

    with pymupdf.open(pdf) as document:
        text = "".join(page.get_text() for page in document)
    if any("\ue000" <= c <= "\uf8ff" for c in text):
        raise Wrong("private-use letters are copied by MuPDF")


def check_made(folder):
    """Files for paper and for a printer, and the same damaged."""
    (folder / "words.flam").write_text(
        "title: Words of four languages\ncontents: exercises\nkey: first page\n\n# Hands\n\n"
        + "\n\n".join(SENTENCES)
        + "\n\n- one\n- two\n\nfill \"Out\"\n  play   S.ss t.tt m.mm C+k\n  stick  R.RL R.RL R.RL R\n"
    )
    (folder / "prose.flam").write_text(PROSE)
    demo = ROOT / "demo" / "over-the-bakery.flam"
    files = []
    for name, text, options in [
        ("words", folder / "words.flam", []),
        ("prose", folder / "prose.flam", []),
        ("demo", demo, []),
        ("printer", demo, ["--cmyk", "--bleed", "3", "--crop-marks"]),
        ("booklet", demo, ["--booklet"]),
    ]:
        pdf = folder / f"{name}.pdf"
        subprocess.run([program(), "build", text, "-o", pdf, *options], check=True)
        files.append((pdf, name != "booklet"))
    for how in DAMAGE:
        if not refuses(check_with_pikepdf, damaged(files[0][0], how, folder)):
            fail(f"a file with a wrong {how} was let through")
    if not refuses(check_with_mutool, damaged(files[0][0], "bytes", folder)):
        fail("mutool let a file with wrong bytes through")
    for pdf, tagged in files:
        check_file(pdf, tagged)
    for pdf, _ in files[:3]:
        try:
            check_universal(pdf)
            check_table(pdf)
            check_copied(pdf)
        except Wrong as wrong:
            fail(f"{pdf}: {wrong}")
    kinds = check_with_pikepdf(files[1][0])
    for kind in "BlockQuote Table TR TH TD Code Note Lbl Reference Link".split():
        if f"/{kind}" not in kinds:
            fail(f"no {kind} in {kinds}")
    kinds = check_with_pikepdf(files[0][0])
    for kind in "H1 H2 P L LI LBody TOC TOCI Link Figure".split():
        if f"/{kind}" not in kinds:
            fail(f"no {kind} in {kinds}")
    text = " ".join(text_of(files[0][0]).split())
    for sentence in SENTENCES:
        if sentence not in text:
            fail(f"{sentence} reads as {text}")


def check_file(pdf, tagged=True):
    check_structure(pdf)
    check_fonts(pdf)
    check_text(pdf)
    try:
        check_with_pikepdf(pdf, tagged)
        check_with_mutool(pdf)
    except Wrong as wrong:
        fail(f"{pdf}: {wrong}")


def main(files):
    for tool in ["qpdf", "pdffonts", "pdftotext", "pdftoppm", "pdfinfo", "mutool"]:
        if not shutil.which(tool):
            fail(f"{tool} is not installed")
    in_own_environment("pikepdf", "pdfua", "outloud", "pymupdf")
    if not files:
        target = pathlib.Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target"))
        check_drawing(target / "tmp")
        with tempfile.TemporaryDirectory() as folder:
            check_made(pathlib.Path(folder))
    for pdf in files:
        check_file(pdf)
    print("pdf_check: all good")


if __name__ == "__main__":
    main(sys.argv[1:])
