#!/usr/bin/env python3
"""Builds a made-up book of some three hundred pages and checks it with other people's tools.

    tests/outside/book_check.py [CHAPTERS]

Prints time and peak memory of the whole process, and bytes a page; build with --release and name the
program in FLAMACUE for numbers that mean something. Needs qpdf and poppler (Debian: qpdf,
poppler-utils); mutool (Debian: mupdf-tools) is used where it is there.

Holds: qpdf finds no fault; every line of the contents names the page whose extracted text has that
title; the outline, as mutool reads it, leads to the same pages.

Source: ISO 32000-1 as qpdf, poppler and MuPDF read it.
"""

import os
import pathlib
import random
import re
import resource
import shutil
import subprocess
import sys
import tempfile
import time

ROOT = pathlib.Path(__file__).resolve().parents[2]
BEATS = ["s.ss", "ssss", "sss", "t.tt", "m", "ff", "S.s.", "kk", "''s", "(s).ss", "[ss]s"]


def fail(message):
    sys.exit(f"book_check: {message}")


def book(chapters):
    dice = random.Random(11)
    lines = ["title: The Long Way Round", "author: Isolde Quarrier", "language: en", "page: 6 x 9 in",
             "staff-height: 6 mm", "binding: 8 mm", "contents: exercises", "chapters: right-page", ""]
    titles = []
    for chapter in range(1, chapters + 1):
        titles.append(f"Street {chapter} of the town")
        lines += [f"# {titles[-1]}", ""]
        for house in range(1, 41):
            if house % 6 == 1:
                lines += ["Walk down it *slowly* " + "and look at every door " * dice.randint(2, 12), ""]
            titles.append(f"House {chapter}-{house} stands open")
            lines.append(f'exercise "{titles[-1]}"')
            small = house % 8 in (3, 4, 5, 6)
            if small:
                lines += ["  columns: 2", "  time: 2/4"]
            bars = 1 if small else dice.randint(1, 4)
            bar = lambda: " ".join(dice.choice(BEATS) for _ in range(2 if small else 4))
            lines += ["  play  " + " | ".join(bar() for _ in range(bars)), ""]
    return "\n".join(lines), titles


def main():
    program = os.environ.get("FLAMACUE") or ROOT / "target" / "debug" / "flamacue"
    chapters = int(sys.argv[1]) if len(sys.argv) > 1 else 25
    text, titles = book(chapters)
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        (folder / "book.flam").write_text(text)
        pdf = folder / "book.pdf"
        start = time.perf_counter()
        subprocess.run([program, "build", folder / "book.flam"], check=True)
        seconds = time.perf_counter() - start
        peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
        result = subprocess.run(["qpdf", "--check", pdf], capture_output=True, text=True)
        if result.returncode:
            fail(result.stdout + result.stderr)
        pages = subprocess.run(["pdftotext", "-layout", pdf, "-"], check=True, capture_output=True,
                               text=True).stdout.split("\f")[:-1]
        stated = {}
        entry = re.compile(r"^\s*(?:\d+\s+)?((?:Street|House) .+?)[\s.]*\.[\s.]*\s(\d+)\s*$")
        for page in pages:
            for line in page.splitlines():
                if found := entry.match(line):
                    stated[found.group(1)] = int(found.group(2))
        missing = [title for title in titles if title not in stated]
        if missing:
            fail(f"{len(missing)} titles are not in the contents: {missing[:3]}")
        bodies = ["\n".join(l for l in page.splitlines() if not entry.match(l)) for page in pages]
        for title, number in stated.items():
            if title not in bodies[number - 1]:
                fail(f"{title} is said to be on page {number} and is not")
        if shutil.which("mutool"):
            shown = subprocess.run(["mutool", "show", pdf, "outline"], check=True, capture_output=True,
                                   text=True).stdout
            led = dict(re.findall(r'"(?:\d+  )?(.+)"\s+#page=(\d+)', shown))
            for title in titles:
                if int(led.get(title, 0)) != stated[title]:
                    fail(f"the outline leads {title} to {led.get(title)}, not {stated[title]}")
        size = pdf.stat().st_size
        print(f"book_check: {len(pages)} pages, {len(titles)} entries true; {seconds:.2f} s, "
              f"{peak:.0f} MB at most, {size / len(pages):.0f} bytes a page")


if __name__ == "__main__":
    main()
