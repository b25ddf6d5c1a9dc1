#!/usr/bin/env python3
"""Holds that the desk and the page of a lesson move as the film of the same music does, in headless Chromium (driven by
playwright, PyPI).

    tests/outside/motion.py             checks
    tests/outside/motion.py FOLDER      and keeps pictures of both at five times, light and dark, there

Needs chromium (Debian: chromium). Makes a virtual environment of its own in tests/outside/.venv. FLAMACUE names the
program.

Holds, for blocks of several kinds, at every onset and between any two: the notes that are lit, by bar, beat and
player, the syllable that is said and the beat are those of the film, an animated SVG in the same browser; and the
cursor is as far on its way from note to note as there. On pages it lies under all ink.
"""

import pathlib
import shutil
import subprocess
import sys
import tempfile
import time

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent))
import shared  # noqa: E402

shared.in_own_environment({"playwright": "playwright"})

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

    def at(self, seconds):
        return self.page.evaluate(FILM, FIRST + seconds)


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
          await new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)));
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
          desk.editor.go(desk.editor.text.indexOf(` ${block} `));
          window.now = 0;
          desk.player.time = () => window.now;
          desk.player.looped.on || [...document.querySelectorAll('#playing button')].find(own =>
            own.textContent === 'Loop').click();
          desk.player.toggle();
        }""", block)
        wait(self.page, "desk.player.source && desk.player.panel.querySelector('.said')")
        self.motion = self.page.evaluate("desk.player.heard.motion")

    def at(self, when):
        return self.page.evaluate("""async when => {
          window.now = when;
          await new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)));
          return seenIn(desk.pages.hosts.map(host => host.shadowRoot), desk.player.panel);
        }""", when)

    def end(self):
        self.run.terminate()
        self.run.wait()


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
                if PICTURES and block in ("gate", "two"):
                    PICTURES.mkdir(exist_ok=True)
                    pictures(f"desk-{block}", desk.page, desk.at, seconds)
                    pictures(f"lesson-{block}", lesson.page, lesson.at, beats)
            finally:
                desk.end()
        browser.close()
    print("motion: the desk and the page of a lesson move as films do")


if __name__ == "__main__":
    main()
