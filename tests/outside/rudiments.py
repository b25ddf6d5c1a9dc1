#!/usr/bin/env python3
"""Checks the engraved stickings of examples/forty-rudiments.flam.

    tests/outside/rudiments.py

The table holds the forty international drum rudiments of the Percussive Arts Society (1984), names,
order and stickings from memory; it was written down apart from the example. The program sets the
example, and the letters printed under each rudiment, with the accents printed over it, must be the
table's. Small letters are grace notes, `>` stands before an accented letter.

The program is FLAMACUE, or else target/debug/flamacue (CARGO_TARGET_DIR is heeded).
"""

import json
import pathlib
import subprocess
import sys
import tempfile

from shared import program

ROOT = pathlib.Path(__file__).resolve().parents[2]

# Name and sticking, one repetition after the other.
RUDIMENTS = [
    ("Single stroke roll", "R L R L R L R L"),
    ("Single stroke four", "R L R L   L R L R"),
    ("Single stroke seven", "R L R L R L R   L R L R L R L"),
    ("Multiple bounce roll", "R L R L"),
    ("Triple stroke roll", "R R R L L L"),
    ("Double stroke open roll", "R R L L R R L L"),
    ("Five stroke roll", "R R L L >R   L L R R >L"),
    ("Six stroke roll", ">R L L R R >L   >R L L R R >L"),
    ("Seven stroke roll", "R R L L R R >L   L L R R L L >R"),
    ("Nine stroke roll", "R R L L R R L L >R   L L R R L L R R >L"),
    ("Ten stroke roll", "R R L L R R L L >R >L   L L R R L L R R >L >R"),
    ("Eleven stroke roll", "R R L L R R L L R R >L   L L R R L L R R L L >R"),
    ("Thirteen stroke roll", "R R L L R R L L R R L L >R   L L R R L L R R L L R R >L"),
    (
        "Fifteen stroke roll",
        "R R L L R R L L R R L L R R >L   L L R R L L R R L L R R L L >R",
    ),
    (
        "Seventeen stroke roll",
        "R R L L R R L L R R L L R R L L >R   L L R R L L R R L L R R L L R R >L",
    ),
    ("Single paradiddle", ">R L R R   >L R L L"),
    ("Double paradiddle", ">R L R L R R   >L R L R L L"),
    ("Triple paradiddle", ">R L R L R L R R   >L R L R L R L L"),
    ("Single paradiddle-diddle", ">R L R R L L   >R L R R L L   >L R L L R R   >L R L L R R"),
    ("Flam", "lR   rL"),
    ("Flam accent", "l>R L R   r>L R L"),
    ("Flam tap", "l>R R r>L L   l>R R r>L L"),
    ("Flamacue", "lR >L R L lR   rL >R L R rL"),
    ("Flam paradiddle", "l>R L R R   r>L R L L"),
    ("Single flammed mill", "l>R R L R   r>L L R L"),
    ("Flam paradiddle-diddle", "l>R L R R L L   r>L R L L R R"),
    ("Pataflafla", "l>R L R r>L   l>R L R r>L"),
    ("Swiss army triplet", "l>R R L   l>R R L   r>L L R   r>L L R"),
    ("Inverted flam tap", "l>R L r>L R   l>R L r>L R"),
    ("Flam drag", "l>R L L R   r>L R R L"),
    ("Drag", "llR   rrL"),
    ("Single drag tap", "llR >L   rrL >R"),
    ("Double drag tap", "llR llR >L   rrL rrL >R"),
    ("Lesson 25", "llR L >R   llR L >R   rrL R >L   rrL R >L"),
    ("Single dragadiddle", ">R R L R R   >L L R L L"),
    ("Drag paradiddle no. 1", ">R llR L R R   >L rrL R L L"),
    ("Drag paradiddle no. 2", ">R llR llR L R R   >L rrL rrL R L L"),
    ("Single ratamacue", "llR L R >L   rrL R L >R"),
    ("Double ratamacue", "llR llR L R >L   rrL rrL R L >R"),
    ("Triple ratamacue", "llR llR llR L R >L   rrL rrL rrL R L >R"),
]


def fail(message):
    sys.exit(f"rudiments: {message}")


def drawing():
    with tempfile.TemporaryDirectory() as folder:
        out = pathlib.Path(folder) / "rudiments.json"
        source = ROOT / "examples" / "forty-rudiments.flam"
        command = [program(), "build", source, "-o", out]
        result = subprocess.run(command, capture_output=True, text=True)
        if result.returncode:
            fail(result.stderr)
        return json.loads(out.read_text())


def below(node):
    for child in node.get("children", []) + node.get("nodes", []) + node.get("pages", []):
        yield child
        yield from below(child)


def centre(mark):
    left, _, right, _ = mark["bounds"]
    return (left + right) / 2


def printed(block):
    """The sticking as a reader sees it: line by line, letters from left to right, small ones joined
    to the capital after them, `>` where an accent stands over the capital."""
    found = [mark for mark in below(block) if mark.get("mark") == "sticking"]
    accents = [mark for mark in below(block) if mark.get("mark") == "accent"]
    space = min((mark["glyph"]["space"] for mark in below(block) if "glyph" in mark), default=1)
    baselines = sorted({mark["text"]["at"][1] for mark in found})
    letters = []
    above = 0
    for baseline in baselines:
        struck = [centre(a) for a in accents if above < a["bounds"][1] < baseline]
        line = [mark for mark in found if mark["text"]["at"][1] == baseline]
        for mark in sorted(line, key=centre):
            word = mark["text"]["words"]
            accented = any(abs(at - centre(mark)) < 0.6 * space for at in struck)
            letters.append((">" if accented and word.isupper() else "") + word)
        above = baseline
    joined, small = [], ""
    for letter in letters:
        if letter.islower():
            small += letter
        else:
            joined.append(small + letter)
            small = ""
    if small:
        fail(f"small letters {small} stand before no capital")
    return joined


def mirrored(sticking):
    return sticking.translate(str.maketrans("RLrl", "LRlr"))


def check_table():
    """The table against itself: forty, no name twice, and where both hands lead, the second half is
    the first with its hands changed."""
    names = [name for name, _ in RUDIMENTS]
    if len(set(names)) != 40 or len(names) != 40:
        fail(f"{len(names)} rudiments in the table")
    for name, sticking in RUDIMENTS:
        strokes = sticking.split()
        half = len(strokes) // 2
        if name.endswith("stroke roll") and name.split()[0] in NUMBERS:
            leads = 2 if len(strokes) == 2 * NUMBERS[name.split()[0]] else 1
            if len(strokes) != leads * NUMBERS[name.split()[0]]:
                fail(f"{name}: {len(strokes)} strokes in the table")
        first, second = " ".join(strokes[:half]), " ".join(strokes[half:])
        if second not in (mirrored(first), first):
            fail(f"{name}: the second half of the table's sticking is no mirror of the first")


NUMBERS = {
    "Five": 5, "Six": 6, "Seven": 7, "Nine": 9, "Ten": 10, "Eleven": 11, "Thirteen": 13,
    "Fifteen": 15, "Seventeen": 17,
}


def main():
    check_table()
    blocks = {}
    order = []
    for node in below(drawing()):
        if node.get("group") == "block":
            title = node["title"]
            order += [title] if title not in blocks else []
            blocks.setdefault(title, []).extend(printed(node))
    names = [name for name, _ in RUDIMENTS]
    if order != names:
        fail(f"the example names {order}")
    wrong = [
        f"{name}: printed {' '.join(blocks[name])}, the table has {sticking}"
        for name, sticking in RUDIMENTS
        if blocks[name] != sticking.split()
    ]
    if wrong:
        fail("\n".join(wrong))
    print("rudiments: forty stickings and their accents are as in the table")


if __name__ == "__main__":
    main()
