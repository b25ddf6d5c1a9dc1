"""The desk in headless Chromium, for checks that work on it. Made after `in_own_environment`, since it needs
playwright."""

import os
import pathlib
import shutil
import subprocess
import sys
import time

import shared
from playwright.sync_api import Error

PATIENCE = 60


def fail(message):
    sys.exit(f"{pathlib.Path(sys.argv[0]).stem}: {message}")


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


def browser_of(driver):
    """Headless Chromium; ends the check where there is none."""
    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    if chromium is None:
        print(f"{pathlib.Path(sys.argv[0]).stem}: skipped, no chromium here")
        sys.exit()
    return driver.chromium.launch(
        executable_path=chromium, args=["--no-sandbox", "--autoplay-policy=no-user-gesture-required"])


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


def set_text(page, text):
    page.evaluate("""async (text) => {
      desk.editor.replace(0, desk.editor.text.length, text);
      await desk.settled();
    }""", text)


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


def open_desk(context, desk, found):
    page = context.new_page()
    page.on("console", lambda message: found.append(f"{message.type}: {message.text}"))
    page.on("pageerror", lambda error: found.append(f"error: {error}"))
    page.goto(desk.address)
    wait(page, "globalThis.desk && desk.editor.text.length > 0 && desk.pages.hosts.length > 0")
    return page


def hold_quiet(found):
    """That a page said nothing in its console but what comes of a program that has ended."""
    wrong = [line for line in found if "Failed to load resource" not in line and "ERR_CONNECTION" not in line]
    hold(not wrong, "the console says " + "; ".join(wrong[:5]))
