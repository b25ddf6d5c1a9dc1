"""What the measurements share: the program, the texts it is given, and whole processes timed."""

import importlib.util
import os
import pathlib
import statistics
import subprocess
import sys
import time

ROOT = pathlib.Path(__file__).resolve().parents[1]
TARGET = pathlib.Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target"))
HANDOUT = ROOT / "demo" / "over-the-bakery.flam"
# Chapters of the made-up book; so many are some three hundred pages.
CHAPTERS = 44


class Run:
    """Runs of one command, each a process of its own: seconds, processor seconds and kilobytes."""

    def __init__(self, command, one_core=False):
        self.command = [str(word) for word in command]
        self.environment = os.environ | ({"RAYON_NUM_THREADS": "1"} if one_core else {})
        self.walls, self.processors, self.memory = [], [], 0

    def once(self):
        start = time.perf_counter()
        child = subprocess.Popen(self.command, stdout=subprocess.DEVNULL, env=self.environment)
        _, status, usage = os.wait4(child.pid, 0)
        self.walls.append(time.perf_counter() - start)
        child.returncode = os.waitstatus_to_exitcode(status)
        if child.returncode:
            sys.exit(f"bench: {' '.join(self.command)} ended with {child.returncode}")
        self.processors.append(usage.ru_utime + usage.ru_stime)
        self.memory = max(self.memory, usage.ru_maxrss)

    @property
    def best(self):
        return min(self.walls)

    @property
    def median(self):
        return statistics.median(self.walls)

    @property
    def processor(self):
        return min(self.processors)


def in_turn(runs, times):
    """One after another, so that a machine that gets busy slows all of them alike."""
    for _ in range(times):
        for run in runs:
            run.once()


def program(given=None):
    """The program to measure: the one given, or the release build."""
    path = pathlib.Path(given or TARGET / "release" / "flamacue")
    if not path.exists():
        sys.exit(f"bench: {path} is not there; run `cargo build --release`")
    return path


def write_book(folder, chapters=CHAPTERS):
    """Writes the files of the made-up book into a folder; the first of them."""
    spec = importlib.util.spec_from_file_location("book", ROOT / "tests/outside/book_check.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    folder = pathlib.Path(folder)
    for name, text in module.book(chapters, False)[0].items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text)
    return folder / "book.flam"


def write_book_in_one(folder):
    """Writes the made-up book as one file, with the chapters in place of the lines that include them."""
    folder = pathlib.Path(folder)
    first = write_book(folder)
    whole = ""
    for line in first.read_text().splitlines(keepends=True):
        if not line.startswith("include "):
            whole += line
            continue
        head, body = (folder / line.split()[1]).read_text().split("\n\n", 1)
        title = next(own for own in head.splitlines() if own.startswith("title: "))
        whole += f"# {title.removeprefix('title: ')}\n\n{body}"
    one = folder / "one.flam"
    one.write_text(whole)
    return one


def pages(pdf):
    """How many pages a file has, where pdfinfo is there to tell."""
    try:
        told = subprocess.run(["pdfinfo", pdf], capture_output=True, text=True).stdout
    except FileNotFoundError:
        return None
    return next((int(line.split()[1]) for line in told.splitlines() if line.startswith("Pages")), None)
