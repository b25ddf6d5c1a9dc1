#!/usr/bin/env python3
"""Works on the desk in headless Chromium (driven by playwright, PyPI), as a teacher would and as a stranger
might.

    tests/outside/desk.py            60 edits made by chance
    tests/outside/desk.py 200        more of them
    tests/outside/desk.py 60 DIR     and pictures at three widths in a folder

Needs chromium (Debian: chromium). Makes a virtual environment of its own in tests/outside/.venv. FLAMACUE names
the program.

Holds: after each edit that leaves no fault, every page is the SVG of a fresh build, to the byte, in the handout and
in a book of three hundred pages; what the page itself takes for an edit is less than a frame, and in the book than
three; long lines of prose are wrapped, rows of music are not, and the layer lies on the text; without a file the
texts of a folder are there; a fault is underlined, told, and mended by its button, and the page stays; a click on a
note goes to its cell, and its cell marks it; words are completed; a block is heard in an AudioContext that runs, at
other tempos, again and again, and the note that sounds is lit; saving writes the file, asks where another program
changed it, and keeps its line ends; what is in a title is no script; a page of another site is told nothing.
"""

import json
import os
import pathlib
import random
import re
import shutil
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent))
sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[2] / "bench"))
import desk_trace  # noqa: E402
import measure  # noqa: E402
import shared  # noqa: E402

shared.in_own_environment({"playwright": "playwright"})

from playwright.sync_api import Error, sync_playwright  # noqa: E402

ROOT = pathlib.Path(__file__).resolve().parents[2]
EDITS = int(sys.argv[1]) if len(sys.argv) > 1 else 60
PICTURES = pathlib.Path(sys.argv[2]) if len(sys.argv) > 2 else None
SEED = 29
PATIENCE = 60
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
SIZES = [(1440, 900, "light"), (1024, 768, "dark"), (390, 844, "light")]
# What is typed by chance.
SNIPPETS = ["s", ".", "x", "X", "k", "g", " ", "R", "L", "o", "1", "&", "é", "🥁", "ss", "tempo: 90\n", "// \n"]


def fail(message):
    sys.exit(f"desk: {message}")


def hold(holds, message):
    if not holds:
        fail(message)


class Desk:
    """The program, serving a file."""

    def __init__(self, file, *arguments):
        self.file = file
        self.run = subprocess.Popen(
            [shared.program(), "desk", str(file), "--no-browser", *arguments],
            # Not the desks of the person whose machine this is.
            env=os.environ | {"XDG_RUNTIME_DIR": ""}, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        self.address = None
        for line in self.run.stdout:
            if "http://" in line:
                self.address = line.strip()
                break
        if self.address is None:
            fail(f"no address was told: {self.run.stderr.read()}")

    def end(self):
        self.run.terminate()
        self.run.wait()


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


def wait(page, holds):
    """Until something holds; the page's own policy forbids to wait for it by `eval`."""
    end = time.monotonic() + PATIENCE

    def is_so():
        try:
            return page.evaluate(f"Boolean({holds})")
        except Error:
            # The page is on its way to another.
            return False

    while not is_so():
        hold(time.monotonic() < end, f"in {PATIENCE} s it never held that {holds}")
        time.sleep(0.02)


def settled(page):
    page.evaluate("async () => { await desk.settled(); await desk.sent; }")


def text_of(page):
    return page.evaluate("desk.editor.area.value")


def differing(page, fresh, near=False):
    """Which pages are not those of a fresh build: as the program has them, to the byte, and as they stand in the
    document, where parts of them were put in place of others. Those near to what is seen, or all."""
    return page.evaluate("""async ([fresh, near]) => {
      const { pages } = desk;
      if (pages.hosts.length !== fresh.length) return [`${pages.hosts.length} pages, not ${fresh.length}`];
      const written = (svg) => {
        const own = svg.cloneNode(true);
        for (const marked of own.querySelectorAll('.here, .lit')) marked.classList.remove('here', 'lit');
        return new XMLSerializer().serializeToString(own);
      };
      const wrong = [];
      for (const host of pages.hosts) {
        if (near && !host.near) continue;
        if (host.stale || host.number === undefined) await pages.load(host.page, true);
        const { page } = await desk.ask({ ask: 'page', page: host.page });
        if (page.svg !== fresh[host.page]) wrong.push(`page ${host.page} as it is sent`);
        const drawn = new DOMParser().parseFromString(fresh[host.page], 'image/svg+xml').documentElement;
        if (written(host.shadowRoot.firstElementChild) !== written(drawn)) wrong.push(`page ${host.page} as it stands`);
      }
      return wrong;
    }""", [fresh, near])


def open_desk(context, desk, found):
    page = context.new_page()
    page.on("console", lambda message: found.append(f"{message.type}: {message.text}"))
    page.on("pageerror", lambda error: found.append(f"error: {error}"))
    page.goto(desk.address)
    wait(page, "globalThis.desk && desk.editor.text.length > 0 && desk.pages.hosts.length > 0")
    return page


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


def quiet(page):
    """Until nothing more comes of what was done."""
    page.evaluate("""async () => {
      const isBusy = () => desk.answering || desk.asks.length > 0 || desk.waiting.length > 0
        || desk.pages.hosts.some((host) => host.near && host.stale);
      // What comes of a look or a step of the cursor begins a moment later.
      for (let still = 0; still < 8; still += 1) {
        await new Promise((done) => setTimeout(done, 30));
        if (isBusy()) still = 0;
      }
    }""")


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


def set_text(page, text):
    page.evaluate("""async (text) => {
      desk.editor.replace(0, desk.editor.text.length, text);
      await desk.settled();
    }""", text)


def faults(page):
    before = page.evaluate("desk.pages.hosts.length")
    set_text(page, 'grove tray "First"\n  play  s s s s\n')
    hold(page.locator("#faults li.error").count() >= 1, "a fault is not told")
    hold("is no kind of block" in page.inner_text("#faults"), "a fault is not told in words")
    hold(page.locator("#editor .line .fault").first.inner_text().startswith("grove"), "a fault is not underlined")
    hold(page.locator("#reading.stale").count() == 1 and page.evaluate("desk.pages.hosts.length") == before,
         "the last good pages do not stay")
    page.click("#faults button:has-text('Mend')")
    settled(page)
    hold(text_of(page).startswith("groove tray"), "the mend does not mend")
    hold("Nothing is wrong" in page.inner_text("#faults"), "the fault stays after it is mended")


def places(page):
    set_text(page, 'groove tray "First"\n  hat    x.x. x.x. x.x. x.x.\n  snare  .... X... .... X...\n')
    wait(page, "desk.pages.hosts[0].shadowRoot.querySelectorAll('.note').length === 8")
    # The notehead of the second snare stroke, written in line 3.
    page.evaluate("""() => {
      const heads = [...desk.pages.hosts[0].shadowRoot.querySelectorAll('.notehead[data-line="3"]')];
      heads[1].dispatchEvent(new MouseEvent('click', { bubbles: true, composed: true }));
    }""")
    at = page.evaluate("desk.editor.place(desk.editor.area.selectionStart)")
    line = text_of(page).split("\n")[2]
    hold(at == {"line": 3, "column": line.rindex("X") + 1}, f"a click on a note goes to {at}")
    # And back: the first of them is marked from its cell.
    page.evaluate("([at]) => desk.editor.go(at)", [text_of(page).index("X...")])
    marked = page.evaluate("desk.pages.marked.map((own) => own.closest('.note')?.dataset.beat)")
    hold(marked and set(marked) == {"2"}, f"the cell marks the notes {marked}")
    page.wait_for_timeout(300)
    hold("snare" in page.inner_text("#explained"), "the cell is not told in words")


def wrapping(page):
    prose = "Say the counting out loud 🥁 before you pick up a stick, then let the hands copy the voice, é\u0301à. " * 4
    row = "  play  " + "ssss tttt " * 12
    text = f"title: A\n\n{prose}\n\n// {prose}\nfill tray \"First\"\n{row}\n\n{prose.replace(' ', '')}\n\nEnd.\n"
    set_text(page, 'fill tray "First"\n  play  s s s s\n\n' + prose + "\n")
    quiet(page)
    room = page.evaluate("desk.editor.room")
    hold(page.evaluate("desk.editor.heights.width") == room, "prose is not wrapped at what is seen")
    hold(page.evaluate("desk.editor.root.scrollWidth <= desk.editor.root.clientWidth"), "the text is wider than it need be")
    set_text(page, text)
    quiet(page)
    # How far down each line begins in a text area of the same kind that holds what stands before it.
    wrong = page.evaluate("""() => {
      const { editor } = desk;
      const area = editor.sheet.appendChild(editor.area.cloneNode());
      area.style.height = 0;
      const wrong = [];
      for (let line = 0; line < editor.starts.length; line += 1) {
        area.value = editor.text.slice(0, editor.starts[line]);
        const top = area.scrollHeight - 16 - (line === 0 ? 0 : editor.heights.row);
        const own = line === 0 ? 0 : top;
        if (Math.abs(own - editor.tops[line] * editor.heights.row) > 1) wrong.push(`line ${line + 1}: ${editor.tops[line]}, ${own}`);
      }
      area.remove();
      return wrong;
    }""")
    hold(not wrong, f"lines stand elsewhere than in the text area: {wrong}")
    rows = page.evaluate("desk.editor.tops.map((top, nth) => desk.editor.tops[nth + 1] - top).slice(0, -1)")
    hold(rows[2] > 1 and rows[4] > 1 and rows[6] == 1, f"lines take {rows} rows")
    # Colours, underlines and numbers stand at the rows of their lines.
    misplaced = page.evaluate("""() => {
      const { editor } = desk;
      const sheet = editor.sheet.getBoundingClientRect().top;
      return [...editor.drawn.drawn.values()].filter(({ index, element, number }) => {
        const [own, told] = [element.getBoundingClientRect(), number.getBoundingClientRect()];
        const height = (editor.tops[index + 1] - editor.tops[index]) * editor.heights.row;
        return Math.abs(own.top - sheet - editor.top(index)) > 1 || Math.abs(told.top - own.top) > 1
          || Math.abs(own.height - height) > 1;
      }).map((own) => own.index);
    }""")
    hold(not misplaced, f"the lines {misplaced} are drawn elsewhere")
    # The cursor is shown where it goes, however far.
    page.evaluate("desk.editor.go(desk.editor.text.length)")
    seen = page.evaluate("({ box: desk.editor.box(desk.editor.text.length), root: desk.editor.root.getBoundingClientRect().bottom })")
    hold(seen["box"]["y"] < seen["root"], "the end of the text is not shown")
    page.keyboard.type("\n" * 60 + "x")
    quiet(page)
    seen = page.evaluate("({ box: desk.editor.box(desk.editor.text.length), root: desk.editor.root.getBoundingClientRect().bottom })")
    hold(seen["box"]["below"] <= seen["root"] + 1, "what is typed at the end is not shown")


def folders(browser, folder, found):
    lessons = folder / "lessons"
    (lessons / "week").mkdir(parents=True)
    (lessons / "week" / "one.flam").write_text('title: <b>One</b>\n\nfill tray "First"\n  play  s s s s\n')
    desk = Desk(lessons)
    page = browser.new_context().new_page()
    page.on("console", lambda message: found.append(f"{message.type}: {message.text}"))
    page.on("pageerror", lambda error: found.append(f"error: {error}"))
    page.goto(desk.address)
    page.wait_for_selector("#texts button")
    hold(page.locator("#texts .title").first.inner_text() == "<b>One</b>", "a text is not listed by its title")
    page.click("#texts button")
    wait(page, "globalThis.desk?.editor?.text.includes('First')")
    page.click("#actions button:has-text('All texts')")
    page.wait_for_selector("#texts button")
    page.fill("#new-name", "../out")
    page.keyboard.press("Enter")
    wait(page, "document.getElementById('state').classList.contains('wrong')")
    page.fill("#new-name", "Monday")
    page.keyboard.press("Enter")
    wait(page, "globalThis.desk?.pages?.hosts.length > 0")
    hold(page.title() == "Monday.flam" and (lessons / "Monday.flam").exists(), "a new text is not begun")
    desk.end()
    page.close(run_before_unload=False)


def completion(page):
    set_text(page, "title: A\n\n")
    page.evaluate("desk.editor.go(desk.editor.text.length)")
    page.keyboard.type("gro")
    page.wait_for_selector("#offers li")
    hold(page.locator("#offers li code").first.inner_text() == "groove", "`gro` is not completed to `groove`")
    page.keyboard.press("Enter")
    settled(page)
    hold(text_of(page).endswith("groove"), f"what is chosen is not written: {text_of(page)!r}")
    page.keyboard.press("Escape")


def hearing(page):
    set_text(page, 'tempo: 120\n\nfill tray "First"\n  play  s t m f\n')
    wait(page, "desk.pages.hosts[0].shadowRoot.querySelectorAll('.note').length === 4")
    page.evaluate("desk.editor.go(desk.editor.text.length - 3)")
    page.keyboard.press("Control+Home")
    page.evaluate("desk.editor.go(desk.editor.text.indexOf('play'))")
    page.click("#playing button:text-is('Play')")
    wait(page, "desk.player.source !== null")
    hold(page.evaluate("desk.player.context.state") == "running", "the AudioContext does not run")
    heard = page.evaluate("({ strokes: desk.player.heard.strokes })")
    # 120 beats a minute: a stroke each half a second.
    steps = [b["seconds"] - a["seconds"] for a, b in zip(heard["strokes"], heard["strokes"][1:])]
    hold(all(abs(step - 0.5) < 1e-6 for step in steps), f"strokes are {steps} seconds apart")
    hold(page.evaluate("desk.player.source.buffer.sampleRate") == 48000, "the sound has another rate")
    # What is lit is what sounds, for every frame that is drawn while it plays.
    lit = page.evaluate("""async () => {
      const seen = [];
      const end = performance.now() + 1800;
      while (performance.now() < end) {
        await new Promise(requestAnimationFrame);
        if (!desk.player.source) break;
        const now = desk.player.position();
        const beats = desk.pages.lit.map((own) => own.dataset.beat);
        seen.push([now, beats]);
      }
      return seen;
    }""")
    frame = 0.05
    for now, beats in lit:
        due = [s["beat"] for s in heard["strokes"] if s["seconds"] <= now]
        early = [s["beat"] for s in heard["strokes"] if s["seconds"] <= now - frame]
        wanted = {due[-1] if due else None, early[-1] if early else None}
        hold((beats[0] if beats else None) in wanted, f"at {now:.3f} s {beats} is lit, not {wanted}")
    hold(len({beats[0] for _, beats in lit if beats}) >= 3, "the notes do not light up one after another")
    page.click("#playing button:text-is('Stop')")
    hold(page.evaluate("desk.pages.lit.length") == 0, "a note stays lit")
    page.click("button:has-text('Loop')")
    page.evaluate("""() => {
      const tempo = document.querySelector('#playing input');
      tempo.value = 50;
      tempo.dispatchEvent(new Event('input'));
      tempo.dispatchEvent(new Event('change'));
    }""")
    page.keyboard.press("Control+Enter")
    wait(page, "desk.player.source !== null")
    source = page.evaluate("({ loop: desk.player.source.loop, length: desk.player.source.loopEnd - desk.player.source.loopStart, rate: desk.player.source.playbackRate.value })")
    # Half of 120: four beats take four seconds, and no sound is stretched.
    hold(source["loop"] and abs(source["length"] - 4) < 1e-6 and source["rate"] == 1, f"it loops as {source}")
    page.keyboard.press("Control+Enter")
    page.click("button:has-text('Loop')")


def series(page):
    set_text(page, 'tempo: 120\n\nseries "Two accents"\n  columns: 2\n  accents: 2 of ssss\n')
    wait(page, "desk.pages.hosts[0].shadowRoot.querySelectorAll('.block').length === 6")
    page.evaluate("desk.editor.go(desk.editor.text.indexOf('accents:'))")
    page.click("#playing button:text-is('Play')")
    wait(page, "desk.player.source !== null")
    hold(page.evaluate("desk.player.heard.exercises.length") == 6, "not all exercises of a series are heard")
    # Each of them lights its own notes.
    lit = page.evaluate("""() => {
      const { heard } = desk.player;
      // The page's own clock stands still meanwhile.
      desk.player.follow = () => {};
      const label = (stroke) => {
        desk.move(heard, stroke.seconds - heard.music + 0.001);
        return desk.pages.lit.map((note) => note.closest('.block').getAttribute('aria-label'));
      };
      const wrong = heard.strokes.filter((own) => { const got = label(own); return got.length !== 1 || got[0] !== heard.exercises[own.exercise]; });
      desk.still();
      delete desk.player.follow;
      return wrong.length;
    }""")
    hold(lit == 0, f"{lit} strokes light notes of other exercises")
    # What sounds is seen also where the cursor marks all of it, with its whole line of music.
    seen = page.evaluate("""() => {
      const { heard } = desk.player;
      desk.player.follow = () => {};
      desk.pages.root.scrollTop = 1e6;
      desk.move(heard, 0.001);
      const [note] = desk.pages.lit;
      const [line, root] = [note.closest('.system'), desk.pages.root].map((own) => own.getBoundingClientRect());
      const fill = (own) => getComputedStyle(own).fill;
      const head = note.querySelector('.notehead');
      head.classList.add('here');
      const found = [fill(head) === fill(note),
        fill(note) === fill(desk.pages.svg(0).querySelector('.cursor')), line.top >= root.top && line.bottom <= root.bottom];
      head.classList.remove('here');
      desk.still();
      delete desk.player.follow;
      return found;
    }""")
    hold(all(seen), f"a marked note is lit, in its colour, seen with its line: {seen}")
    page.click("#playing button:text-is('Stop')")
    # A click on a note of one of them: that one.
    page.evaluate("""() => {
      const block = desk.pages.hosts[0].shadowRoot.querySelectorAll('.block')[3];
      block.querySelector('.notehead').dispatchEvent(new MouseEvent('click', { bubbles: true, composed: true }));
    }""")
    page.click("#playing button:text-is('Play')")
    wait(page, "desk.player.source !== null")
    hold(page.evaluate("desk.player.heard.exercises") == ["4"], "the exercise that was clicked is not heard alone")
    page.click("#playing button:text-is('Stop')")


def saving(page, desk):
    set_text(page, 'fill tray "First"\n  play   s s s s\n')
    hold("Not saved" in page.inner_text("#state"), "an unsaved text is not told of")
    page.keyboard.press("Control+s")
    wait(page, "document.getElementById('state').textContent === 'Saved'")
    hold(desk.file.read_bytes() == b'fill tray "First"\r\n  play  s s s s\r\n',
         f"what is saved is {desk.file.read_bytes()!r}")
    # Another program changes it: it is taken up, as nothing would be lost.
    desk.file.write_bytes(b'fill tray "Second"\r\n  play  s s s s\r\n')
    wait(page, "desk.editor.text.includes('Second')")
    # Or asked about, where something would.
    page.evaluate("desk.editor.replace(0, 0, '// mine\\n')")
    settled(page)
    desk.file.write_bytes(b'fill tray "Third"\r\n  play  s s s s\r\n')
    wait(page, "document.getElementById('state').textContent.includes('another program')")
    page.keyboard.press("Control+s")
    page.wait_for_selector("#question[open]")
    hold(b"Third" in desk.file.read_bytes(), "the other text was written over")
    page.click("#question button:has-text('Write this text')")
    wait(page, "document.getElementById('state').textContent === 'Saved'")
    hold(desk.file.read_bytes().startswith(b"// mine\r\n"), "it was not written after it was asked")
    # It goes, and is written anew.
    desk.file.unlink()
    wait(page, "document.getElementById('state').textContent.includes('no longer there')")
    page.keyboard.press("Control+s")
    page.wait_for_selector("#question[open]")
    page.click("#question button:has-text('Write this text')")
    wait(page, "document.getElementById('state').textContent === 'Saved'")
    hold(desk.file.exists(), "a file that is gone is not written anew")


def scripts(page):
    title = "<script>document.title='run'</script><img src=x onerror=\"document.title='run'\">"
    set_text(page, f'title: {title}\n\nfill "{title.replace(chr(34), chr(39))}"\n  play  s s s s\n')
    settled(page)
    page.wait_for_timeout(200)
    hold(page.title() != "run", "a title runs as a script")


def strangers(desk, browser):
    def ask(address, **headers):
        request = urllib.request.Request(
            address, data=json.dumps({"ask": "open"}).encode(),
            headers={"content-type": "application/json", **headers})
        try:
            with urllib.request.urlopen(request) as answer:
                return answer.status, answer.read()
        except urllib.error.HTTPError as error:
            return error.code, error.read()

    port = desk.address.split(":")[2].split("/")[0]
    hold(ask(desk.address + "ask")[0] == 200, "the desk does not answer")
    for address, headers in [
        (f"http://127.0.0.1:{port}/{'0' * 32}/ask", {}),
        (f"http://127.0.0.1:{port}/ask", {}),
        (desk.address + "ask", {"Origin": "http://drums.example"}),
        (desk.address + "ask", {"Host": f"drums.example:{port}"}),
        (desk.address + "ask", {"Sec-Fetch-Site": "cross-site"}),
    ]:
        status, body = ask(address, **headers)
        hold(status == 403 and b"text" not in body, f"{address} with {headers} is answered {status} {body!r}")
    # A page of another site, in the same browser.
    page = browser.new_page()
    page.route("http://drums.example/", lambda route: route.fulfill(
        status=200, content_type="text/html", body="<!doctype html><title>elsewhere</title>"))
    page.goto("http://drums.example/")
    read = page.evaluate("""async (address) => {
      const tries = [
        () => fetch(address + 'ask', { method: 'POST', body: '{"ask":"open"}',
          headers: { 'content-type': 'application/json' } }),
        () => fetch(address + 'ask', { method: 'POST', mode: 'no-cors', body: '{"ask":"open"}' }),
        () => fetch(address, { mode: 'no-cors' }),
      ];
      const read = [];
      for (const attempt of tries) {
        try { read.push((await (await attempt()).text()).length); } catch { read.push(0); }
      }
      return read;
    }""", desk.address)
    hold(read == [0, 0, 0], f"a page of another site read {read} letters")
    page.close()


def pictures(browser, desk):
    PICTURES.mkdir(parents=True, exist_ok=True)
    for width, height, scheme in SIZES:
        context = browser.new_context(viewport={"width": width, "height": height}, color_scheme=scheme)
        page = open_desk(context, desk, [])
        wide = page.evaluate("document.documentElement.scrollWidth")
        hold(wide <= width, f"at {width} px the page is {wide} wide")
        page.evaluate("desk.editor.go(desk.editor.text.indexOf('X..'))")
        page.wait_for_timeout(500)
        page.screenshot(path=PICTURES / f"desk-{width}-{scheme}.png")
        context.close()


def main():
    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    if chromium is None:
        print("desk: skipped, no chromium here")
        return
    with tempfile.TemporaryDirectory() as room, sync_playwright() as driver:
        folder = pathlib.Path(room)
        browser = driver.chromium.launch(
            executable_path=chromium, args=["--no-sandbox", "--autoplay-policy=no-user-gesture-required"])
        demo = folder / "over-the-bakery.flam"
        demo.write_bytes((ROOT / "demo" / "over-the-bakery.flam").read_bytes())
        found = []
        desk = Desk(demo)
        if PICTURES:
            pictures(browser, desk)
        page = open_desk(browser.new_context(), desk, found)
        good, waited, took = edits(page, folder)
        desk.end()

        desk = Desk(book(folder))
        page = open_desk(browser.new_context(), desk, found)
        waited_book, took_book = book_edits(page, folder)
        desk.end()

        folders(browser, folder, found)
        small = folder / "small.flam"
        small.write_bytes(b'fill tray "First"\r\n  play  s s s s\r\n')
        desk = Desk(small)
        context = browser.new_context()
        page = open_desk(context, desk, found)
        for work in (faults, places, wrapping, completion, hearing, series):
            work(page)
        saving(page, desk)
        scripts(page)
        strangers(desk, browser)
        # The program ends: what is typed stays in the page.
        desk.end()
        page.evaluate("desk.editor.replace(0, 0, '// kept\\n')")
        wait(page, "document.getElementById('state').textContent.includes('does not answer')")
        hold("// kept" in text_of(page), "what was typed is lost")
        # It is there when the desk is opened again, at the port at which it was.
        page.wait_for_timeout(500)
        port = desk.address.split(":")[2].split("/")[0]
        page.close(run_before_unload=False)
        desk = Desk(small, "--port", port)
        page = context.new_page()
        page.goto(desk.address)
        page.wait_for_selector("#question[open]")
        page.click("#question button:has-text('Take it up')")
        wait(page, "desk.editor.text.startsWith('// kept')")
        desk.end()
        browser.close()
        quiet = [line for line in found if "Failed to load resource" not in line and "ERR_CONNECTION" not in line]
        hold(not quiet, "the console says " + "; ".join(quiet[:5]))
    print(f"desk: {EDITS} edits, {good} without a fault as a fresh build to the byte, and {BOOK_EDITS} of a book; from "
          f"key to page {median(waited):.1f} ms, in the book {median(waited_book):.1f} ms, of which the page itself takes "
          f"{took:.1f} and {took_book:.1f} ms of the processor; faults, places, completion, "
          f"wrapped lines, sound, saving, the folder, scripts and strangers as they should be.")


if __name__ == "__main__":
    start = time.monotonic()
    main()
    print(f"desk: {time.monotonic() - start:.0f} s")
