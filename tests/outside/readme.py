#!/usr/bin/env python3
"""Runs the commands of the README, in order and as they stand there, in a folder with what they name.

    tests/outside/readme.py

FLAMACUE names the program that stands for `cargo run --release --`, and for `flamacue`. Takes about a minute on a
debug build.

Holds: each command ends well and without a warning; the desk opens, and its page is there; what the README shows as
made is made so, byte for byte, by the command that stands over it; and the fault that it shows is said in these words.
"""

import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import time
import urllib.request

import shared

README = (shared.ROOT / "README.md").read_text()
BY_CARGO = "cargo run --release -- "
# What cargo does by itself is done by other checks.
PASSED_OVER = {"cargo test"}
# How long the desk may take to tell its address, in seconds.
PATIENCE = 60
# What a build of the demo is held against.
MADE = "over-the-bakery.pdf"


def commands():
    """The commands in lines of their own, without what is said beside them."""
    lines = [line[4:] for line in README.splitlines() if re.match(r"    (cargo|flamacue) ", line)]
    return [re.split(r" {2,}", line)[0].strip() for line in lines]


def split(command):
    """A command with several endings, as `-o page.svg     or page.png`, is as many commands."""
    line = next(line for line in README.splitlines() if line[4:].startswith(command))
    named = re.search(r"(\S+)\.\w+$", command)
    others = re.findall(r"(?:\bor |, )(\S*\.\w+)", line[4 + len(command) :]) if named else []
    yield command
    for other in others:
        yield command[: named.start()] + (other if not other.startswith(".") else named[1] + other)


def arguments(command):
    return command.removeprefix(BY_CARGO).removeprefix("flamacue ").split()


def run(command, folder):
    ended = subprocess.run([shared.program(), *arguments(command)], cwd=folder, capture_output=True, text=True)
    if ended.returncode or "warning" in ended.stderr or "error" in ended.stderr:
        sys.exit(f"readme: `{command}` ends with {ended.returncode}:\n{ended.stderr}")


def open_desk(command, folder):
    """Opens the desk as a person does; the browser is one that does nothing."""
    browser = folder / "browser"
    browser.write_text("#!/bin/sh\n")
    browser.chmod(0o755)
    variables = {**os.environ, "BROWSER": str(browser)}
    variables.pop("DISPLAY", None)
    told = folder / "told"
    with told.open("w") as out:
        desk = subprocess.Popen(
            [shared.program(), *arguments(command)], cwd=folder, env=variables, stdout=out, stderr=out
        )
    try:
        end = time.monotonic() + PATIENCE
        while not (address := re.search(r"http://127\.0\.0\.1:\d+/\w+/", told.read_text())):
            if desk.poll() is not None or time.monotonic() > end:
                sys.exit(f"readme: `{command}` tells no address:\n{told.read_text()}")
            time.sleep(0.1)
        with urllib.request.urlopen(address[0], timeout=PATIENCE) as page:
            assert "<title>Desk</title>" in page.read().decode()
    finally:
        desk.terminate()
        desk.wait()


def shown_fault(folder):
    """The fault that is shown, of the text it is shown in."""
    shown = re.search(r"^    error: .*?(?=\n\n\S)", README, flags=re.DOTALL | re.MULTILINE)[0]
    shown = "\n".join(line[4:] for line in shown.split("\n"))
    place = re.search(r"─ (\S+):(\d+):", shown)
    row = re.search(r"^ *\d+ │ (.*)$", shown, flags=re.MULTILINE)[1]
    (folder / place[1]).write_text("fill\n" + row + "\n")
    said = subprocess.run([shared.program(), "check", place[1]], cwd=folder, capture_output=True, text=True).stderr
    assert said.strip().splitlines() == shown.rstrip().splitlines(), f"{said}\n{shown}"


def main():
    count = 0
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        shutil.copytree(shared.ROOT / "demo", folder / "demo")
        made = folder / "demo" / MADE
        whole = made.read_bytes()
        made.unlink()
        for command in commands():
            if command in PASSED_OVER:
                continue
            for one in split(command):
                if arguments(one)[0] == "desk":
                    open_desk(one, folder)
                else:
                    run(one, folder)
                count += 1
            if arguments(command) == ["build", f"demo/{MADE.replace('.pdf', '.flam')}"]:
                assert made.read_bytes() == whole, "the demo is another than the one that is shown"
        assert made.exists() and count > 8, f"{count} commands"
        shown_fault(folder)
    links = re.findall(r"\]\(([^)#:]+)\)", README)
    missing = [link for link in links if not (shared.ROOT / link).exists()]
    assert not missing, missing
    print(f"readme: {count} commands do what is said of them, {len(links)} links lead somewhere")


if __name__ == "__main__":
    main()
