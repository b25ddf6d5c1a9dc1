#!/usr/bin/env python3
"""Plays the web page of a lesson in headless Chromium.

    tests/outside/lesson_page.py             checks
    tests/outside/lesson_page.py --pictures FOLDER    and keeps a picture of each width there

Needs chromium (Debian: chromium) and bash. FLAMACUE names the program. Nothing is fetched: the page is a file and
names no other.

Holds: an AudioContext runs; strokes start when the text says, worked out by hand below; a loop goes on after as
many beats as the block has; another tempo moves the strokes that follow and changes neither rate nor detune of any;
the note that sounds is lit in each frame; buttons work by keyboard and have names; a script in a title does not
run; no width scrolls sideways; nothing is asked of a network and nothing is said in the console.

Source: what Chromium says of its own audio graph and layout (Web Audio API, CSSOM View), by the Chrome DevTools
Protocol.
"""

import base64
import json
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile
import time

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent))
from shared import frames  # noqa: E402

ROOT = pathlib.Path(__file__).resolve().parents[2]
WIDTHS = [390, 1024, 1440]
# Four quarters of half a second; the third has a grace note 0.03 s before it, the usual spread.
TEXT = """title: <script>window.ran = 1</script> Low Tide
author: Imke "&" Co <img src=x onerror="window.ran = 1">
tempo: 120

Some words before it all, \\<script>window.ran = 1\\</script>.

fill slip "Off the slip <script>window.ran = 1</script>"
  play   k s 't C

exercise two "Two"
  player "Ada"
    play  s s s s
  player "Bo"
    play  . k . k
"""
SECONDS_A_BEAT = 0.5
# Seconds: strokes are told to the tenth of a millisecond.
SLACK = 0.0005

# Notes every sound that starts, and what is lit with every frame.
WATCH = """
window.faults = []; window.contexts = []; window.starts = []; window.frames = [];
window.addEventListener('error', event => faults.push(event.message));
for (const level of ['error', 'warn']) console[level] = (...words) => faults.push(words.join(' '));
const Own = window.AudioContext;
window.AudioContext = class extends Own { constructor(...all) { super(...all); contexts.push(this); } };
const { start, stop } = AudioScheduledSourceNode.prototype;
AudioBufferSourceNode.prototype.start = function (when) {
  this.note = { when, rate: this.playbackRate.value, detune: this.detune.value, seconds: this.buffer.duration };
  starts.push(this.note);
  return start.call(this, when);
};
AudioBufferSourceNode.prototype.stop = function (when) {
  // Called back before it began.
  if (when === 0 && this.context.currentTime < this.note.when) this.note.back = true;
  return stop.call(this, when);
};
window.watch = () => {
  const context = contexts[0];
  if (context) {
    const late = context.outputLatency || context.baseLatency || 0;
    const player = e => e.closest('[data-player]')?.dataset.player ?? '';
    const lit = [...document.querySelectorAll('svg.w1 .lit')].map(e => player(e) + e.dataset.beat);
    frames.push([context.currentTime - late, lit.join(' ')]);
  }
  requestAnimationFrame(watch);
};
"""


def fail(message):
    sys.exit(f"lesson_page: {message}")


class Browser:
    """One page in Chromium, told what to do through a pipe (--remote-debugging-pipe)."""

    def __init__(self, path, folder):
        self.number, self.events, self.rest = 0, [], b""
        (reads, self.to), (self.back, writes) = os.pipe(), os.pipe()
        options = ["--headless=new", "--no-sandbox", "--disable-gpu", "--remote-debugging-pipe",
                   "--no-first-run", "--hide-scrollbars", f"--user-data-dir={folder / 'profile'}"]
        command = f'exec "$@" 3<&{reads} 4>&{writes}'
        self.process = subprocess.Popen(
            ["bash", "-c", command, "bash", path, *options, "about:blank"],
            pass_fds=(reads, writes), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        os.close(reads)
        os.close(writes)
        self.session = None
        page = next(target for target in self.call("Target.getTargets")["targetInfos"]
                    if target["type"] == "page")
        attached = self.call("Target.attachToTarget", targetId=page["targetId"], flatten=True)
        self.session = attached["sessionId"]
        for domain in ["Page", "Runtime", "Network"]:
            self.call(f"{domain}.enable")

    def call(self, method, **parameters):
        self.number += 1
        message = {"id": self.number, "method": method, "params": parameters}
        if self.session:
            message["sessionId"] = self.session
        os.write(self.to, json.dumps(message).encode() + b"\0")
        while True:
            answer = self.read()
            if answer.get("id") == self.number:
                if "error" in answer:
                    fail(f"{method}: {answer['error']}")
                return answer["result"]
            self.events.append(answer)

    def read(self):
        while b"\0" not in self.rest:
            part = os.read(self.back, 1 << 16)
            if not part:
                fail("the browser is gone")
            self.rest += part
        line, self.rest = self.rest.split(b"\0", 1)
        return json.loads(line)

    def run(self, script):
        answer = self.call("Runtime.evaluate", expression=script, returnByValue=True, awaitPromise=True,
                           userGesture=True)
        if "exceptionDetails" in answer:
            fail(f"{script}: {answer['exceptionDetails']}")
        return answer["result"].get("value")

    def wait(self, script, seconds=20, pause=0.05):
        end = time.monotonic() + seconds
        while not self.run(script):
            if time.monotonic() > end:
                fail(f"waited in vain for {script}; faults: {self.run('faults')}")
            time.sleep(pause)

    def press(self, key, code, text=None):
        down = {"key": key, "code": code, "windowsVirtualKeyCode": {"Space": 32, "Escape": 27, "ArrowLeft": 37}[code]}
        if text:
            down["text"] = text
        self.call("Input.dispatchKeyEvent", type="keyDown", **down)
        self.call("Input.dispatchKeyEvent", type="keyUp", **{k: v for k, v in down.items() if k != "text"})

    def end(self):
        self.call("Browser.close")
        self.process.wait(20)


def chromium():
    for name in ("chromium", "chromium-browser"):
        if path := shutil.which(name):
            return path
    print("lesson_page: skipped, no chromium here")
    sys.exit(0)


def expected(first, beats, beat):
    """When strokes start: quarters, and a grace note before each third one."""
    times = [first + number * beat for number in range(beats)]
    return sorted(times + [time - 0.03 for number, time in enumerate(times) if number % 4 == 2])


def close(found, wanted, what):
    if len(found) != len(wanted) or any(abs(a - b) > SLACK for a, b in zip(found, wanted)):
        fail(f"{what}: {found} for {wanted}")


def started(browser, clicks=False):
    """The times at which sounds start that were not called back."""
    starts = [start for start in browser.run("starts") if not start.get("back")]
    odd = [start for start in starts if start["rate"] != 1 or start["detune"] != 0]
    if odd:
        fail(f"sounds were bent: {odd}")
    return sorted(start["when"] for start in starts)


def set_to(browser, name, value):
    browser.run(f"""(() => {{
      const input = document.querySelector('.controls .{name}');
      if (input.type === 'checkbox') {{ if (input.checked !== {str(value).lower()}) input.click(); return; }}
      input.value = {json.dumps(value)}; input.dispatchEvent(new Event('input', {{bubbles: true}}));
    }})()""")


def play(browser):
    browser.run("starts.length = 0; frames.length = 0; document.querySelector('.controls .play').click()")
    browser.wait("contexts[0]?.state === 'running' && starts.length > 0")


def played(browser, button=0):
    """The frames that are shown while a block is played to its end, on a machine that has time to draw them."""
    for _ in range(5):
        browser.run(f"starts.length = 0; frames.length = 0; document.querySelectorAll('.controls .play')[{button}].click()")
        browser.wait("contexts[0]?.state === 'running' && starts.length > 0")
        browser.wait("!document.querySelector('.controls.on')")
        shown = browser.run("frames")
        if not frames.stalled(shown):
            return shown
    fail("no frames were drawn for long, five times")


def check_once(browser):
    """Counted in by four clicks, then played once; notes are lit as they sound."""
    shown = played(browser)
    found = started(browser)
    first = found[0] + 4 * SECONDS_A_BEAT
    close(found[:4], [found[0] + number * SECONDS_A_BEAT for number in range(4)], "count-in")
    close(found[4:], expected(first, 4, SECONDS_A_BEAT), "strokes")
    if wrong := frames.wrong(shown, lambda now: at((now - first) / SECONDS_A_BEAT)):
        fail(wrong)
    seen = {lit for _, lit in shown}
    if seen != {"", "1", "2", "3", "4"}:
        fail(f"{seen} were lit")


def at(beat):
    return str(int(beat) + 1) if 0 <= beat < 4 else ""


def check_loop_and_tempo(browser):
    set_to(browser, "intro", False)
    set_to(browser, "loop", True)
    play(browser)
    browser.wait("starts.filter(start => start.when < contexts[0].currentTime).length >= 13")
    found = started(browser)
    # Two rounds of five strokes and the start of a third.
    close(found[:12], expected(found[0], 12, SECONDS_A_BEAT)[:12], "loop")
    # In the first beat of a round, far from a grace note, which may have begun while its note has not.
    beat = f"((contexts[0].currentTime - {found[0]}) / {SECONDS_A_BEAT}) % 4"
    browser.wait(f"{beat} > 0.2 && {beat} < 0.6", pause=0.01)
    # Half as fast from here on: what has begun stays, and what follows comes at half the pace.
    set_to(browser, "tempo", "60")
    changed = browser.run("contexts[0].currentTime")
    count = len([when for when in started(browser) if when <= changed])
    browser.wait(f"starts.filter(s => !s.back && s.when < contexts[0].currentTime).length >= {count + 7}")
    found = started(browser)
    before = (changed - found[0]) / SECONDS_A_BEAT
    wanted = [time for time in slow(found[0], before, changed) if time > changed]
    for got, want in zip(found[count:count + 6], wanted):
        # The clock went on a little between the change and the look at it.
        if abs(got - want) > 0.05:
            fail(f"tempo: {found[count:count + 6]} for {wanted[:6]}")
    # Between strokes it is exact, but for the grace note, which comes as short before its note as before.
    gaps = [round(b - a, 4) for a, b in zip(found[count:count + 6], found[count + 1:count + 6])]
    if any(min(abs(gap - fit) for fit in (1.0, 0.97, 0.03)) > SLACK for gap in gaps):
        fail(f"gaps after a change of tempo: {gaps}")
    browser.press("Escape", "Escape")
    browser.wait("!document.querySelector('.controls').classList.contains('on')")
    if browser.run("document.querySelectorAll('.lit').length"):
        fail("notes are lit after a stop")
    set_to(browser, "tempo", "120")


def slow(first, before, changed):
    """When strokes start at a second a beat once `before` beats have gone by."""
    beats = [number for number in range(60)]
    time_of = lambda beat: first + beat * SECONDS_A_BEAT if beat <= before else changed + (beat - before)
    times = [time_of(beat) for beat in beats]
    return sorted(times + [time - 0.03 for beat, time in zip(beats, times) if beat % 4 == 2])


def check_players(browser):
    """The notes of two players light up, each its own."""
    browser.run("document.querySelectorAll('.controls .intro')[1].click()")
    seen = {note for _, lit in played(browser, button=1) for note in lit.split()}
    if seen != {"Ada1", "Ada2", "Ada3", "Ada4", "Bo2", "Bo4"}:
        fail(f"of two players are lit: {seen}")


def check_keys(browser):
    browser.run("document.querySelector('.controls .play').focus()")
    browser.press(" ", "Space", " ")
    browser.wait("document.querySelector('.controls').classList.contains('on')")
    browser.press(" ", "Space", " ")
    browser.wait("!document.querySelector('.controls').classList.contains('on')")
    browser.run("document.querySelector('.controls .tempo').focus()")
    browser.press("ArrowLeft", "ArrowLeft")
    if browser.run("document.querySelector('.controls .shown').textContent") != "119":
        fail("the tempo does not follow the arrow keys")
    tree = browser.call("Accessibility.getFullAXTree")["nodes"]
    names = {(node.get("role", {}).get("value"), node.get("name", {}).get("value")) for node in tree}
    title = "1 Off the slip <script>window.ran = 1</script>"
    for wanted in [("group", title), ("button", f"Play {title}"), ("checkbox", "Loop"),
                   ("checkbox", "Click"), ("checkbox", "Count-in"), ("slider", "Tempo")]:
        if wanted not in names:
            fail(f"nobody is told of {wanted}: {sorted(map(str, names))}")


def check_width(browser, width, pictures):
    browser.call("Emulation.setDeviceMetricsOverride", width=width, height=900, deviceScaleFactor=2,
                 mobile=width < 700)
    found = json.loads(browser.run("""JSON.stringify({
      scroll: document.documentElement.scrollWidth,
      small: [...document.querySelectorAll('.controls button, .controls label')].map(e =>
        e.getBoundingClientRect()).filter(box => box.height < 44).length,
      seen: [...document.querySelectorAll('figure')].map(f => [...f.querySelectorAll('svg')].filter(e =>
        getComputedStyle(e).display !== 'none').length)})"""))
    if found["scroll"] > width or found["small"] or any(count != 1 for count in found["seen"]):
        fail(f"at {width} px: {found}")
    if pictures:
        shot = browser.call("Page.captureScreenshot", format="png")
        (pictures / f"lesson-{width}.png").write_bytes(base64.b64decode(shot["data"]))


def check(browser, page, pictures):
    browser.call("Page.addScriptToEvaluateOnNewDocument", source=WATCH)
    browser.call("Page.navigate", url=page.as_uri())
    browser.wait("document.readyState === 'complete' && !!document.querySelector('.controls:not([hidden])')")
    browser.run("watch()")
    check_once(browser)
    check_loop_and_tempo(browser)
    check_players(browser)
    check_keys(browser)
    for width in WIDTHS:
        check_width(browser, width, pictures)
    if browser.run("window.ran") or browser.run("faults.length"):
        fail(f"ran: {browser.run('window.ran')}, faults: {browser.run('faults')}")
    asked = [event["params"]["request"]["url"][:80] for event in browser.events
             if event.get("method") == "Network.requestWillBeSent"]
    if any(not url.startswith(("file:", "data:")) for url in asked):
        fail(f"the page asks a network: {asked}")


def main():
    path = chromium()
    program = os.environ.get("FLAMACUE") or ROOT / "target" / "debug" / "flamacue"
    pictures = pathlib.Path(sys.argv[2]) if sys.argv[1:2] == ["--pictures"] else None
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        (folder / "tide.flam").write_text(TEXT)
        subprocess.run([program, "lesson", folder / "tide.flam", "-o", folder / "out"], check=True)
        page = folder / "out" / "index.html"
        browser = Browser(path, folder)
        try:
            check(browser, page, pictures)
        finally:
            browser.end()
        print(f"lesson_page: plays, loops, changes its tempo and lights its notes; {page.stat().st_size / 1e6:.1f} MB")


main()
