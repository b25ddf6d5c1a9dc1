#!/usr/bin/env python3
"""Works on the desk in headless Chromium (driven by playwright, PyPI), as a teacher would and as a stranger
might.

    tests/outside/desk.py
    tests/outside/desk.py DIR     and pictures at three widths in a folder

Needs chromium (Debian: chromium). Makes a virtual environment of its own in tests/outside/.venv. FLAMACUE names
the program.

Holds: long lines of prose are wrapped, rows of music are not, and the layer lies on the text; without a file the
texts of a folder are there; a fault is underlined, told, and mended by its button, and the page stays; a click on a
note goes to its cell, and its cell marks it; words are completed; a block is heard in an AudioContext that runs, at
other tempos, again and again, and the note that sounds is lit; saving writes the file, asks where another program
changed it, and keeps its line ends; what is in a title is no script; a page of another site is told nothing.
"""

import json
import pathlib
import sys
import tempfile
import time
import urllib.error
import urllib.request

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent))
import shared  # noqa: E402
from shared import frames  # noqa: E402

shared.in_own_environment("playwright")

from playwright.sync_api import sync_playwright  # noqa: E402
from shared.desk import (  # noqa: E402
    Desk, browser_of, hold, hold_quiet, open_desk, quiet, set_text, settled, text_of, wait,
)

ROOT = pathlib.Path(__file__).resolve().parents[2]
PICTURES = pathlib.Path(sys.argv[1]) if len(sys.argv) > 1 else None
SIZES = [(1440, 900, "light"), (1024, 768, "dark"), (390, 844, "light")]


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


def lights(page, heard):
    """What is lit is what sounds, for every frame that is drawn while it plays, and nothing while it dies away."""
    def shows(now):
        due = [own["beat"] for own in heard["strokes"] if own["seconds"] <= now < heard["end"]]
        return due[-1:]

    for _ in range(5):
        page.click("#playing button:text-is('Play')")
        wait(page, "desk.player.source !== null")
        seen = page.evaluate("""async () => {
          const seen = [];
          for (;;) {
            await new Promise(requestAnimationFrame);
            if (!desk.player.source) return seen;
            seen.push([desk.player.position(), desk.pages.lit.map((own) => own.dataset.beat)]);
          }
        }""")
        wrong = frames.wrong(seen, shows)
        hold(wrong is None, wrong)
        hold(page.evaluate("desk.pages.lit.length") == 0, "a note stays lit at the end")
        if not frames.stalled(seen):
            hold({*sum((lit for _, lit in seen), [])} == {"1", "2", "3", "4"}, "not all notes light up")
            hold(seen[-1][0] > heard["end"] + 0.1, "the music does not die away")
            return
    hold(False, "no frames were drawn for long, five times")


def hearing(page):
    set_text(page, 'tempo: 120\n\nfill tray "First"\n  play  s t m f\n')
    wait(page, "desk.pages.hosts[0].shadowRoot.querySelectorAll('.note').length === 4")
    page.evaluate("desk.editor.go(desk.editor.text.length - 3)")
    page.keyboard.press("Control+Home")
    page.evaluate("desk.editor.go(desk.editor.text.indexOf('play'))")
    page.click("#playing button:text-is('Play')")
    wait(page, "desk.player.source !== null")
    hold(page.evaluate("desk.player.context.state") == "running", "the AudioContext does not run")
    heard = page.evaluate("({ strokes: desk.player.heard.strokes, end: desk.player.heard.music + desk.player.heard.once })")
    # 120 beats a minute: a stroke each half a second.
    steps = [b["seconds"] - a["seconds"] for a, b in zip(heard["strokes"], heard["strokes"][1:])]
    hold(all(abs(step - 0.5) < 1e-6 for step in steps), f"strokes are {steps} seconds apart")
    hold(page.evaluate("desk.player.source.buffer.sampleRate") == 48000, "the sound has another rate")
    page.click("#playing button:text-is('Stop')")
    lights(page, heard)
    page.click("#playing button:text-is('Play')")
    wait(page, "desk.pages.lit.length > 0")
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
    with tempfile.TemporaryDirectory() as room, sync_playwright() as driver:
        folder = pathlib.Path(room)
        browser = browser_of(driver)
        found = []
        if PICTURES:
            demo = folder / "over-the-bakery.flam"
            demo.write_bytes((ROOT / "demo" / "over-the-bakery.flam").read_bytes())
            desk = Desk(demo)
            pictures(browser, desk)
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
        hold_quiet(found)
    print("desk: faults, places, completion, wrapped lines, sound, saving, the folder, scripts and strangers as they "
          "should be.")


if __name__ == "__main__":
    start = time.monotonic()
    main()
    print(f"desk: {time.monotonic() - start:.0f} s")
