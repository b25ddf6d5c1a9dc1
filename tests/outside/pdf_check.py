#!/usr/bin/env python3
"""Checks PDF output with qpdf and poppler.

    tests/outside/pdf_check.py                 the drawing the writer tests leave behind
    tests/outside/pdf_check.py FILE.pdf...     files the program built

Needs qpdf, pdffonts, pdftotext and pdftoppm (Debian: qpdf, poppler-utils). The drawing of the
writer tests is made by `cargo test --test write`; its folder is CARGO_TARGET_DIR/tmp.

Sources: ISO 32000-1 as qpdf and poppler read it; the picture is compared with the SVG of the
same drawing as resvg draws it.
"""

import os
import pathlib
import shutil
import subprocess
import sys

ROOT = pathlib.Path(__file__).resolve().parents[2]


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


def main(files):
    for tool in ["qpdf", "pdffonts", "pdftotext", "pdftoppm", "pdfinfo"]:
        if not shutil.which(tool):
            fail(f"{tool} is not installed")
    if not files:
        target = pathlib.Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target"))
        check_drawing(target / "tmp")
    for pdf in files:
        check_structure(pdf)
        check_fonts(pdf)
        check_text(pdf)
    print("pdf_check: all good")


if __name__ == "__main__":
    main(sys.argv[1:])
