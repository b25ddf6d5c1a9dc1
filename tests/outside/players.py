#!/usr/bin/env python3
"""Bars of several players: the ink of each player's bar adds up to its length with the lengths music21
gives to note values, and what music21 finds to sound at one time in a score of all the parts stands at
one x in the drawing, in the order of time.

    tests/outside/players.py [BARS]

Makes its own virtual environment (tests/outside/.venv) with music21 from PyPI. BARS (60) is how many bars
are made by chance for each time signature. The program is FLAMACUE, or else target/debug/flamacue
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


def text_of(meter, blocks):
    """A block of one bar for each set of players."""
    lines = [f"time: {meter}", "counts: none", "columns: 1", ""]
    for players in blocks:
        lines.append("exercise")
        for number, (rows, _) in enumerate(players):
            lines.append(f'  player "P{number}"')
            lines += [f"    {name} {row}" for name, row in rows.items()]
        lines.append("")
    return "\n".join(lines)


def notes_of(player, lower):
    """The offset and x of each struck note of a player, in quarters and points."""
    found = []
    for note in ink.groups(player, "note"):
        heads = [m["bounds"] for m in note["children"] if m.get("mark") == "notehead"]
        if heads:
            at = (Fraction(note["beat"]) - 1) * Fraction(4, lower)
            found.append((at, (heads[0][0] + heads[0][2]) / 2))
    return found


def aligned(players, lower):
    """Whether what sounds together by music21 stands together, and later what comes later."""
    from music21 import note, stream

    score = stream.Score()
    places = {}
    for player in players:
        part = stream.Part()
        for at, x in notes_of(player, lower):
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


def main():
    in_own_environment({"music21": "music21"})
    number = int(sys.argv[1]) if len(sys.argv) > 1 else 60
    lengths = ink.Lengths()
    chance = random.Random("players")
    wrong = 0
    for meter in METERS:
        beats, _ = ink.METERS[meter]
        lower = int(meter.split("/")[1])
        blocks = []
        for _ in range(number):
            ways = [chance.choice(["grid", "voices"]) for _ in range(chance.randint(2, 5))]
            blocks.append([ink.made(way, meter, chance, 1)[0] for way in ways])
        drawn = list(ink.groups(drawing(text_of(meter, blocks)), "block"))
        if len(drawn) != len(blocks):
            sys.exit(f"players: {meter}: {len(drawn)} blocks drawn of {len(blocks)}")
        for block, players in zip(drawn, blocks):
            staves = list(ink.groups(block, "player"))
            try:
                if len(staves) != len(players):
                    raise ink.Wrong(f"{len(staves)} staves for {len(players)} players")
                for staff, (_, struck) in zip(staves, players):
                    alone = {"children": [{"group": "system", "children": staff["children"]}]}
                    ink.check(alone, struck, beats, lower, lengths)
                aligned(staves, lower)
            except ink.Wrong as error:
                wrong += 1
                if wrong <= 20:
                    print(f"players: {meter}: {[rows for rows, _ in players]}: {error}", file=sys.stderr)
        print(f"players: {meter}: {number} systems added up and stand in line")
    if wrong:
        sys.exit(f"players: {wrong} systems are wrong")
    print("players: all good")


if __name__ == "__main__":
    main()
