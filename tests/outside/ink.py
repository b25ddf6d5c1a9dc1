#!/usr/bin/env python3
"""Adds up the ink of generated bars: heads, flags, beams, dots, rests and tuplets of each voice must
fill its bar, each note standing where those before it end, with the lengths music21 gives them.

    tests/outside/ink.py [BARS]

Makes its own virtual environment (tests/outside/.venv) with music21 from PyPI. BARS (100) is how many
bars are made by chance for each time signature and each way of writing; 20,000 find what is rare.

The program is FLAMACUE, or else target/debug/flamacue (CARGO_TARGET_DIR is heeded).

Every hit that was written must be drawn at its time; what is drawn besides must be tied to. A rest that
both voices have is drawn once, and counts for both. What the number of a tuplet stands for without a
ratio is taken from Gould, "Behind Bars", "Tuplets", from memory: the greatest power of two below it, or
three times one in dotted beats.
"""

import random
import sys
from fractions import Fraction

from shared import drawing, in_own_environment

# Bars of one file.
CHUNK = 400

# Time signature: its beats in quarters, and the cells a beat is likely to have.
METERS = {
    "2/4": ([Fraction(1)] * 2, [1, 2, 2, 3, 4, 4, 5, 6, 7, 8]),
    "3/4": ([Fraction(1)] * 3, [1, 2, 2, 3, 4, 4, 5, 6, 7, 8]),
    "4/4": ([Fraction(1)] * 4, [1, 2, 2, 3, 4, 4, 5, 6, 7, 8]),
    "5/4": ([Fraction(1)] * 5, [1, 2, 2, 3, 4, 4, 6]),
    "cut": ([Fraction(2)] * 2, [1, 2, 3, 4, 8]),
    "6/8": ([Fraction(3, 2)] * 2, [1, 3, 3, 3, 6, 2, 4]),
    "9/8": ([Fraction(3, 2)] * 3, [1, 3, 3, 3, 6, 2, 4]),
    "12/8": ([Fraction(3, 2)] * 4, [1, 3, 3, 3, 6, 2, 4]),
    "7/8": ([Fraction(1, 2)] * 7, [1, 1, 2, 2, 4, 3]),
    "2+2+3/8": ([Fraction(1), Fraction(1), Fraction(3, 2)], [1, 2, 4, 3, 6]),
}

TYPES = ["whole", "half", "quarter", "eighth", "16th", "32nd", "64th", "128th", "256th"]
RESTS = {
    "restWhole": 0,
    "restHalf": 1,
    "restQuarter": 2,
    "rest8th": 3,
    "rest16th": 4,
    "rest32nd": 5,
    "rest64th": 6,
    "rest128th": 7,
    "rest256th": 8,
}
FLAGS = {"flag8th": 1, "flag16th": 2, "flag32nd": 3, "flag64th": 4, "flag128th": 5, "flag256th": 6}
DIGITS = {f"tuplet{digit}": digit for digit in range(10)}


class Wrong(Exception):
    """A bar whose ink does not add up."""


class Cells:
    """A row of a bar made by chance: its groups of cells, and when its hits are struck."""

    def __init__(self, chance, beats, sizes, hit, rolls=True, spreads=True):
        self.chance, self.hit, self.rolls = chance, hit, rolls
        self.groups, self.onsets = [], []
        self.sounding = False
        at, index = Fraction(0), 0
        while index < len(beats):
            count = 1
            if spreads and chance.random() < 0.06 and index + 2 <= len(beats):
                count = 2
            length = sum(beats[index : index + count], Fraction(0))
            cells = self.cells(chance.choice(sizes), at, length, 1)
            self.groups.append(cells + (f":{count}" if count > 1 else ""))
            at, index = at + length, index + count

    def cells(self, number, start, length, depth):
        written = ""
        for index in range(number):
            at = start + length * index / number
            part = length / number
            draw = self.chance.random()
            if depth and number > 1 and draw < 0.05 and part >= Fraction(1, 4):
                written += "[" + self.cells(self.chance.choice([2, 2, 3]), at, part, 0) + "]"
            elif draw < 0.60:
                written += self.hit
                if self.rolls and self.chance.random() < 0.05:
                    written += self.chance.choice(["/", "//", "~"])
                self.onsets.append(at)
                self.sounding = True
            elif draw < 0.75 and self.sounding:
                written += "-"
            else:
                written += "."
                self.sounding = False
        return written

    def text(self):
        return " ".join(self.groups)


def grid_bar(chance, beats, sizes):
    row = Cells(chance, beats, sizes, "s")
    return {"play": row.text()}, set(row.onsets)


def rows_bar(chance, beats, sizes):
    rows = {
        name: Cells(chance, beats, sizes[:6], "x", rolls=name == "snare", spreads=False)
        for name in ("hat", "snare", "kick")
    }
    struck = set().union(*(row.onsets for row in rows.values()))
    return {name: row.text() for name, row in rows.items()}, struck


def voices_bar(chance, beats, sizes):
    rows = {
        "hands": Cells(chance, beats, sizes, "s"),
        "feet": Cells(chance, beats, sizes, "k", rolls=False),
    }
    struck = set().union(*(row.onsets for row in rows.values()))
    return {name: row.text() for name, row in rows.items()}, struck


def count_bar(chance, beats, _):
    """Counted in plain quarters alone: `1 e & a`, `1 trip let` and bracketed fives. Each beat has its
    number, so that no word falls back into the beat before."""
    words, onsets = [], []
    for beat, length in enumerate(beats):
        start = sum(beats[:beat], Fraction(0))
        four = [(str(beat + 1), 0), ("e", 1), ("&", 2), ("a", 3)]
        way = chance.choice(["four", "four", "trip", "five"])
        if way == "four":
            said = [pair for pair in four if pair[1] == 0 or chance.random() < 0.5]
            words += [word for word, _ in said]
            onsets += [start + length * part / 4 for _, part in said]
        elif way == "trip":
            words += [str(beat + 1), "trip", "let"]
            onsets += [start + length * part / 3 for part in range(3)]
        else:
            words.append(f"({beat + 1} 2 3 4 5)")
            onsets += [start + length * part / 5 for part in range(5)]
    return {"count": " ".join(words), "snare": "x" * len(onsets)}, set(onsets)


def stick_bar(chance, beats, sizes):
    groups, onsets, at = [], [], Fraction(0)
    for length in beats:
        number = chance.choice(sizes)
        letters = [chance.choice("RRLL.") for _ in range(number)]
        groups.append("".join(letters))
        onsets += [at + length * i / number for i, letter in enumerate(letters) if letter != "."]
        at += length
    return {"stick": " ".join(groups)}, set(onsets)


# The way of writing: how its bars are made, the block they stand in, and the times it is for.
WAYS = {
    "grid": (grid_bar, "exercise", METERS),
    "rows": (rows_bar, "groove", METERS),
    "voices": (voices_bar, "exercise", METERS),
    "one voice by bar": (rows_bar, "exercise\n  voices: by bar", METERS),
    "count": (count_bar, "exercise", {"2/4", "3/4", "4/4", "5/4"}),
    "stick": (stick_bar, "rudiment", METERS),
}


def made(way, meter, chance, number):
    """Bars with at least one hit, each with what is struck in it."""
    make, _, _ = WAYS[way]
    beats, sizes = METERS[meter]
    bars = []
    while len(bars) < number:
        rows, struck = make(chance, beats, sizes)
        if struck and all(part.strip() for part in rows.values()):
            bars.append((rows, struck))
    return bars


def text_of(way, meter, bars):
    """Each bar is a block of its own, so that no hit is held into the next."""
    lines = [f"time: {meter}", "counts: none", "columns: 1", ""]
    for rows, _ in bars:
        lines.append(WAYS[way][1])
        lines += [f"  {name} {row}" for name, row in rows.items()]
        lines.append("")
    return "\n".join(lines)


def groups(node, kind):
    """The outermost groups of a kind under a node."""
    for child in node.get("children", []) + node.get("nodes", []) + node.get("pages", []):
        if child.get("group") == kind:
            yield child
        else:
            yield from groups(child, kind)


class Voice:
    """Notes and rests of one voice, and the beams over them."""

    def __init__(self):
        self.notes, self.beams = [], []


def voices_of(bar):
    """The voices of a drawn bar: the notes of the upper stand first, then its beams."""
    voices = []
    for child in bar["children"]:
        if child.get("group") == "note":
            at = Fraction(child["beat"])
            if not voices or voices[-1].beams or (voices[-1].notes and at <= voices[-1].notes[-1][0]):
                voices.append(Voice())
            voices[-1].notes.append((at, child))
        elif child.get("mark") == "beam" and voices:
            voices[-1].beams.append(child["bounds"])
    return voices


def joined(bars, starts, lower):
    """The voices of bars that begin at some quarters, each as one."""
    voices = []
    for bar, start in zip(bars, starts, strict=True):
        for number, voice in enumerate(voices_of(bar)):
            if number == len(voices):
                voices.append(Voice())
            voices[number].notes += [(at + start * lower / 4, note) for at, note in voice.notes]
            voices[number].beams += voice.beams
    return voices


def written(note, beams):
    """Number of halvings, dots, the middle of its head, its stem, and whether it is a rest."""
    marks = note["children"]
    named = lambda kind: [m["glyph"]["name"] for m in marks if m.get("mark") == kind and "glyph" in m]
    bounds = lambda kind: [m["bounds"] for m in marks if m.get("mark") == kind]
    rests = named("rest")
    if rests:
        left, _, right, _ = bounds("rest")[0]
        return RESTS[rests[0]], len(named("dot")), (left + right) / 2, (left + right) / 2, True
    heads = named("notehead")
    left, _, right, _ = bounds("notehead")[0]
    middle = (left + right) / 2
    # A dot for each head that is not in the way of another; one each counts once.
    dots = 1 if named("dot") else 0
    stems = bounds("stem")
    if not stems:
        return 0, dots, middle, middle, False
    stem = (stems[0][0] + stems[0][2]) / 2
    if heads[0].endswith("Half"):
        return 1, dots, middle, stem, False
    over = sum(1 for beam in beams if beam[0] - 0.01 <= stem <= beam[2] + 0.01)
    flags = sum(
        FLAGS[name.removesuffix("Up").removesuffix("Down")] for name in named("flag")
    )
    if over and flags:
        raise Wrong("a note with both a beam and a flag")
    return 2 + over + flags, dots, middle, stem, False


def tuplets_of(system, voices):
    """For each tuplet its left and right edge, its height, its number, what that stands for, and
    whether a beam shows its notes."""
    marks = [m for m in system["children"] if m.get("mark") == "tuplet"]
    signs = sorted((m for m in marks if "glyph" in m), key=lambda m: m["bounds"][0])
    boxes = [m["bounds"] for m in marks if "box" in m]
    numbers = []
    for sign in signs:
        left, top, right, bottom = sign["bounds"]
        middle = (top + bottom) / 2
        for number in numbers:
            if abs(number["middle"] - middle) < 2 and -1 < left - number["right"] < 4:
                number["right"] = right
                number["signs"].append(sign["glyph"]["name"])
                break
        else:
            numbers.append(
                {"left": left, "right": right, "middle": middle, "signs": [sign["glyph"]["name"]]}
            )
    beams = [beam for voice in voices for beam in voice.beams]
    found = []
    for number in numbers:
        parts = "".join(":" if s == "tupletColon" else str(DIGITS[s]) for s in number["signs"])
        actual, _, normal = parts.partition(":")
        actual = int(actual)
        flat = [
            box
            for box in boxes
            if box[3] - box[1] < box[2] - box[0] and abs((box[1] + box[3]) / 2 - number["middle"]) < 0.5
        ]
        before = [box for box in flat if box[2] <= number["left"] + 0.5 and number["left"] - box[2] < 6]
        after = [box for box in flat if box[0] >= number["right"] - 0.5 and box[0] - number["right"] < 6]
        beamed = not (before and after)
        if not beamed:
            left, right = max(before)[0], min(after)[2]
        else:
            centre = (number["left"] + number["right"]) / 2
            near = min(beams, key=lambda beam: (round(abs((beam[0] + beam[2]) / 2 - centre), 1),
                                                abs((beam[1] + beam[3]) / 2 - number["middle"])))
            if abs((near[0] + near[2]) / 2 - centre) > 1:
                raise Wrong(f"a {parts} over nothing")
            left, right = near[0], near[2]
        found.append((left, right, number["middle"], actual, int(normal or 0), beamed))
    return found


class Lengths:
    """The lengths music21 gives to written values."""

    def __init__(self):
        from music21 import duration

        self.duration, self.known = duration, {}

    def of(self, halvings, dots, tuplets):
        key = (halvings, dots, tuple(tuplets))
        if key not in self.known:
            length = self.duration.Duration(TYPES[halvings], dots=dots)
            for actual, normal in tuplets:
                length.appendTuplet(self.duration.Tuplet(actual, normal))
            self.known[key] = Fraction(length.quarterLength)
        return self.known[key]


def plain_notes(actual, length):
    """What the number of a tuplet over a length stands for."""
    base = length.numerator
    while base % 2 == 0:
        base //= 2
    while base * 2 < actual:
        base *= 2
    return base


def stands_for(number, length, begin, barlines):
    """A number over a stretch, and what it stands for. Over a barline it says what the least equal parts
    that fill the stretch before the barline do, for a note may be cut there: in five over three beats with
    two of them before it, ten for eight."""
    for line in barlines:
        if begin < line < begin + length:
            before = line - begin
            parts = (before * number / length).numerator
            return parts, plain_notes(parts, before)
    return number, plain_notes(number, length)


def tuplets_over(voice, tuplets, length, time, shared, edges):
    """For each note of a voice the tuplets it stands in: number, and what that stands for. `shared`
    are the starts and the places of rests of the other voice, which may stand for this one too."""
    lower, barlines = time
    own = [[] for _ in voice.notes]
    shapes = [written(note, voice.beams) for _, note in voice.notes]
    starts = [(beat - 1) * Fraction(4, lower) for beat, _ in voice.notes] + [length]
    spans = []
    for left, right, _, actual, normal, beamed in tuplets:
        inside = [
            index
            for index, (_, _, middle, stem, _) in enumerate(shapes)
            if left - 1 <= (stem if beamed else middle) <= right + 1
        ]
        if not inside:
            raise Wrong(f"a {actual} over no note")
        first, last = starts[inside[0]], starts[inside[-1]]
        under = [start for start, x in shared if left - 1 <= x <= right + 1]
        after = [start for start, x in shared if x > right + 1 and start in edges and start > last]
        begin = min([first] + under)
        span = min([starts[inside[-1] + 1]] + after) - begin
        spans.append((span, begin, inside, actual, normal))
    # Outer ones first: an inner one divides what is written under them.
    for span, begin, inside, actual, normal in sorted(spans, key=lambda span: -span[0]):
        if not own[inside[0]]:
            pair = (actual, normal) if normal else stands_for(actual, span, begin, barlines)
        else:
            for around, among in own[inside[0]]:
                span *= Fraction(around, among)
            pair = (actual, normal or plain_notes(actual, span))
        for index in inside:
            own[index].append(pair)
    return own, shapes


def check(block, struck, beats, lower, lengths, starts=(Fraction(0),)):
    """One block of one line, whose bars begin at some quarters. A rest of the other voice that stands for
    this one too ends a tuplet: as a rule one on a beat, but where that does not add up, any."""
    try:
        add_up(block, struck, beats, (lower, starts), lengths, False)
    except Wrong as wrong:
        try:
            add_up(block, struck, beats, (lower, starts), lengths, True)
        except Wrong:
            raise wrong from None


def add_up(block, struck, beats, time, lengths, anywhere):
    """One block of one line; rests of the other voice may end a tuplet `anywhere`, or on beats alone."""
    lower, starts = time
    (system,) = list(groups(block, "system"))
    bars = list(groups(system, "bar"))
    if len(bars) != len(starts):
        raise Wrong(f"{len(bars)} bars drawn of {len(starts)}")
    voices = joined(bars, starts, lower)
    length = sum(beats, Fraction(0))
    edges = {sum(beats[:beat], Fraction(0)) for beat in range(len(beats))}
    tuplets = tuplets_of(system, voices)
    lines = [m["bounds"] for m in system["children"] if m.get("mark") == "staff-line"]
    staff = sum(line[1] for line in lines) / len(lines)
    ties = [m["bounds"] for m in groups_marks(system, "tie")]
    drawn = set()
    rests_of = []
    for number, voice in enumerate(voices):
        place = Fraction(0)
        rests = []
        here = [t for t in tuplets if len(voices) == 1 or (t[2] > staff) == (number == 1)]
        shared = [(start, x) for start, _, x in rests_of[0]] if number else []
        ends = {start for start, _ in shared} if anywhere else edges
        over, shapes = tuplets_over(voice, here, length, (lower, starts[1:]), shared, ends)
        for (beat, _), own, shape in zip(voice.notes, over, shapes):
            at = (beat - 1) * Fraction(4, lower)
            halvings, dots, middle, _, rest = shape
            if rest and halvings == 0 and len(voice.notes) == 1:
                raise Wrong("a bar of rest")
            while place < at and number > 0:
                shared = [end for start, end, _ in rests_of[0] if start == place]
                if not shared:
                    break
                place = shared[0]
            if at != place:
                raise Wrong(f"voice {number + 1}: at {at} where {place} is reached")
            place += lengths.of(halvings, dots, own)
            if rest:
                rests.append((at, place, middle))
            else:
                drawn.add(at)
                if at not in struck and not any(abs(tie[2] - middle) < 12 for tie in ties):
                    raise Wrong(f"a note at {at} that nobody wrote")
        while place < length and number > 0:
            shared = [end for start, end, _ in rests_of[0] if start == place]
            if not shared:
                break
            place = shared[0]
        rests_of.append(rests)
        if place != length:
            raise Wrong(f"voice {number + 1}: {place} quarters where there are {length}")
    if not struck <= drawn:
        raise Wrong(f"not drawn: {sorted(map(str, struck - drawn))}")


def groups_marks(node, kind):
    for child in node.get("children", []):
        if child.get("mark") == kind:
            yield child
        yield from groups_marks(child, kind)


def main():
    in_own_environment("music21")
    number = int(sys.argv[1]) if len(sys.argv) > 1 else 100
    lengths = Lengths()
    chance = random.Random("ink")
    wrong = 0
    for way, (_, _, meters) in WAYS.items():
        for meter in meters:
            beats, _ = METERS[meter]
            lower = 2 if meter == "cut" else int(meter.split("/")[1])
            left = number
            while left > 0:
                bars = made(way, meter, chance, min(left, CHUNK))
                left -= len(bars)
                blocks = list(groups(drawing(text_of(way, meter, bars)), "block"))
                if len(blocks) != len(bars):
                    sys.exit(f"ink: {way}, {meter}: {len(blocks)} blocks drawn of {len(bars)}")
                for block, (rows, struck) in zip(blocks, bars):
                    try:
                        check(block, struck, beats, lower, lengths)
                    except Wrong as error:
                        wrong += 1
                        if wrong <= 20:
                            print(f"ink: {way}, {meter}: {rows}: {error}", file=sys.stderr)
            print(f"ink: {way}, {meter}: {number} bars added up")
    if wrong:
        sys.exit(f"ink: {wrong} bars are wrong")
    print("ink: all good")


if __name__ == "__main__":
    main()
