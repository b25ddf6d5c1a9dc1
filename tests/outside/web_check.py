#!/usr/bin/env python3
"""Opens the web page and the web book of the demo in headless Chromium at three widths.

    tests/outside/web_check.py                 the demo
    tests/outside/web_check.py FILE.flam...    other files

Needs chromium (Debian: chromium). FLAMACUE names the program. Nothing is fetched: the page is a file
and names no other.

Holds of the page and of every page of the book: no horizontal scroll, exactly one picture of each block in sight, none wider than the window,
no two figures, headings, paragraphs or links over each other, nothing in the console. Every link of the book
leads to a file of it and to a place there.

Source: the layout Chromium reports (CSSOM View, getBoundingClientRect).
"""

import html
import json
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parents[2]
WIDTHS = [360, 768, 1280]
PROBE = """<script>
window.faults = [];
window.addEventListener('error', e => window.faults.push(e.message));
for (const level of ['error', 'warn']) console[level] = (...w) => window.faults.push(w.join(' '));
window.addEventListener('load', () => document.fonts.ready.then(() => {
  const box = e => { const r = e.getBoundingClientRect(); return [r.left, r.top, r.right, r.bottom]; };
  const seen = e => getComputedStyle(e).display !== 'none';
  const figures = [...document.querySelectorAll('figure')];
  const found = {
    scroll: document.documentElement.scrollWidth, width: window.innerWidth,
    pictures: figures.map(f => [...f.querySelectorAll('svg:not(.lv)')].filter(seen).length),
    boxes: [...document.querySelectorAll('svg')].filter(e => seen(e) && !e.classList.contains('defs')).map(box),
    blocks: [...document.querySelectorAll('h1,h2,h3,p,ul,ol,figure,footer,.turn a')].map(box),
    fonts: [...document.fonts].filter(f => f.status === 'loaded').length,
    faults: window.faults};
  const out = document.createElement('pre');
  out.id = 'found'; out.textContent = JSON.stringify(found);
  document.body.innerHTML = ''; document.body.append(out);
}));
</script></head>"""


def fail(message):
    sys.exit(f"web_check: {message}")


def chromium():
    for name in ("chromium", "chromium-browser"):
        if path := shutil.which(name):
            return path
    print("web_check: skipped, no chromium here")
    sys.exit(0)


def look(browser, page, width, folder):
    # A window is never narrower than 500 pixels, so the page stands in a frame of the width.
    probe = folder / "probe.html"
    probe.write_text(page.read_text().replace("</head>", PROBE, 1))
    frame = folder / "frame.html"
    frame.write_text(
        f'<!DOCTYPE html><body style="margin:0"><iframe id=f style="border:0" width={width} height=900 '
        'src="probe.html"></iframe><pre id=o></pre><script>setInterval(()=>{const d=document.'
        "getElementById('f').contentDocument.getElementById('found');if(d)document.getElementById("
        "'o').textContent=d.textContent},50)</script>")
    result = subprocess.run(
        [browser, "--headless", "--no-sandbox", "--disable-gpu", "--allow-file-access-from-files",
         "--enable-logging=stderr", "--virtual-time-budget=8000", f"--user-data-dir={folder / 'profile'}",
         "--window-size=1400,1000", "--dump-dom", frame.as_uri()],
        capture_output=True, text=True, timeout=180)
    found = re.search(r"<pre id=\"o\">(.+?)</pre>", result.stdout, re.S)
    if not found:
        fail(f"{page}: nothing came back at {width} px\n{result.stderr[-2000:]}")
    console = [line for line in result.stderr.splitlines() if "CONSOLE" in line]
    return json.loads(html.unescape(found.group(1))), console


def holds(a, b):
    return a[0] <= b[0] and a[1] <= b[1] and b[2] <= a[2] and b[3] <= a[3]


def overlap(a, b):
    return min(a[2], b[2]) - max(a[0], b[0]) > 0.5 and min(a[3], b[3]) - max(a[1], b[1]) > 0.5


def check(found, console, name, music=True):
    if console or found["faults"]:
        fail(f"{name}: {console}{found['faults']}")
    if found["scroll"] > found["width"]:
        fail(f"{name}: {found['scroll']} px wide in a window of {found['width']}")
    if any(count != 1 for count in found["pictures"]) or (music and not found["pictures"]):
        fail(f"{name}: pictures in sight by block: {found['pictures']}")
    for box in found["boxes"]:
        if box[0] < 0 or box[2] > found["width"] or box[3] - box[1] < 20:
            fail(f"{name}: a picture at {box}")
    if not found["fonts"]:
        fail(f"{name}: no embedded face was loaded")
    blocks = found["blocks"]
    for nth, a in enumerate(blocks):
        for b in blocks[nth + 1:]:
            # Lists and paragraphs stand in lists and quotes.
            if overlap(a, b) and not holds(a, b):
                fail(f"{name}: {a} and {b} overlap")


def check_links(pages, name):
    places = {(page.name, place) for page in pages
              for place in re.findall(r' id="([^"]+)"', page.read_text())}
    followed = 0
    for page in pages:
        for to in re.findall(r'<a [^>]*href="([^"]+)"', page.read_text()):
            file, _, place = to.partition("#")
            if re.match(r"[a-z]+:", to):
                continue
            if not (page.parent / file).is_file():
                fail(f"{name}: {page.name} leads to {to}")
            if place and (file or page.name, html.unescape(place)) not in places:
                fail(f"{name}: {page.name} leads to {to}")
            followed += 1
    return followed


def check_book(browser, program, file, folder):
    subprocess.run([program, "build", file, "--web", "-o", folder / "book"], check=True)
    pages = sorted((folder / "book").glob("*.html"))
    for page in pages:
        for width in WIDTHS:
            found, console = look(browser, page, width, folder)
            check(found, console, f"{page.name} of {file.name} at {width} px", music=False)
    followed = check_links(pages, file.name)
    print(f"web_check: {file.name} as a book of {len(pages)} pages, {followed} links")


def main():
    browser = chromium()
    program = os.environ.get("FLAMACUE") or ROOT / "target" / "debug" / "flamacue"
    files = [pathlib.Path(f) for f in sys.argv[1:]] or [ROOT / "demo" / "over-the-bakery.flam"]
    for file in files:
        with tempfile.TemporaryDirectory() as folder:
            folder = pathlib.Path(folder)
            page = folder / "page.html"
            subprocess.run([program, "build", file, "-o", page], check=True)
            heights = []
            for width in WIDTHS:
                found, console = look(browser, page, width, folder)
                check(found, console, f"{file.name} at {width} px")
                widest = max(box[2] - box[0] for box in found["boxes"])
                heights.append(f"{width} px: widest picture {widest:.0f}")
            check_book(browser, program, file, folder)
            print(f"web_check: {file.name}, {page.stat().st_size // 1024} kB; {'; '.join(heights)}")


main()
