#!/usr/bin/env python3
"""Types on the desk in headless Chromium (driven by playwright, PyPI), by chance.

    tests/outside/desk_typing.py            40 edits
    tests/outside/desk_typing.py 200        more of them

Needs chromium (Debian: chromium). Makes a virtual environment of its own in tests/outside/.venv. FLAMACUE names
the program. It holds times, so nothing else should run beside it.

Holds: after each edit that leaves no fault, every page is the SVG of a fresh build, to the byte, in the handout and
in a book of three hundred pages; what the page itself takes for an edit is less than a frame, and in the book than
three.
"""

import hashlib
import pathlib
import random
import re
import subprocess
import sys
import tempfile
import time

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent))
sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[2] / "bench"))
import desk_trace  # noqa: E402
import measure  # noqa: E402
import shared  # noqa: E402

shared.in_own_environment("playwright")

from playwright.sync_api import sync_playwright  # noqa: E402
from shared.desk import Desk, browser_of, hold, hold_quiet, open_desk, quiet, set_text, text_of  # noqa: E402

ROOT = pathlib.Path(__file__).resolve().parents[2]
EDITS = int(sys.argv[1]) if len(sys.argv) > 1 else 40
SEED = 29
# Edits of the book, each with a build of all of it.
BOOK_EDITS = max(4, EDITS // 15)
# Milliseconds from a key to its page that may pass on a slow machine with a debug build; what passes on a quiet one
# with a release build is told in bench/README.md.
SLOWEST, SLOWEST_BOOK = 300, 1500
# Milliseconds of the processor that the page itself may take for it: its scripts, and the styles and places that they
# have worked out. How busy the machine is matters little to them, nor how the program was built. They are those of a
# machine on which a fixed piece of work of the same browser (`WORK`) takes `PACE` milliseconds; elsewhere they are so
# much more or less as that takes.
MOST_OWN, MOST_OWN_BOOK = 16, 50
PACE = 15
WORK = (ROOT / "tests" / "outside" / "shared" / "pace.js").read_text()
WATCH = (ROOT / "tests" / "outside" / "shared" / "desk_watch.js").read_text()
# What is typed by chance.
SNIPPETS = ["s", ".", "x", "X", "k", "g", " ", "R", "L", "o", "1", "&", "é", "🥁", "ss", "tempo: 90\n", "// \n"]


def built(text, folder):
    """The pages of a text, built from nothing; nothing where it has a fault."""
    source = folder / "fresh.flam"
    source.write_bytes(text.encode())
    for old in folder.glob("fresh*.svg"):
        old.unlink()
    done = subprocess.run([shared.program(), "build", str(source), "-o", str(folder / "fresh.svg")],
                          capture_output=True, check=False)
    if done.returncode != 0:
        return None
    pages = sorted(folder.glob("fresh*.svg"), key=lambda path: (len(path.name), path.name))
    return [page.read_text() for page in pages]


def book(folder):
    """The made-up book of bench/, in one file."""
    return measure.write_book_in_one(folder / "book")


def differing(page, fresh, near=False):
    """Which pages are not those of a fresh build: as the program has them, to the byte, and as they stand in the
    document, where parts of them were put in place of others. Those near to what is seen, or all. The page is told of
    a fresh one by its hash: a whole book would take longer on its way than all else."""
    hashes = [hashlib.sha256(svg.encode()).hexdigest() for svg in fresh]
    return page.evaluate("""async ([hashes, near]) => {
      const { pages } = desk;
      if (pages.hosts.length !== hashes.length) return [`${pages.hosts.length} pages, not ${hashes.length}`];
      const hash = async (svg) => {
        const bytes = await crypto.subtle.digest('SHA-256', new TextEncoder().encode(svg));
        return [...new Uint8Array(bytes)].map((byte) => byte.toString(16).padStart(2, '0')).join('');
      };
      const written = (svg) => {
        const own = svg.cloneNode(true);
        for (const marked of own.querySelectorAll('.here, .lit')) marked.classList.remove('here', 'lit');
        return new XMLSerializer().serializeToString(own);
      };
      const wrong = [];
      for (const host of pages.hosts) {
        if (near && !host.near) continue;
        const { svg } = (await desk.ask({ ask: 'page', page: host.page })).page;
        if (await hash(svg) !== hashes[host.page]) wrong.push(`page ${host.page} as it is sent`);
        const drawn = new DOMParser().parseFromString(svg, 'image/svg+xml').documentElement;
        if (host.stale || host.number === undefined) await pages.load(host.page, true);
        if (written(host.shadowRoot.firstElementChild) !== written(drawn)) wrong.push(`page ${host.page} as it stands`);
        // Before it is painted, which takes longer than all else.
        if (!host.near) pages.drop(host);
      }
      return wrong;
    }""", [hashes, near])


def edit_by_chance(text, by_chance, anywhere):
    """Where, how much goes, and what comes: anywhere, or a hit more or less in a row of hits."""
    units = len(text.encode("utf-16-le")) // 2
    if anywhere:
        remove = by_chance.choice([0, 0, 1, 2, 9])
        put = by_chance.choice(SNIPPETS) if remove == 0 or by_chance.random() < 0.4 else ""
        return by_chance.randrange(units), remove, put
    rows = list(re.finditer(r"^  (play|hat|snare|kick) +([a-zA-Z. ]+)$", text, re.MULTILINE))
    row = by_chance.choice(rows)
    cells = [at for at in range(row.start(2), row.end(2)) if text[at] != " "]
    at = by_chance.choice(cells)
    hit = "s" if row[1] == "play" else "x"
    put = by_chance.choice([".", hit, hit.upper()])
    return len(text[:at].encode("utf-16-le")) // 2, 1, put


def typed(page, at, remove, put):
    """Types as a person does: the milliseconds from the key to the page that came of it, where one did."""
    page.evaluate("""([at, remove]) => {
      globalThis.times = {};
      performance.mark('key');
      desk.editor.area.focus({ preventScroll: true });
      desk.editor.area.setSelectionRange(at, Math.min(at + remove, desk.editor.text.length));
    }""", [at, remove])
    if put:
        page.keyboard.insert_text(put)
    elif remove:
        page.keyboard.press("Delete")
    quiet(page)
    times = page.evaluate("times")
    return times["laid"] - times["typed"] if "laid" in times else None


def median(waited):
    return sorted(waited)[len(waited) // 2]


def trace(page):
    """Until it is ended by `own`."""
    page.context.browser.start_tracing(page=page, categories=desk_trace.CATEGORIES)


def own(page, most):
    """What the page itself took for an edit of those that were traced, in milliseconds of the processor; it is held by
    as many as they would be on a machine of a known pace."""
    took = [edit["scripts"] + edit["places"] for edit in desk_trace.edits(page.context.browser.stop_tracing())]
    hold(took, "no page came of an edit that was traced")
    most *= page.evaluate(WORK) / PACE
    hold(median(took) < most, f"the page takes {median(took):.1f} ms of the processor for an edit, over {most:.1f}")
    return median(took)


def edits(page, folder):
    """Types by chance; how many edits left no fault, and the milliseconds of those that changed a page."""
    by_chance = random.Random(SEED)
    good, waited, whole = 0, [], text_of(page)
    page.evaluate(WATCH)
    trace(page)
    for turn in range(EDITS):
        at, remove, put = edit_by_chance(text_of(page), by_chance, anywhere=turn % 2 == 0)
        took = typed(page, at, remove, put)
        if took is not None:
            waited.append(took)
        now = text_of(page)
        fresh = built(now, folder)
        if fresh is not None:
            good += 1
            whole = now
            wrong = differing(page, fresh)
            hold(not wrong, f"after edit {turn} {wrong} differ from a fresh build of\n{now}")
        elif by_chance.random() < 0.8:
            # What was typed is taken back, by the browser's own means where they reach so far.
            page.evaluate("""async () => {
              globalThis.times = {};
              performance.mark('key');
              desk.editor.area.focus();
              document.execCommand('undo');
              await desk.settled();
            }""")
            if text_of(page) != whole:
                set_text(page, whole)
    hold(good >= EDITS // 4, f"only {good} of {EDITS} edits left a text without a fault")
    hold(median(waited) < SLOWEST, f"from a key to the page it takes {median(waited):.0f} ms")
    return good, waited, own(page, MOST_OWN)


def book_edits(page, folder):
    """The same in a book of some three hundred pages: those that are near after each edit, and all at the end."""
    by_chance = random.Random(SEED)
    waited = []
    page.evaluate(WATCH)
    quiet(page)
    trace(page)
    for turn in range(BOOK_EDITS):
        text = text_of(page)
        row = by_chance.choice(list(re.finditer(r"^  play +([a-zA-Z. ]*[st][a-zA-Z. ]*)$", text, re.MULTILINE)))
        at = by_chance.choice([at for at in range(row.start(1), row.end(1)) if text[at] in "st"])
        page.evaluate("at => desk.editor.go(at)", at)
        quiet(page)
        took = typed(page, at, 1, "t" if text[at] == "s" else "s")
        if took is not None:
            waited.append(took)
        fresh = built(text_of(page), folder)
        hold(fresh is not None, f"edit {turn} of the book makes a fault")
        wrong = differing(page, fresh, near=turn + 1 < BOOK_EDITS)
        hold(not wrong, f"after edit {turn} of the book {wrong} differ from a fresh build")
    hold(len(waited) > BOOK_EDITS // 2, "the page that an edit changes is not in sight")
    hold(median(waited) < SLOWEST_BOOK, f"from a key to the page of the book it takes {median(waited):.0f} ms")
    return waited, own(page, MOST_OWN_BOOK)


def main():
    with tempfile.TemporaryDirectory() as room, sync_playwright() as driver:
        folder = pathlib.Path(room)
        browser = browser_of(driver)
        demo = folder / "over-the-bakery.flam"
        demo.write_bytes((ROOT / "demo" / "over-the-bakery.flam").read_bytes())
        found = []
        desk = Desk(demo)
        page = open_desk(browser.new_context(), desk, found)
        good, waited, took = edits(page, folder)
        desk.end()

        desk = Desk(book(folder))
        page = open_desk(browser.new_context(), desk, found)
        waited_book, took_book = book_edits(page, folder)
        desk.end()
        browser.close()
        hold_quiet(found)
    print(f"desk_typing: {EDITS} edits, {good} without a fault as a fresh build to the byte, and {BOOK_EDITS} of a "
          f"book; from key to page {median(waited):.1f} ms, in the book {median(waited_book):.1f} ms, of which the page "
          f"itself takes {took:.1f} and {took_book:.1f} ms of the processor.")


if __name__ == "__main__":
    start = time.monotonic()
    main()
    print(f"desk_typing: {time.monotonic() - start:.0f} s")
