#!/usr/bin/env python3
"""Compares the PDF of every example and of the demo with its SVG, pixel by pixel.

    tests/outside/picture_check.py [FILE.flam...]

Each file is built to PDF and drawn by poppler, and built to PNG, which is the SVG of each page drawn
by resvg; both at 150 pixels an inch. Makes its own virtual environment (tests/outside/.venv) with
numpy, Pillow and pikepdf from PyPI; needs pdftoppm (Debian: poppler-utils). The program is FLAMACUE,
or else target/debug/flamacue (CARGO_TARGET_DIR is heeded).

When two pixels differ. The two programs smooth edges differently, and poppler draws thin boxes whole
pixels wide, so that an edge may lie up to a pixel further on one side. A pixel of one picture agrees
with the other picture when its darkness lies between the lightest and the darkest of the same pixel
and its eight neighbours there, give or take 128 of 255. It is asked both ways. A page fails when more
than three in a thousand of its inked pixels disagree, or more than 16 in any square of 32 pixels, so
that a single mark cannot hide on a full page; and when the amount of ink differs by more than 15 in a
hundred, for poppler's whole pixels make thin lines lighter or darker. Three in a thousand of the inked
pixels are far fewer than two in a thousand of all.

Before anything is compared, a page is compared with itself after one notehead was moved by two
points, and after one was taken out. Both must fail.
"""

import concurrent.futures
import io
import pathlib
import shutil
import subprocess
import sys
import tempfile

from shared import in_own_environment, program

ROOT = pathlib.Path(__file__).resolve().parents[2]
DPI = 150
SLACK = 128
SHARE = 0.003
SQUARE = 32
MOST_IN_SQUARE = 16


def fail(message):
    sys.exit(f"picture_check: {message}")


def darkness(picture):
    """A picture as an array, paper 0 and ink 255."""
    import numpy
    from PIL import Image

    return 255 - numpy.asarray(Image.open(picture).convert("L"), dtype=numpy.int16)


def drawn(pdf):
    """The pages of a PDF as poppler draws them."""
    with tempfile.TemporaryDirectory() as folder:
        prefix = pathlib.Path(folder) / "page"
        subprocess.run(["pdftoppm", "-r", str(DPI), "-gray", pdf, prefix], check=True)
        return [darkness(page) for page in sorted(pathlib.Path(folder).iterdir())]


def strays(one, other):
    """Where a picture has what the other has not within a pixel."""
    import numpy

    edged = numpy.pad(other, 1)

    def among_neighbours(most):
        beside = most(most(edged[:, :-2], edged[:, 1:-1]), edged[:, 2:])
        return most(most(beside[:-2], beside[1:-1]), beside[2:])

    darkest, lightest = among_neighbours(numpy.maximum), among_neighbours(numpy.minimum)
    return (one > darkest + SLACK) | (one < lightest - SLACK)


def difference(one, other):
    """What is wrong between two pictures of a page, or nothing; and the share that disagrees."""
    import numpy

    if one.shape != other.shape:
        return f"{one.shape[::-1]} and {other.shape[::-1]} pixels", 1.0
    apart = strays(one, other) | strays(other, one)
    inked = max(1, int(((one > 32) | (other > 32)).sum()))
    share = float(apart.sum()) / inked
    height, width = (-(-side // SQUARE) * SQUARE for side in apart.shape)
    whole = numpy.zeros((height, width), bool)
    whole[: apart.shape[0], : apart.shape[1]] = apart
    squares = whole.reshape(height // SQUARE, SQUARE, width // SQUARE, SQUARE).sum(axis=(1, 3))
    ink = float(one.sum()) / max(1.0, float(other.sum()))
    if share > SHARE:
        return f"{share:.2%} of the inked pixels disagree", share
    if squares.max() > MOST_IN_SQUARE:
        y, x = numpy.unravel_index(squares.argmax(), squares.shape)
        at = f"{x * SQUARE * 72 // DPI}, {y * SQUARE * 72 // DPI} points"
        return f"{squares.max()} pixels disagree about {at} from the upper left corner", share
    blank = max(float(one.sum()), float(other.sum())) == 0.0
    if not blank and not 0.85 < ink < 1.15:
        return f"{ink:.3f} times the ink", share
    return None, share


def changed(pdf, change):
    """The file with the last of a row of noteheads moved or taken out."""
    import pikepdf

    with pikepdf.open(pdf) as document:
        page = document.pages[0]
        operations = list(pikepdf.parse_content_stream(page))
        face, size, heads = None, 0.0, None
        for operands, operator in operations:
            if str(operator) == "Tf":
                face, size = str(operands[0]), float(operands[1])
            if str(operator) == "TJ" and face == "/Music" and len(operands[0]) > 3:
                heads = operands[0]
        if change == "move":
            heads[-2] = float(heads[-2]) - 2 * 1000 / size
        else:
            del heads[-1]
        page.Contents = document.make_stream(pikepdf.unparse_content_stream(operations))
        changed = io.BytesIO()
        document.save(changed)
        return changed.getvalue()


def check_that_it_can_fail(folder):
    file = ROOT / "examples" / "first-bar.flam"
    pdf = folder / "first-bar.pdf"
    subprocess.run([program(), "build", file, "-o", pdf], check=True)
    right = drawn(pdf)[0]
    if difference(right, right)[0]:
        fail("a page differs from itself")
    for change in ["move", "take out"]:
        wrong = folder / "wrong.pdf"
        wrong.write_bytes(changed(pdf, change))
        if not difference(drawn(wrong)[0], right)[0]:
            fail(f"{change}: a wrong page was let through")


def compare(file, folder):
    folder = folder / file.stem
    folder.mkdir()
    pdf = folder / "pages.pdf"
    scale = str(DPI / 96)
    for output in [["-o", pdf], ["-o", folder / "page.png", "--scale", scale]]:
        built = subprocess.run([program(), "build", file, *output], capture_output=True, text=True)
        if built.returncode:
            return [f"{file.name}: {built.stderr}"], 0, 0.0
    by_poppler = drawn(pdf)
    number = lambda path: int(path.stem.rpartition("-")[2]) if "-" in path.stem else 1
    by_resvg = [darkness(page) for page in sorted(folder.glob("*.png"), key=number)]
    if len(by_poppler) != len(by_resvg):
        return [f"{file.name}: {len(by_poppler)} and {len(by_resvg)} pages"], 0, 0.0
    found, worst = [], 0.0
    for page, (one, other) in enumerate(zip(by_poppler, by_resvg), 1):
        wrong, share = difference(one, other)
        worst = max(worst, share)
        if wrong:
            found.append(f"{file.name}, page {page}: {wrong}")
    shutil.rmtree(folder)
    return found, len(by_resvg), worst


def main(names):
    in_own_environment("numpy", "PIL", "pikepdf")
    if not shutil.which("pdftoppm"):
        fail("pdftoppm is not installed")
    files = [pathlib.Path(name) for name in names]
    files = files or sorted([*ROOT.glob("examples/*.flam"), *ROOT.glob("demo/*.flam")])
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        check_that_it_can_fail(folder)
        with concurrent.futures.ThreadPoolExecutor(2) as workers:
            results = list(workers.map(lambda file: compare(file, folder), files))
    wrong = [line for found, _, _ in results for line in found]
    if wrong:
        fail("PDF and SVG differ\n  " + "\n  ".join(wrong))
    pages = sum(count for _, count, _ in results)
    worst = max((share for _, _, share in results), default=0.0)
    print(f"picture_check: {pages} pages of {len(files)} files alike; at most {worst:.3%} of the "
          "inked pixels of a page disagree")


if __name__ == "__main__":
    main(sys.argv[1:])
