#!/usr/bin/env python3
"""Does to the desk what happens to machines, in headless Chromium (driven by playwright, PyPI).

    tests/outside/desk_survives.py

Needs chromium (Debian: chromium). Makes a virtual environment of its own in tests/outside/.venv. FLAMACUE names
the program.

Holds: where the folder of the text goes, or a file takes its place, what is typed stays and is told not to be saved,
and when the folder is back it is saved; a folder on the desk that can't be read says so until it can; a program that
was stopped for a while, as when the machine sleeps, has all that was typed meanwhile, saves it and has not ended; nor
has one that sleeps without a page; a page whose clock jumps by hours goes on.
"""

import os
import pathlib
import shutil
import signal
import sys
import tempfile
import time

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent))
import shared  # noqa: E402

shared.in_own_environment("playwright")

from playwright.sync_api import sync_playwright  # noqa: E402

from shared.desk import Desk, browser_of, open_desk, settled, text_of, wait  # noqa: E402

TEXT = 'fill tray "First"\n  play  s s s s\n'
STATE = "document.getElementById('state').textContent"
# Seconds: how long a program is stopped, and after how long without a page a desk ends here.
STOPPED, PATIENCE = 7, 5


def hold(holds, message):
    if not holds:
        sys.exit(f"desk_survives: {message}")


def typed(page, words):
    page.evaluate("words => desk.editor.replace(0, 0, words)", words)


def saved(page, file, words):
    page.keyboard.press("Control+s")
    wait(page, f"{STATE} === 'Saved'")
    hold(words in file.read_text(), f"{words!r} is not in {file.read_text()!r}")


def on_desk(browser, file, *arguments, clock=False):
    desk = Desk(file, *arguments)
    context = browser.new_context()
    if clock:
        context.clock.install()
    return desk, open_desk(context, desk, [])


def text_in(folder, name):
    (folder / name).mkdir()
    file = folder / name / "tray.flam"
    file.write_text(TEXT)
    return file


def folder_goes(browser, folder):
    file = text_in(folder, "lessons")
    desk, page = on_desk(browser, file)
    away = folder / "away"
    for in_its_place in (None, "a file of its name"):
        shutil.move(file.parent, away)
        wait(page, f"{STATE}.includes('no longer there')")
        if in_its_place:
            file.parent.write_text(in_its_place)
        typed(page, f"// while it was away: {in_its_place}\n")
        settled(page)
        page.keyboard.press("Control+s")
        page.click("#question[open] button:has-text('Write this text')")
        wait(page, f"{STATE}.includes(\"can't write\")")
        hold("while it was away" in text_of(page), "what was typed is lost")
        hold(page.evaluate("!desk.host.saved"), "it is told to be saved")
        if in_its_place:
            file.parent.unlink()
        shutil.move(away, file.parent)
        wait(page, f"{STATE}.includes('there again')")
        hold(page.evaluate("!desk.host.saved"), "what was typed is told to be saved")
        saved(page, file, f"// while it was away: {in_its_place}")
    # Where nothing was typed, all is saved when it is back.
    shutil.move(file.parent, away)
    wait(page, f"{STATE}.includes('no longer there')")
    shutil.move(away, file.parent)
    wait(page, f"{STATE}.includes('there again')")
    hold(page.evaluate("desk.host.saved"), "it is told not to be saved")
    desk.end()


def folder_is_closed(browser, folder):
    lessons = text_in(folder, "closed").parent
    desk = Desk(lessons)
    page = browser.new_page()
    page.goto(desk.address)
    page.wait_for_selector("#texts button")
    # As a person who comes back to the page.
    look = "window.dispatchEvent(new PageTransitionEvent('pageshow'))"
    away = folder / "closed-away"
    shutil.move(lessons, away)
    lessons.write_text("in its place")
    page.evaluate(look)
    wait(page, f"{STATE}.includes(\"can't read the folder\")")
    page.fill("#new-name", "Monday")
    page.keyboard.press("Enter")
    wait(page, f"{STATE}.includes(\"can't write\")")
    lessons.unlink()
    shutil.move(away, lessons)
    page.evaluate(look)
    page.wait_for_selector("#texts button")
    page.fill("#new-name", "Monday")
    page.keyboard.press("Enter")
    wait(page, "globalThis.desk?.pages?.hosts.length > 0")
    desk.end()


def stop(desk):
    desk.run.send_signal(signal.SIGSTOP)
    time.sleep(STOPPED)
    desk.run.send_signal(signal.SIGCONT)


def machine_sleeps(browser, folder):
    file = text_in(folder, "asleep")
    desk, page = on_desk(browser, file, "--leave-after", str(PATIENCE))
    desk.run.send_signal(signal.SIGSTOP)
    # Key by key, each after the other was sent.
    for nth in range(4):
        typed(page, f"// {nth}\n")
        page.wait_for_timeout(100)
    page.keyboard.press("Control+s")
    time.sleep(STOPPED)
    desk.run.send_signal(signal.SIGCONT)
    settled(page)
    wait(page, f"{STATE} === 'Saved'")
    hold(file.read_text().startswith("// 3\n// 2\n// 1\n// 0\n"), f"what was typed is {file.read_text()!r}")
    wait(page, "desk.pages.hosts[0].shadowRoot.querySelectorAll('.note').length === 4")
    time.sleep(PATIENCE + 1)
    hold(desk.run.poll() is None, "the desk ended while a page was open")
    typed(page, "// awake\n")
    settled(page)
    saved(page, file, "// awake")
    # It sleeps again while no page asks: the page has its time when both are awake.
    page.close(run_before_unload=False)
    time.sleep(1)
    stop(desk)
    time.sleep(PATIENCE / 2)
    hold(desk.run.poll() is None, "the desk ended as soon as it was awake")
    end = time.monotonic() + 4 * PATIENCE
    while desk.run.poll() is None:
        hold(time.monotonic() < end, "the desk never ended though nobody was there")
        time.sleep(0.1)


def clock_jumps(browser, folder):
    file = text_in(folder, "clock")
    desk, page = on_desk(browser, file, clock=True)
    for hours in (8, 24 * 40):
        typed(page, f"// before {hours}\n")
        page.clock.fast_forward(hours * 3600 * 1000)
        typed(page, f"// after {hours}\n")
        settled(page)
        page.evaluate("desk.editor.go(desk.editor.text.indexOf('play'))")
        page.keyboard.press("Control+Enter")
        wait(page, "desk.player.source !== null")
        page.clock.fast_forward(hours * 3600 * 1000)
        page.click("#playing button:text-is('Stop')")
        saved(page, file, f"// after {hours}\n// before {hours}")
    file.write_text(TEXT)
    wait(page, "!desk.editor.text.includes('after')")
    desk.end()


def main():
    if os.name != "posix":
        print("desk_survives: skipped, no signals here")
        return
    with tempfile.TemporaryDirectory() as room, sync_playwright() as driver:
        browser = browser_of(driver)
        for work in (folder_goes, folder_is_closed, machine_sleeps, clock_jumps):
            work(browser, pathlib.Path(room))
        browser.close()
    print("desk_survives: a folder that goes, one that is closed, sleep and clocks that jump: nothing is lost")


if __name__ == "__main__":
    start = time.monotonic()
    main()
    print(f"desk_survives: {time.monotonic() - start:.0f} s")
