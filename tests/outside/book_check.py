#!/usr/bin/env python3
"""Builds a made-up book of some three hundred pages from several files and checks it with other
people's tools.

    tests/outside/book_check.py [CHAPTERS] [--plain]

Prints time and peak memory of the whole process, and bytes a page; build with --release and name the
program in FLAMACUE for numbers that mean something. With --plain the book is one file without parts,
references, running heads and index. Needs qpdf and poppler (Debian: qpdf, poppler-utils); mutool
(Debian: mupdf-tools) is used where it is there.

Holds: qpdf finds no fault; every line of the contents, every reference and every entry of the index
names the page whose extracted text has what it is about; every page prints its own number; every link,
as qpdf tells it, lands on the page that is printed under it; the outline, as mutool reads it, leads to
the same pages.

Source: ISO 32000-1 as qpdf, poppler and MuPDF read it.
"""

import json
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
TAGS = ["hands", "feet", "toms", "flams", "rolls"]


def fail(message):
    sys.exit(f"book_check: {message}")


def book(chapters, plain):
    """The files of the book, its titles, and what each tag is used in."""
    dice = random.Random(11)
    main = ["title: The Long Way Round", "author: Isolde Quarrier", "language: en", "page: 6 x 9 in",
            "staff-height: 6 mm", "binding: 8 mm", "contents: exercises", "chapters: right-page"]
    if not plain:
        main += ["title-page: on", "running-heads: on", "index: both"]
    main.append("")
    files, titles, tagged = {}, [], {tag: set() for tag in TAGS}
    for chapter in range(1, chapters + 1):
        titles.append(f"Street {chapter} of the town")
        if plain:
            lines = [f"# {titles[-1]}", ""]
        else:
            if chapter % 5 == 1:
                main += [f'part "Quarter {chapter // 5 + 1}"', ""]
            main += [f"include chapters/{chapter}.flam", ""]
            lines = [f"title: {titles[-1]}", f"tags: {TAGS[chapter % 5]}", ""]
        for house in range(1, 41):
            if house % 6 == 1:
                lines += ["Walk down it *slowly* " + "and look at every door " * dice.randint(2, 12)]
                if not plain:
                    lines += [f"as @house-{dice.randint(1, chapters)}-{dice.randint(1, 40)} has it."]
                lines.append("")
            titles.append(f"House {chapter}-{house} open")
            tagged[TAGS[chapter % 5]].add(titles[-1])
            lines.append(f'exercise house-{chapter}-{house} "{titles[-1]}"')
            small = house % 8 in (3, 4, 5, 6)
            if small:
                lines += ["  columns: 2", "  time: 2/4"]
            bars = 1 if small else dice.randint(1, 4)
            bar = lambda: " ".join(dice.choice(BEATS) for _ in range(2 if small else 4))
            lines += ["  play  " + " | ".join(bar() for _ in range(bars)), ""]
        if plain:
            main += lines
        else:
            files[f"chapters/{chapter}.flam"] = lines
    files["book.flam"] = main
    return {name: "\n".join(lines) + "\n" for name, lines in files.items()}, titles, tagged


def check_references(pages, titles):
    """`12 on page 8`, wherever a line ends in between."""
    exercises = [title for title in titles if title.startswith("House")]
    found = 0
    for page in pages:
        for number, on in re.findall(r"as\s+(\d+)\s+on\s+page\s+(\d+)\s+has\s+it", page):
            found += 1
            title = exercises[int(number) - 1]
            if title not in pages[int(on) - 1]:
                fail(f"{number} is said to be on page {on}, and {title} is not there")
    return found


def check_index(pages, titles, tagged):
    start = next(nth for nth, page in enumerate(pages) if re.search(r"(?m)^\s*Index of exercises\s*$", page))
    text = "\n".join(pages[start:])
    exercises, techniques = text.split("Index of techniques")
    listed = dict(re.findall(r"(House \d+-\d+ open)\s+(\d+)", exercises))
    for title in (title for title in titles if title.startswith("House")):
        if title not in listed or title not in pages[int(listed[title]) - 1]:
            fail(f"the index has {title} on page {listed.get(title)}")
    return start, len(listed)


def check_links(pdf, pages):
    """Every link against the number printed in its place."""
    whole = json.loads(subprocess.run(["qpdf", "--json", pdf], check=True, capture_output=True).stdout)
    objects = whole["qpdf"][1]
    number_of = {page["object"]: nth + 1 for nth, page in enumerate(whole["pages"])}
    get = lambda ref: objects[f"obj:{ref}"]["value"] if isinstance(ref, str) and ref.endswith(" R") else ref
    words = []
    layout = subprocess.run(["pdftotext", "-bbox", pdf, "-"], check=True, capture_output=True, text=True).stdout
    for page in layout.split("<page ")[1:]:
        height = float(re.search(r'height="([\d.]+)"', page).group(1))
        found = re.findall(r'<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">([^<]*)<', page)
        words.append([(float(a), height - float(d), float(c), height - float(b), w) for a, b, c, d, w in found])
    checked = 0
    for page in whole["pages"]:
        annotations = get(get(page["object"]).get("/Annots", []))
        for link in map(get, annotations):
            to = number_of[link["/Dest"][0]]
            x0, y0, x1, y1 = link["/Rect"]
            inside = [w for a, b, c, d, w in sorted(words[number_of[page["object"]] - 1])
                      if x0 - 1 <= (a + c) / 2 <= x1 + 1 and y0 - 2 <= (b + d) / 2 <= y1 + 2]
            # A reference that a line's end parts is two links; the second has the number.
            if inside and re.fullmatch(r"\D*(\d+)\D*", inside[-1]) and not (len(inside) < 3 and "on" in inside):
                last = int(re.sub(r"\D", "", inside[-1]))
                if last != to and len(inside) > 1:
                    fail(f"page {number_of[page['object']]}: {' '.join(inside)} leads to page {to}")
                checked += last == to
    return checked


def main():
    program = os.environ.get("FLAMACUE") or ROOT / "target" / "debug" / "flamacue"
    plain = "--plain" in sys.argv
    chapters = next((int(word) for word in sys.argv[1:] if word.isdigit()), 25)
    files, titles, tagged = book(chapters, plain)
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        (folder / "chapters").mkdir()
        for name, text in files.items():
            (folder / name).write_text(text)
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
        for nth, page in enumerate(pages[:-1]):
            lines = [line.strip() for line in page.splitlines() if line.strip()]
            # A title page, a part and a blank page have no number.
            if len(lines) > 4 and nth > 0 and str(nth + 1) not in (lines[-1], lines[-1].split()[-1]):
                fail(f"page {nth + 1} ends in {lines[-1]}")
        more = ""
        if not plain:
            references = check_references(pages, titles)
            if references < chapters * 6:
                fail(f"only {references} references were found")
            _, entries = check_index(pages, titles, tagged)
            links = check_links(pdf, pages)
            if links < len(titles) + entries + references * 0.8:
                fail(f"only {links} links were found true")
            more = f", {references} references, {entries} of the index and {links} links"
        size = pdf.stat().st_size
        print(f"book_check: {len(pages)} pages, {len(titles)} entries{more} true; {seconds:.2f} s, "
              f"{peak:.0f} MB at most, {size / len(pages):.0f} bytes a page")


if __name__ == "__main__":
    main()
