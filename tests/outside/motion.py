#!/usr/bin/env python3
"""Holds that the desk, the page of a lesson and the web page move as the film of the same music does, in headless
Chromium (driven by playwright, PyPI).

    tests/outside/motion.py             checks
    tests/outside/motion.py FOLDER      and keeps pictures of both at five times, light and dark, there

Needs chromium (Debian: chromium). Makes a virtual environment of its own in tests/outside/.venv. FLAMACUE names the
program.

Holds, for blocks of several kinds and the exercises of a series, at every onset and between any two: the notes that are lit, by bar, beat and
player, the syllable that is said and the beat are those of the film, an animated SVG in the same browser; and the
cursor is as far on its way from note to note as there. On pages it lies under all ink. The buttons of the web page have
a name each and are reached by key, one block moves at a time, Escape ends it and so does the end of the music, with
less motion there is no line, in print there is no button, and without scripts there is none.
"""

import pathlib
import shutil
import subprocess
import sys
import tempfile
import time

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent))
import shared  # noqa: E402

shared.in_own_environment("playwright")

from playwright.sync_api import sync_playwright  # noqa: E402

PICTURES = pathlib.Path(sys.argv[1]) if len(sys.argv) > 1 else None
PATIENCE = 20
# The second of the film at which the first beat falls.
FIRST = 10
# Times are told to a hundred-thousandth of a beat: seconds after an onset.
AFTER = 1e-3
# How far the cursor may be off, as a share of the way from note to note, and the shortest way that is told by shares.
SHARE, SHORTEST = 0.01, 3
TEXT = """title: In step
tempo: 96

fill gate "Through the gate"
  play   S.ss t.tt m.mm C+k | s s+k ssss ss.s | S.ss t.tt m.mm C+k | ssss tttt mmmm C+k

groove walk "Walk"
  hat    x.x. x.x. x.x. x.x. | % | x.x. x.x. x.x. xxxx
  snare  .... X... .... X... | % | .... X... .... X..x
  kick   x... .... x.x. .... | % | x... .... x.x. ....

exercise two "Two"
  player "Ada"
    play  s s s s | ss ss s .
  player "Bo"
    play  . k . k | k . kk .

exercise again "Again"
  time: 3/4
  play   |: S.s. t.t. k | m.m. ssss C+k :|
"""
BLOCKS = ["gate", "walk", "two", "again"]
# Twenty exercises over more than a page, beside and under each other, of which some are looked at.
SERIES = """title: In a row
tempo: 132

groove before "Before"
  play   s s s s

series doors "Doors"
  columns: 2
  accents: 3 of ssssss
"""
EXERCISES = [0, 1, 2, 11, 19]
WIDTHS = (1440, 1024, 390)

# What is seen of an animated SVG at a second.
FILM = """second => {
  const svg = document.querySelector('svg');
  svg.pauseAnimations();
  svg.setCurrentTime(second);
  const seen = name => [...svg.querySelectorAll(name)].filter(own =>
    !own.closest('.page, .lit, .said, .beats, .cursor') || [own, own.closest('.page')].every(one =>
      one === null || getComputedStyle(one).display !== 'none'));
  const cursor = seen('.cursor')[0];
  const [said] = seen('.said');
  const [beats] = seen('.beats');
  return {
    lit: seen('.lit').map(own => [own.dataset.bar, own.dataset.beat, own.dataset.player ?? ''].join(' ')).sort(),
    said: said?.dataset.text ?? '',
    beat: beats ? `${beats.dataset.beat}/${beats.dataset.of}` : '',
    line: [...svg.querySelectorAll('.page')].findIndex(own => getComputedStyle(own).display !== 'none'),
    x: cursor ? cursor.transform.animVal.getItem(0).matrix.e : null,
  };
}"""
# What is seen in an element that holds engraved music, and in one that holds what is counted.
PAGE = """
window.seenIn = (roots, counted) => {
  const player = own => own.closest('[data-player]')?.dataset.player ?? '';
  const lit = roots.flatMap(root => [...root.querySelectorAll('.lit')]);
  const cursor = roots.map(root => root.querySelector('.cursor')).find(Boolean);
  const dots = [...counted.querySelectorAll('.beat')];
  const number = dots.findIndex(dot => dot.matches('.now')) + 1;
  const inked = cursor && cursor.parentNode.querySelector('.notehead, .staff-line, path');
  return {
    lit: [...new Set(lit.map(own => [own.dataset.bar, own.dataset.beat, player(own)].join(' ')))].sort(),
    said: counted.querySelector('.said')?.textContent ?? '',
    beat: number ? `${number}/${dots.length}` : '',
    line: cursor ? `${cursor.getAttribute('y')}` : null,
    x: cursor ? Number(cursor.getAttribute('x')) + Number(cursor.getAttribute('width')) / 2 : null,
    covers: Boolean(inked && !(inked.compareDocumentPosition(cursor) & Node.DOCUMENT_POSITION_PRECEDING)),
  };
};
"""


def fail(message):
    sys.exit(f"motion: {message}")


def hold(holds, message):
    if not holds:
        fail(message)


def run(*command):
    done = subprocess.run([str(word) for word in command], capture_output=True, text=True, check=False)
    hold(done.returncode == 0, f"{' '.join(map(str, command))}\n{done.stderr}")
    return done.stdout


def wait(page, holds):
    """Until something holds; the desk's own policy forbids to wait for it by `eval`."""
    end = time.monotonic() + PATIENCE
    while not page.evaluate(f"Boolean({holds})"):
        hold(time.monotonic() < end, f"in {PATIENCE} s it never held that {holds}")
        time.sleep(0.02)


class Film:
    """The animated SVG of a block."""

    def __init__(self, browser, text, block, folder):
        svg = folder / f"{block}.svg"
        run(shared.program(), "film", text, "--block", block, "--practice", "alone", "--at", FIRST, "-o", svg)
        self.page = browser.new_page(viewport={"width": 1920, "height": 300})
        self.page.set_content(f"<style>*{{margin:0}}</style>{svg.read_text()}")
        # It is held against several pages at the same moments.
        self.seen = {}

    def at(self, seconds):
        if seconds not in self.seen:
            self.seen[seconds] = self.page.evaluate(FILM, FIRST + seconds)
        return self.seen[seconds]


class Lesson:
    """The page of a lesson; its clock is the check's."""

    def __init__(self, context, address, number):
        self.page = context.new_page()
        self.page.add_init_script(PAGE)
        self.page.goto(address)
        self.number = number
        self.page.evaluate("""number => {
          window.now = 0;
          Object.defineProperty(Transport.prototype, 'heard', { get: () => window.now });
          const controls = document.querySelectorAll('.controls')[number];
          controls.querySelector('.loop').click();
          controls.querySelector('.play').click();
        }""", number)
        self.motion = self.page.evaluate(
            "number => JSON.parse(document.getElementById('lesson-data').textContent).blocks[number].motion", number)
        wait(self.page, f"document.querySelectorAll('.controls')[{number}].querySelector('.said')")

    def at(self, when):
        return self.page.evaluate("""async ([number, when]) => {
          window.now = when;
          await new Promise(done => requestAnimationFrame(() => setTimeout(done)));
          const controls = document.querySelectorAll('.controls')[number];
          const figure = controls.closest('figure');
          const svg = [...figure.querySelectorAll('svg')].find(own => getComputedStyle(own).display !== 'none');
          return seenIn([svg], controls.querySelector('.counted'));
        }""", [self.number, when])


class Desk:
    """The desk; its clock is the check's."""

    def __init__(self, context, text, block):
        self.run = subprocess.Popen([shared.program(), "desk", str(text), "--no-browser"],
                                    stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        address = next((line.strip() for line in self.run.stdout if "http://" in line), None)
        hold(address, "no address was told")
        self.page = context.new_page()
        self.page.add_init_script(PAGE)
        self.page.goto(address)
        wait(self.page, "globalThis.desk && desk.editor.text.length > 0 && desk.pages.hosts.length > 0")
        wait(self.page, "desk.pages.hosts.some(host => host.shadowRoot.querySelector('.note'))")
        self.page.evaluate("""block => {
          desk.editor.go(desk.editor.text.indexOf(` ${block} "`));
          window.now = 0;
          desk.player.time = () => window.now;
          desk.player.looped.on || [...document.querySelectorAll('#playing button')].find(own =>
            own.textContent === 'Loop').click();
          desk.player.toggle();
        }""", block)
        wait(self.page, "desk.player.source && desk.player.panel.querySelector('.said')")
        self.moving = self.page.evaluate("desk.player.heard.moving")
        self.motion = self.moving[0]["motion"]

    def at(self, when):
        return self.page.evaluate("""async when => {
          window.now = when;
          await new Promise(done => requestAnimationFrame(() => setTimeout(done)));
          return seenIn(desk.pages.hosts.map(host => host.shadowRoot), desk.player.panel);
        }""", when)

    def end(self):
        self.page.close()
        self.run.terminate()
        self.run.wait()


class Exercise:
    """An exercise of a series that is played on the desk."""

    def __init__(self, desk, number):
        self.desk = desk
        self.of = desk.moving[number]
        self.motion = self.of["motion"]
        # Its page comes to sight when it is its turn.
        end = time.monotonic() + PATIENCE
        while self.at(AFTER)["x"] is None:
            hold(time.monotonic() < end, f"exercise {number + 1} never moved")

    def at(self, when):
        return self.desk.at(self.of["from"] + when)


class Web:
    """The page that `build` writes; its clock is the check's."""

    def __init__(self, context, address, number):
        self.page = context.new_page()
        self.said = []
        self.page.on("console", lambda message: self.said.append(message.text))
        self.page.add_init_script(PAGE + "window.now = 0; performance.now = () => window.now;")
        self.page.goto(address)
        self.number = number
        self.motion, self.seconds = self.page.evaluate("""number => {
          const own = JSON.parse(document.getElementById('motion-data').textContent)[number];
          return [own.motion, own.seconds];
        }""", number)
        self.counted = -self.motion["beats"][0][0]
        self.button(number).click()

    def button(self, number):
        return self.page.locator(".show button").nth(number)

    def at(self, when):
        return self.page.evaluate("""async ([number, now]) => {
          window.now = now;
          await new Promise(done => requestAnimationFrame(() => setTimeout(done)));
          const controls = document.querySelectorAll('.show')[number];
          const figure = controls.closest('figure');
          const svg = [...figure.querySelectorAll('svg:not(.lv)')].find(own => getComputedStyle(own).display !== 'none');
          return seenIn([svg], controls.querySelector('.counted'));
        }""", [self.number, (self.counted + when) * 1000])


def close(told, film, page):
    for name in ("lit", "said", "beat"):
        hold(film[name] == page[name], f"{told}: {name} is {page[name]!r}, in the film {film[name]!r}")
    hold(not page["covers"], f"{told}: the cursor lies over ink")
    hold((film["x"] is None) == (page["x"] is None), f"{told}: the cursor is at {page['x']}, in the film {film['x']}")


def share(seen):
    """How far the cursor is on its way, of three moments; nothing where it goes to another line meanwhile."""
    start, middle, end = seen
    if None in (start["x"], middle["x"], end["x"]) or len({own["line"] for own in seen}) > 1:
        return None
    way = end["x"] - start["x"]
    return (middle["x"] - start["x"]) / way if way > SHORTEST else None


def compare(told, film, other, seconds, whens):
    """At every onset and between two, by the film's seconds and the other's own times."""
    alike = 0
    for nth in range(len(seconds) - 1):
        pairs = []
        for way in (0, 0.4, 1):
            moment = lambda times, after: times[nth] + (times[nth + 1] - times[nth]) * way + (after if way < 1 else -after)
            pairs.append((film.at(moment(seconds, AFTER)), other.at(moment(whens, AFTER))))
        for film_seen, seen in pairs[:2]:
            close(f"{told}, {seconds[nth]:.3f} s", film_seen, seen)
        own, its = share([pair[0] for pair in pairs]), share([pair[1] for pair in pairs])
        if own is not None and its is not None:
            hold(abs(own - its) < SHARE, f"{told}, after {seconds[nth]:.3f} s: {its} of the way, in the film {own}")
            alike += 1
    hold(alike > len(seconds) / 2, f"{told}: the cursor goes alike only {alike} times of {len(seconds)}")


def onsets(motion):
    times = sorted({light[0] for light in motion["lights"]})
    return times[:24]


def pictures(name, page, at, whens):
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        for nth in range(5):
            at(whens[nth * (len(whens) - 1) // 4] + AFTER)
            page.screenshot(path=PICTURES / f"{name}-{scheme}-{nth}.png")


def series(context, browser, folder):
    """The exercises of a series move on the desk one after the other, each as the film of it alone does."""
    text = folder / "series.flam"
    text.write_text(SERIES)
    alone = folder / "alone.flam"
    # Written out, each but the first is a block without a name.
    first, *others = run(shared.program(), "expand", text).split("\nexercise\n")
    named = "".join(f"\nexercise e{nth}\n{other}" for nth, other in enumerate(others, 1))
    alone.write_text(first.replace("exercise doors", "exercise e0") + named)
    desk = Desk(context, text, "doors")
    try:
        hold(len(desk.moving) == 20, f"{len(desk.moving)} exercises move")
        pages = {page for own in desk.moving for page, _ in own["blocks"]}
        hold(len(pages) > 1, f"all exercises stand on the pages {pages}")
        for number in EXERCISES:
            film = Film(browser, alone, f"e{number}", folder)
            exercise = Exercise(desk, number)
            seconds = onsets(exercise.motion)
            compare(f"desk, exercise {number + 1}", film, exercise, seconds, seconds)
            labels = desk.page.evaluate("desk.pages.lit.map(own => own.closest('.block').getAttribute('aria-label'))")
            hold(set(labels) == {exercise.of["name"]}, f"exercise {number + 1} lights notes of {labels}")
            if PICTURES and number == 11:
                pictures("desk-series", desk.page, exercise.at, seconds)
            film.page.close()
    finally:
        desk.end()


def seen_moving(web):
    return web.page.evaluate("""[...document.querySelectorAll('figure')].map(figure => [
      figure.querySelector('.show button')?.getAttribute('aria-pressed') === 'true',
      figure.querySelectorAll('.lit').length > 0,
      Boolean(figure.querySelector('.cursor')),
      (figure.querySelector('.said')?.textContent ?? '') !== '',
    ])""")


def buttons(browser, context, address):
    """What the buttons of the web page are for whoever presses them."""
    web = Web(context, address, 0)
    page, still = web.page, [False] * 4
    names = page.evaluate("[...document.querySelectorAll('.show button')].map(own => own.getAttribute('aria-label'))")
    hold(len(set(names)) == len(BLOCKS) and "Through the gate" in names[0], f"the buttons are called {names}")
    web.at(AFTER)
    hold(seen_moving(web)[0] == [True] * 4, f"the first block shows {seen_moving(web)[0]}")
    # The second, by key: the first ends.
    page.keyboard.press("Tab")
    hold(page.evaluate("document.activeElement.getAttribute('aria-label')") == names[1], "Tab goes elsewhere")
    page.keyboard.press("Enter")
    web.number = 1
    page.evaluate("window.now += 4000")
    page.wait_for_timeout(100)
    shown = seen_moving(web)
    hold(shown[0] == still and shown[1][0] and shown[1][3], f"after the second button {shown}")
    page.keyboard.press("Escape")
    hold(all(own == still for own in seen_moving(web)), f"after Escape {seen_moving(web)}")
    # A second press ends it, and so does the end of the music.
    for ending in ("press", "end"):
        web.button(0).click()
        hold(seen_moving(web)[0][0], "the button is not pressed")
        if ending == "press":
            web.button(0).click()
        else:
            page.evaluate("seconds => { window.now += seconds * 1000; }", web.counted + web.seconds + 0.1)
            page.wait_for_timeout(200)
        hold(all(own == still for own in seen_moving(web)), f"after its {ending} {seen_moving(web)}")
    # With less motion there is no line; in print no button either.
    page.emulate_media(reduced_motion="reduce")
    page.evaluate("window.now = 0")
    web.button(0).click()
    web.number = 0
    hold(web.at(AFTER)["lit"], "with less motion no note is lit")
    shown = "own => getComputedStyle(own).display"
    hold(page.eval_on_selector(".cursor", shown) == "none", "with less motion there is a line")
    page.emulate_media(reduced_motion="no-preference", media="print")
    for name in (".cursor", ".show"):
        hold(page.eval_on_selector(name, shown) == "none", f"{name} is printed")
    page.emulate_media(media="screen")
    hold(page.eval_on_selector(".show", shown) != "none", "on the screen there is no button")
    hold(not web.said, f"the console says {web.said}")
    silent = browser.new_context(java_script_enabled=False).new_page()
    silent.goto(address)
    hold(silent.locator(".show button:visible").count() == 0, "without scripts there is a button")
    silent.close()


def web_pages(browser, address):
    for width in WIDTHS:
        for scheme in ("light", "dark"):
            context = browser.new_context(viewport={"width": width, "height": 900}, color_scheme=scheme)
            web = Web(context, address, 0)
            web.at(onsets(web.motion)[5] + AFTER)
            wide = web.page.evaluate("document.documentElement.scrollWidth")
            hold(wide <= width, f"at {width} px the page is {wide} wide while it moves")
            if PICTURES:
                web.page.screenshot(path=PICTURES / f"web-{width}-{scheme}.png")
                if width == 1024:
                    web.page.emulate_media(media="print")
                    web.page.screenshot(path=PICTURES / f"web-print-{scheme}.png")
            context.close()


def main():
    path = next((p for n in ("chromium", "chromium-browser") if (p := shutil.which(n))), None)
    if not path:
        print("motion: skipped, no chromium here")
        return
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        folder = pathlib.Path(folder)
        text = folder / "step.flam"
        text.write_text(TEXT)
        run(shared.program(), "lesson", text, "-o", folder / "out")
        run(shared.program(), "build", text, "-o", folder / "page.html")
        run(shared.program(), "build", text, "--web", "-o", folder / "book")
        if PICTURES:
            PICTURES.mkdir(exist_ok=True)
        browser = playwright.chromium.launch(executable_path=path, args=["--no-sandbox", "--autoplay-policy=no-user-gesture-required"])
        context = browser.new_context(viewport={"width": 1440, "height": 1400})
        for number, block in enumerate(BLOCKS):
            film = Film(browser, text, block, folder)
            desk = Desk(context, text, block)
            try:
                seconds = onsets(desk.motion)
                compare(f"desk, {block}", film, desk, seconds, seconds)
                lesson = Lesson(context, (folder / "out" / "index.html").as_uri(), number)
                beats = onsets(lesson.motion)
                hold(len(beats) == len(seconds), f"{block}: {len(beats)} onsets in the lesson, {len(seconds)} on the desk")
                compare(f"lesson, {block}", film, lesson, seconds, beats)
                for name in ("page.html", "book/index.html"):
                    web = Web(context, (folder / name).as_uri(), number)
                    hold(onsets(web.motion) == seconds, f"{block}: {onsets(web.motion)} on {name}, {seconds} on the desk")
                    compare(f"{name}, {block}", film, web, seconds, seconds)
                    hold(not web.said, f"the console of {name} says {web.said}")
                    web.page.close()
                if PICTURES and block in ("gate", "two"):
                    pictures(f"desk-{block}", desk.page, desk.at, seconds)
                    pictures(f"lesson-{block}", lesson.page, lesson.at, beats)
                # A page that plays goes on drawing where nobody sees it.
                lesson.page.close()
                film.page.close()
            finally:
                desk.end()
        series(context, browser, folder)
        buttons(browser, context, (folder / "page.html").as_uri())
        web_pages(browser, (folder / "page.html").as_uri())
        browser.close()
    print("motion: the desk, the page of a lesson and the web page move as films do")


if __name__ == "__main__":
    main()
