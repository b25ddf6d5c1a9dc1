#!/usr/bin/env python3
"""Bars of several players: the ink of each player's bar adds up to its length with the lengths music21
gives to note values, and what music21 finds to sound at one time in a score of all the parts stands at
one x in the drawing, in the order of time. So it is in bars without a time signature, which are as long as
what stands in them, and in bars with a group over the barline between them, whose two parts add up with
the number over them.

    tests/outside/players.py [BARS]

Makes its own virtual environment (tests/outside/.venv) with music21 from PyPI. BARS (60) is how many bars
are made by chance for each time signature and each way of writing. The program is FLAMACUE, or else target/debug/flamacue
(CARGO_TARGET_DIR is heeded).
"""

import random
import sys
from fractions import Fraction

import ink
from shared import drawing, in_own_environment

METERS = ["3/4", "4/4", "6/8", "7/8", "2+2+3/8"]
# Half a note's head, in points: heads of a chord may stand on both sides of a stem, and a lower voice
# beside an upper one.
HEAD = 9.0


class Made:
    """Players of one system made by chance: the rows of each, what each strikes, the beats of all bars in
    quarters, and where bars begin."""

    def __init__(self, players, beats, starts=(Fraction(0),)):
        self.players, self.beats, self.starts = players, beats, starts

    def __str__(self):
        return str([rows for rows, _ in self.players])


def metered(meter, chance):
    """A bar in grids and voices."""
    ways = [chance.choice(["grid", "voices"]) for _ in range(chance.randint(2, 5))]
    players = [ink.made(way, meter, chance, 1)[0] for way in ways]
    return Made(players, ink.METERS[meter][0])


def unmetered(_, chance):
    """A bar that is as long as its quarters."""
    beats = [Fraction(1)] * chance.randint(1, 7)
    players, number = [], chance.randint(2, 5)
    while len(players) < number:
        make = chance.choice([ink.grid_bar, ink.voices_bar])
        rows, struck = make(chance, beats, ink.METERS["4/4"][1])
        if struck and all(row.strip() for row in rows.values()):
            players.append((rows, struck))
    return Made(players, beats)


def over_the_barline(meter, chance):
    """Two bars, each of them with something to strike, and a group over the barline in some of the players."""
    beats, _ = ink.METERS[meter]
    starts = (Fraction(0), sum(beats, Fraction(0)))
    players, number = [], chance.randint(2, 4)
    while len(players) < number:
        row, struck = over(chance, beats) if chance.random() < 0.8 else apart(chance, beats)
        if min(struck) < starts[1] and any(at >= starts[1] for at in struck):
            players.append(({"play": row}, struck))
    return Made(players, beats + beats, starts)


def apart(chance, beats):
    """A row of two bars, and what is struck in it."""
    sizes, length = [1, 2, 3, 4], sum(beats, Fraction(0))
    bars = [ink.Cells(chance, beats, sizes, "s", rolls=False) for _ in range(2)]
    struck = {start + at for start, bar in zip((0, length), bars) for at in bar.onsets}
    return " | ".join(bar.text() for bar in bars), struck


def over(chance, beats):
    """A row of two bars with a group over the barline, and what is struck in it."""
    sizes, length = [1, 2, 3, 4], sum(beats, Fraction(0))
    before, after = chance.choice([(1, 1), (1, 1), (1, 2), (2, 1), (2, 2)])
    first = ink.Cells(chance, beats[:-before], sizes, "s", rolls=False)
    last = ink.Cells(chance, beats[after:], sizes, "s", rolls=False)
    start, end = length - sum(beats[-before:]), length + sum(beats[:after])
    struck = set(first.onsets) | {end + at for at in last.onsets}
    number = chance.choice([3, 5, 6, 7])
    # Silence alone after the barline would be a silent bar.
    cells = "s" + "".join(chance.choice("sst.") for _ in range(number - 2)) + "t"
    onsets = [start + (end - start) * index / number for index in range(number)]
    struck |= {at for at, cell in zip(onsets, cells) if cell != "."}
    line = sum(1 for at in onsets if at < length)
    group = f"{cells[:line]}|{cells[line:]}:{before + after}"
    return f"{first.text()} {group} {last.text()}", struck


# The way of writing: how its systems are made, and the times they are in.
WAYS = {
    "metered": (metered, METERS),
    "unmetered": (unmetered, ["none"]),
    "over the barline": (over_the_barline, ["2/4", "3/4", "4/4", "6/8"]),
}


def text_of(meter, systems):
    """A block for each set of players."""
    lines = ["page: a3 landscape", "counts: none", "columns: 1", ""]
    for made in systems:
        lines += ["exercise", f"  time: {meter}"]
        for number, (rows, _) in enumerate(made.players):
            lines.append(f'  player "P{number}"')
            lines += [f"    {name} {row}" for name, row in rows.items()]
        lines.append("")
    return "\n".join(lines)


def notes_of(player, lower, starts):
    """The offset and x of each struck note of a player, in quarters and points."""
    found = []
    for start, bar in zip(starts, ink.groups(player, "bar"), strict=True):
        for note in ink.groups(bar, "note"):
            heads = [m["bounds"] for m in note["children"] if m.get("mark") == "notehead"]
            if heads:
                at = start + (Fraction(note["beat"]) - 1) * Fraction(4, lower)
                found.append((at, (heads[0][0] + heads[0][2]) / 2))
    return found


def aligned(players, lower, starts):
    """Whether what sounds together by music21 stands together, and later what comes later."""
    from music21 import note, stream

    score = stream.Score()
    places = {}
    for player in players:
        part = stream.Part()
        for at, x in notes_of(player, lower, starts):
            part.insert(at, note.Unpitched(quarterLength=Fraction(1, 64)))
            places.setdefault(at, []).append(x)
        score.insert(0, part)
    reached = float("-inf")
    for sound in score.chordify(removeRedundantPitches=False).recurse().notes:
        at = Fraction(sound.getOffsetInHierarchy(score)).limit_denominator(100_000)
        key = min(places, key=lambda known: abs(known - at))
        if abs(key - at) > Fraction(1, 1000):
            raise ink.Wrong(f"nothing is drawn at {at}")
        xs = places[key]
        if max(xs) - min(xs) > HEAD:
            raise ink.Wrong(f"at {at} heads stand at {xs}")
        if min(xs) <= reached - HEAD:
            raise ink.Wrong(f"what comes at {at} stands before what comes earlier")
        reached = min(xs)


def check(block, made, lower, lengths):
    """Whether what is drawn of a system adds up and stands in line."""
    staves = list(ink.groups(block, "player"))
    if len(staves) != len(made.players):
        raise ink.Wrong(f"{len(staves)} staves for {len(made.players)} players")
    for staff, (_, struck) in zip(staves, made.players):
        alone = {"children": [{"group": "system", "children": staff["children"]}]}
        ink.check(alone, struck, made.beats, lower, lengths, made.starts)
    aligned(staves, lower, made.starts)


def main():
    in_own_environment("music21")
    number = int(sys.argv[1]) if len(sys.argv) > 1 else 60
    lengths = ink.Lengths()
    chance = random.Random("players")
    wrong = 0
    for way, (make, meters) in WAYS.items():
        for meter in meters:
            lower = int(meter.split("/")[1]) if "/" in meter else 4
            systems = [make(meter, chance) for _ in range(number)]
            drawn = list(ink.groups(drawing(text_of(meter, systems)), "block"))
            if len(drawn) != len(systems):
                sys.exit(f"players: {meter}: {len(drawn)} blocks drawn of {len(systems)}")
            for block, made in zip(drawn, systems):
                try:
                    check(block, made, lower, lengths)
                except ink.Wrong as error:
                    wrong += 1
                    if wrong <= 20:
                        print(f"players: {way}, {meter}: {made}: {error}", file=sys.stderr)
            print(f"players: {way}, {meter}: {number} systems added up and stand in line")
    if wrong:
        sys.exit(f"players: {wrong} systems are wrong")
    print("players: all good")


if __name__ == "__main__":
    main()
