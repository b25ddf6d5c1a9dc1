#!/usr/bin/env python3
"""Checks note values and beams against music21's model of time signatures.

    tests/outside/meter.py

Makes its own virtual environment (tests/outside/.venv) with music21 from PyPI, writes bars made by
chance in eight time signatures, lets the program set them, and reads the drawing back: the written
value of every note and rest must be the one music21 names for its length, the values of a bar must
add up, and eighth and sixteenth beams must start, go on and stop where music21's own time signature
says.

The program is FLAMACUE, or else target/debug/flamacue (CARGO_TARGET_DIR is heeded).

Where the two differ by intent:

- 5/4. music21 joins quarters as 2+3. Here beams keep to the beat.
- Sixteenths in 2/4, 3/4, 4/4 and 5/4. music21 breaks the second beam at each eighth. Here it runs
  through the beat unless there are thirty-seconds in it. For both, its beam sequence is set to plain
  quarters, so that it beams by the beat.
- A rest inside a beat. music21 ends a beam at every rest. Here a beam goes over a rest between two
  notes of its beat. In such a beat it is checked that one beam joins its first short note to its
  last.

The reason for all three: Gould, "Behind Bars", "Beaming", from memory.
"""

import random
import sys
from fractions import Fraction

from shared import drawing, in_own_environment

BARS = 60

# Time signature: groups of cells in a bar, and how many cells a group may have.
METERS = {
    "2/4": (2, [1, 2, 3, 4]),
    "3/4": (3, [1, 2, 3, 4]),
    "4/4": (4, [1, 2, 3, 4]),
    "5/4": (5, [1, 2, 3, 4]),
    "6/8": (2, [1, 3, 6]),
    "7/8": (7, [1, 2]),
    "9/8": (3, [1, 3, 6]),
    "12/8": (4, [1, 3, 6]),
}


def fail(message):
    sys.exit(f"meter: {message}")


def bar_of(groups, sizes, chance):
    """One bar of groups of cells, with at least one hit."""
    while True:
        bar = [
            "".join(chance.choice("sss.") for _ in range(chance.choice(sizes)))
            for _ in range(groups)
        ]
        if any("s" in group for group in bar):
            return bar


def text_of(meter, bars):
    rows = ["staff: one-line", f"time: {meter}", "counts: none", "", "exercise", "  bars: 4"]
    rows.append("  play " + " | ".join(" ".join(bar) for bar in bars))
    return "\n".join(rows) + "\n"


def below(node):
    """All nodes under a node."""
    for child in node.get("children", []) + node.get("nodes", []) + node.get("pages", []):
        yield child
        yield from below(child)


def marks(node, kind):
    return [mark for mark in below(node) if mark.get("mark") == kind]


def glyphs(node, kind):
    return [mark["glyph"]["name"] for mark in marks(node, kind) if "glyph" in mark]


REST_TYPES = {
    "restWhole": "whole",
    "restHalf": "half",
    "restQuarter": "quarter",
    "rest8th": "eighth",
    "rest16th": "16th",
    "rest32nd": "32nd",
}
NOTE_TYPES = ["quarter", "eighth", "16th", "32nd"]
FLAGS = {"flag8th": 1, "flag16th": 2, "flag32nd": 3}


def events_of(bar, lower):
    """Notes and rests of a drawn bar: place in quarters, written type, dots, and for notes the
    beams at their stem, primary first."""
    beams = [mark["bounds"] for mark in marks(bar, "beam")]
    beams.sort(key=lambda bounds: bounds[1])
    events = []
    for note in (node for node in below(bar) if node.get("group") == "note"):
        at = (Fraction(note["beat"]) - 1) * Fraction(4, lower)
        dots = len(marks(note, "dot"))
        rests = glyphs(note, "rest")
        if rests:
            events.append((at, REST_TYPES[rests[0]], dots, None))
            continue
        heads = glyphs(note, "notehead")
        if not heads:
            fail(f"a note without a head at {note['beat']}")
        if heads[0] != "noteheadBlack":
            fail(f"a head of {heads[0]} where the longest note is a dotted quarter")
        left, _, right, _ = marks(note, "stem")[0]["bounds"]
        stem = (left + right) / 2
        over = [beam for beam in beams if beam[0] <= stem <= beam[2]]
        flags = sum(FLAGS[name.removesuffix("Up")] for name in glyphs(note, "flag"))
        if over and flags:
            fail(f"a note with both a beam and a flag at {note['beat']}")
        events.append((at, NOTE_TYPES[flags + len(over)], dots, over))
    events.sort(key=lambda event: event[0])
    return events


def drawn_beams(events):
    """For each event the place of each of its beams: start, continue, stop, partial."""
    placed = []
    for index, (_, _, _, beams) in enumerate(events):
        def shared(step):
            near = index + step
            while 0 <= near < len(events) and events[near][3] is None:
                near += step
            return events[near][3] if 0 <= near < len(events) else []

        here = []
        for beam in beams or []:
            before, after = beam in shared(-1), beam in shared(1)
            here.append(
                {(0, 0): "partial", (0, 1): "start", (1, 1): "continue", (1, 0): "stop"}[
                    (int(before), int(after))
                ]
            )
        placed.append(here)
    return placed


def expected(meter, events, length):
    """What music21 says of the same places: type and dots of each length, and the beams."""
    from music21 import duration, note
    from music21 import meter as meters

    signature = meters.TimeSignature(meter)
    upper, lower = map(int, meter.split("/"))
    if lower == 4:
        signature.beamSequence.partition(["1/4"] * upper)
    ends = [event[0] for event in events[1:]] + [length]
    notes = []
    for (at, _, _, beams), end in zip(events, ends):
        one = note.Rest() if beams is None else note.Note()
        one.duration = duration.Duration(end - at)
        notes.append(one)
    beams = [
        [beam.type for beam in found.beamsList] if found else []
        for found in signature.getBeams(notes)
    ]
    return [(one.duration.type, one.duration.dots) for one in notes], beams


def beat_of(meter, at):
    """The beat a place in quarters lies in: its start and end."""
    upper, lower = map(int, meter.split("/"))
    if meter == "7/8":
        edges = [Fraction(0), Fraction(1), Fraction(2), Fraction(7, 2)]
    else:
        beat = Fraction(12 if lower == 8 else 4, lower)
        edges = [beat * i for i in range(int(Fraction(4 * upper, lower) / beat) + 1)]
    for start, end in zip(edges, edges[1:]):
        if start <= at < end:
            return start, end
    fail(f"{at} lies in no beat of {meter}")


def has_inner_rest(events, start, end):
    inside = [event[3] is None for event in events if start <= event[0] < end]
    return any(
        inside[i] and not all(inside[:i]) and not all(inside[i:]) for i in range(len(inside))
    )


def check_bar(meter, text, bar, tally):
    upper, lower = map(int, meter.split("/"))
    length = Fraction(4 * upper, lower)
    events = events_of(bar, lower)
    if not events:
        fail(f"{meter}: nothing is drawn for {text}")
    if events[0][0] != 0 and any(cell == "s" for cell in text[0][:1]):
        fail(f"{meter}: the first hit of {text} is missing")
    values, beams = expected(meter, events, length)
    for (at, drawn, dots, _), value in zip(events, values):
        if (drawn, dots) != value:
            fail(f"{meter} {text}: {drawn} with {dots} dots at {at}, music21 says {value}")
        tally["values"] += 1
    ours = drawn_beams(events)
    for index, (at, *_) in enumerate(events):
        start, end = beat_of(meter, at)
        inside = [i for i, event in enumerate(events) if start <= event[0] < end]
        if has_inner_rest(events, start, end):
            short = [i for i in inside if events[i][3] and ours[i]]
            joined = [ours[i][0] for i in short]
            wanted = ["start"] + ["continue"] * (len(short) - 2) + ["stop"]
            if joined and joined != wanted:
                fail(f"{meter} {text}: the beat at {start} is not under one beam: {joined}")
            tally["over rests"] += 1
            continue
        if ours[index] != beams[index]:
            fail(f"{meter} {text}: beams {ours[index]} at {at}, music21 says {beams[index]}")
        tally["beams"] += 1


def main():
    in_own_environment("music21")
    chance = random.Random("beams")
    for meter, (groups, sizes) in METERS.items():
        bars = [bar_of(groups, sizes, chance) for _ in range(BARS)]
        drawn = [
            node for node in below(drawing(text_of(meter, bars))) if node.get("group") == "bar"
        ]
        if len(drawn) != BARS:
            fail(f"{meter}: {len(drawn)} bars drawn of {BARS}")
        tally = {"values": 0, "beams": 0, "over rests": 0}
        for text, bar in zip(bars, drawn):
            check_bar(meter, text, bar, tally)
        print(
            f"meter: {meter}: {tally['values']} values and {tally['beams']} beam places agree, "
            f"{tally['over rests']} in beats with a beam over a rest"
        )
    print("meter: all good")


if __name__ == "__main__":
    main()
