#!/usr/bin/env python3
"""Checks the MIDI files of all examples and of the demo with programs and libraries of others.

    tests/outside/midi.py                 all of examples/ and demo/
    tests/outside/midi.py FILE.flam...    these

Makes its own virtual environment (tests/outside/.venv) with mido, music21 and pretty_midi from PyPI.
Needs fluidsynth and a General MIDI SoundFont (Debian: fluidsynth, timgm6mb-soundfont). FLAMACUE names
the program, or else it is target/debug/flamacue (CARGO_TARGET_DIR is heeded).

Holds, of each file as mido reads it and as music21 reads it:

- It is of type 1: a track for what holds for all, and one a player; notes are on channel 10 alone.
- Every stroke of the score begins at its exact time in ticks, and no note begins elsewhere. The score's
  times are the fractions in the cue sheet (`-o x.cues.json`). Two kinds of notes have no such time: a
  grace note lies as many seconds before its note as the cues say, to half a tick; the strokes of a buzz
  lie between its ends, 25 a second.
- Barlines fall where the time signatures as music21 understands them say: each bar is as long as its
  signature. A bar of a length that no signature has is counted in quarters.
- Strokes and bars sound at the seconds of the cues: through mido's tempo map to half a microsecond a
  quarter, which is what a tempo in whole microseconds can tell; through music21's, which rounds to
  hundredths of a beat a minute, to that.
- A marker stands where each block begins.

Of keys: those of the built-in kit have the names they should have in the General MIDI percussion key
map as pretty_midi 0.2.11 has it (`pretty_midi.constants.DRUM_MAP`), and music21's PercussionMapper
makes the same kind of instrument of those it knows.

fluidsynth plays all of each without a word of warning, and none is silent.
"""

import bisect
import collections
import concurrent.futures
import json
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import wave
from fractions import Fraction

from shared import ROOT, in_own_environment, program

SOUND_FONTS = [
    "/usr/share/sounds/sf2/TimGM6mb.sf2",
    "/usr/share/sounds/sf2/FluidR3_GM.sf2",
    "/usr/share/sounds/sf2/default-GM.sf2",
]
# Each row of the built-in kit, its name in the published map, and the kind of instrument music21 makes of it;
# nothing where it has none.
KEYS = {
    "kick": ("Bass Drum 1", "BassDrum"),
    "snare": ("Acoustic Snare", "SnareDrum"),
    "cross-stick": ("Side Stick", "SnareDrum"),
    "tom1": ("High Tom", "TomTom"),
    "tom2": ("Low-Mid Tom", "TomTom"),
    "floor": ("High Floor Tom", "TomTom"),
    "hat": ("Closed Hi Hat", "HiHatCymbal"),
    "open-hat": ("Open Hi Hat", "HiHatCymbal"),
    "half-open-hat": ("Open Hi Hat", "HiHatCymbal"),
    "foot-hat": ("Pedal Hi Hat", "HiHatCymbal"),
    "ride": ("Ride Cymbal 1", None),
    "bell": ("Ride Bell", None),
    "crash": ("Crash Cymbal 1", "CrashCymbals"),
    "crash2": ("Crash Cymbal 2", "CrashCymbals"),
    "splash": ("Splash Cymbal", None),
    "china": ("Chinese Cymbal", None),
    "cowbell": ("Cowbell", "Cowbell"),
}
# Rows of a kit block that say a key.
OWN_KEY = re.compile(r"^  +(?:\S +)?([a-z][\w-]*),? .*\bsound (\d+)", re.M)
# Strokes of a buzz in a second, as src/write/midi says.
BUZZ_RATE = 25
# Seconds in the cues are whole microseconds: two of them are off by one together.
CUES = 1.5e-6
AS_WRITTEN = ["--practice", "alone", "--count-in", "0", "--click", "none", "--looseness", "0"]


def fail(message):
    sys.exit(f"midi: {message}")


def build(text, folder):
    """A text's MIDI file and its cues, each block once; nothing where it has no block."""
    name = "-".join(text.with_suffix("").parts[-2:])
    midi, cues = folder / f"{name}.mid", folder / f"{name}.cues.json"
    for out, options in [(midi, []), (cues, AS_WRITTEN)]:
        command = [program(), "build", text, "-o", out, *options]
        ended = subprocess.run(command, capture_output=True, text=True)
        if "there is no block" in ended.stderr:
            continue
        if ended.returncode:
            fail(f"{text} does not build: {ended.stderr}")
    if midi.exists() != cues.exists():
        fail(f"{text}: only one of MIDI and cues is there")
    return (text, midi, json.loads(cues.read_text())) if midi.exists() else None


class Seconds:
    """A tempo map: pairs of a tick and the seconds of a tick from there on."""

    def __init__(self, steps):
        self.ticks, self.rates, self.starts = [], [], []
        at = now = rate = 0
        for tick, next_rate in steps:
            now += (tick - at) * rate
            at, rate = tick, next_rate
            self.ticks.append(tick)
            self.rates.append(rate)
            self.starts.append(now)

    def at(self, tick):
        step = bisect.bisect_right(self.ticks, tick) - 1
        return self.starts[step] + (tick - self.ticks[step]) * self.rates[step]


class Read:
    """A file as a library read it."""

    def __init__(self):
        self.pulses = 0
        self.notes = []  # A set of (tick, key) of each track but the first.
        self.names = []
        self.markers = []
        self.tempo = []  # (tick, seconds of a quarter)
        self.signatures = []  # (tick, length in whole notes)


def by_mido(path):
    import mido

    file = mido.MidiFile(path, charset="utf-8")
    if file.type != 1:
        fail(f"{path.name} is of type {file.type}")
    read = Read()
    read.pulses = file.ticks_per_beat
    for number, track in enumerate(file.tracks):
        now, notes, name = 0, [], None
        for message in track:
            now += message.time
            if message.type == "note_on" and message.velocity:
                notes.append((now, message.note))
            elif message.type == "track_name":
                name = message.name
            elif number == 0 and message.type == "set_tempo":
                read.tempo.append((now, message.tempo / 1e6))
            elif number == 0 and message.type == "time_signature":
                length = Fraction(message.numerator, message.denominator)
                read.signatures.append((now, length))
            elif number == 0 and message.type == "marker":
                read.markers.append((now, message.text))
            if not message.is_meta and message.channel != 9:
                fail(f"{path.name}: something on channel {message.channel + 1}")
        if len(set(notes)) != len(notes):
            fail(f"{path.name}: two notes on one key begin together")
        if number:
            read.notes.append(set(notes))
            read.names.append(name)
        elif notes:
            fail(f"{path.name}: notes on the first track")
    return read


def by_music21(path):
    from music21 import midi

    file = midi.MidiFile()
    file.readstr(path.read_bytes())
    read = Read()
    read.pulses = file.ticksPerQuarterNote
    for number, track in enumerate(file.tracks):
        now, notes, name = 0, set(), None
        for event in track.events:
            if event.isDeltaTime():
                now += event.time
            elif event.isNoteOn():
                notes.add((now, event.pitch))
            elif event.type == midi.MetaEvents.SEQUENCE_TRACK_NAME:
                name = event.data.decode()
            elif event.type == midi.MetaEvents.SET_TEMPO:
                mark = midi.translate.midiEventsToTempo(event)
                read.tempo.append((now, 60 / mark.getQuarterBPM()))
            elif event.type == midi.MetaEvents.TIME_SIGNATURE:
                signature = midi.translate.midiEventsToTimeSignature(event)
                length = Fraction(signature.barDuration.quarterLength) / 4
                read.signatures.append((now, length))
            elif event.type == midi.MetaEvents.MARKER:
                read.markers.append((now, event.data.decode()))
        if number:
            read.notes.append(notes)
            read.names.append(name)
    return read


def tick_of(time, read, name):
    ticks = Fraction(time) * 4 * read.pulses
    if ticks.denominator != 1:
        fail(f"{name}: {time} is no whole tick")
    return int(ticks)


def starts_of(read, cues, name):
    """The tick at which each block begins."""
    strokes = [s["seconds"] - cues["passes"][0]["music"] for s in cues["strokes"] if s["pass"] == 0]
    at = read.markers[0][0]
    first = cues["passes"][0]
    bars = [Fraction(bar["time"]) for bar in first["bars"]] + [Fraction(first["length"])]
    bar = tick_of(bars[1] - bars[0], read, name)
    if at % bar or (at > 0) != (min(strokes, default=0) < -CUES):
        fail(f"{name}: music begins at {at}, in bars of {bar}")
    starts = []
    for played in cues["passes"]:
        starts.append(at)
        if at not in {tick for tick, _ in read.markers}:
            fail(f"{name}: no marker at {at}")
        at += tick_of(played["length"], read, name)
    return starts


def check_onsets(name, read, cues, starts, seconds):
    """Every note of every track against every stroke."""
    players = collections.defaultdict(list)
    mains = {}
    for stroke in cues["strokes"]:
        players[stroke.get("player", "Drums")].append(stroke)
        if stroke["is"] != "grace":
            mains[stroke["pass"], stroke["time"]] = stroke["seconds"]
    silent = set(read.names) - set(players)
    if set(players) - set(read.names) or any(read.notes[read.names.index(n)] for n in silent):
        fail(f"{name}: tracks {read.names} for {sorted(players)}")
    exact = 0
    for player, strokes in players.items():
        found = read.notes[read.names.index(player)]
        own = collections.defaultdict(list)
        for tick, key in sorted(found):
            own[key].append(tick)
        known = set()
        # What is no stroke of a buzz is known before its strokes are counted.
        for stroke in sorted(strokes, key=lambda stroke: stroke["is"] == "buzz"):
            key, main = stroke["key"], starts[stroke["pass"]] + tick_of(stroke["time"], read, name)
            if stroke["is"] == "grace":
                ahead = mains[stroke["pass"], stroke["time"]] - stroke["seconds"]
                second = seconds.at(main) - ahead
                near = min(own[key], key=lambda tick: abs(seconds.at(tick) - second))
                tick = seconds.at(near + 1) - seconds.at(near - 1)
                if abs(seconds.at(near) - second) > tick / 4 * 1.1 + CUES:
                    fail(f"{name}: no grace note at {second} s: {stroke}")
                known.add((near, key))
                continue
            if (main, key) not in found:
                fail(f"{name}: nothing at tick {main} on key {key}: {stroke}")
            known.add((main, key))
            exact += 1
            if stroke["is"] == "buzz":
                lasts = stroke["end"] - stroke["seconds"]
                end = bisect.bisect_left(own[key], seconds.at(main) + lasts - 1e-5, key=seconds.at)
                inside = own[key][bisect.bisect_right(own[key], main) : end]
                pressed = {(tick, key) for tick in inside} - known
                if abs(1 + len(pressed) - max(1, lasts * BUZZ_RATE)) > 0.51:
                    fail(f"{name}: {1 + len(pressed)} strokes of {stroke}")
                known |= pressed
        if found - known:
            fail(f"{name}: {sorted(found - known)[:5]} are in no score")
    return exact


def check_bars(name, read, cues, starts):
    """Every bar of the score against the time signature in force."""
    ticks = [tick for tick, _ in read.signatures]
    bars = 0
    for played, start in zip(cues["passes"], starts):
        times = [Fraction(bar["time"]) for bar in played["bars"]] + [Fraction(played["length"])]
        for time, end in zip(times, times[1:]):
            at = bisect.bisect_right(ticks, start + tick_of(time, read, name)) - 1
            signature, length = read.signatures[at], end - time
            told = 64 % length.denominator == 0 and length * 64 < 256 * 64
            if signature[1] != (length if told else Fraction(1, 4)):
                fail(f"{name}: a bar of {length} has the signature {signature}")
            if (start + tick_of(time, read, name) - signature[0]) % (4 * read.pulses * signature[1]):
                fail(f"{name}: a barline at {time} is none of {signature}")
            bars += 1
    return bars


def check_seconds(name, read, cues, starts, slip):
    """Strokes and bars at the seconds of the cues; `slip` is what each second may be off by."""
    seconds = Seconds([(tick, quarter / read.pulses) for tick, quarter in read.tempo])
    for played, start in zip(cues["passes"], starts):
        for bar in played["bars"]:
            tick = start + tick_of(bar["time"], read, name)
            off = abs(seconds.at(tick) - seconds.at(start) - bar["seconds"])
            if off > slip(bar["seconds"], (tick - start) / read.pulses) + CUES:
                fail(f"{name}: bar {bar} is off by {off} s")
    for stroke in cues["strokes"]:
        if stroke["is"] == "grace":
            continue
        start = starts[stroke["pass"]]
        tick = start + tick_of(stroke["time"], read, name)
        wanted = stroke["seconds"] - cues["passes"][stroke["pass"]]["music"]
        off = abs(seconds.at(tick) - seconds.at(start) - wanted)
        if off > slip(wanted, (tick - start) / read.pulses) + CUES:
            fail(f"{name}: {stroke} is off by {off} s")
    return seconds


def check_keys(text, cues):
    from music21.midi.percussion import PercussionMapper
    from pretty_midi.constants import DRUM_MAP

    kind_of = PercussionMapper().midiPitchToInstrument
    said = {row: int(key) for row, key in OWN_KEY.findall(text.read_text())}
    rows = set()
    for stroke in cues["strokes"]:
        row, key = stroke["instrument"], stroke["key"]
        if row in said:
            if key != said[row]:
                fail(f"{text.name}: {row} says {said[row]} and has {key}")
            continue
        if row not in KEYS:
            continue
        name, kind = KEYS[row]
        if key - 35 not in range(len(DRUM_MAP)) or DRUM_MAP[key - 35] != name:
            fail(f"{text.name}: {row} has {key}, which is no {name}")
        if kind and type(kind_of(key)).__name__ != kind:
            fail(f"{text.name}: {row} has {key}, of which music21 makes {kind_of(key)}")
        rows.add(row)
    return rows


def check_text(made):
    text, midi, cues = made
    name = text.name
    read, other = by_mido(midi), by_music21(midi)
    for what in ["pulses", "notes", "names", "markers", "signatures"]:
        if getattr(read, what) != getattr(other, what):
            fail(f"{name}: mido and music21 read other {what}")
    starts = starts_of(read, cues, name)
    # A tempo in hundredths of a beat is off by 0.005 of them.
    rough = lambda seconds, _: 0.005 / 60 * max(q for _, q in other.tempo) * seconds * 1.1
    seconds = check_seconds(name, read, cues, starts, lambda _, quarters: quarters * 0.5e-6)
    check_seconds(name, other, cues, starts, rough)
    exact = check_onsets(name, read, cues, starts, seconds)
    check_onsets(name, other, cues, starts, seconds)
    return exact, check_bars(name, other, cues, starts), check_keys(text, cues)


def check_playing(files, folder):
    import mido

    font = next((font for font in SOUND_FONTS if pathlib.Path(font).exists()), None)
    if not shutil.which("fluidsynth") or not font:
        fail("fluidsynth and a SoundFont are missing (Debian: fluidsynth, timgm6mb-soundfont)")

    def play(file):
        out = folder / f"{file.stem}.wav"
        ended = subprocess.run(
            ["fluidsynth", "-n", "-i", "-q", "-R", "0", "-C", "0", "-r", "8000", "-T", "wav",
             "-O", "s16", "-F", out, font, file],
            capture_output=True, text=True,
        )  # fmt: skip
        words = ended.stdout + ended.stderr
        if ended.returncode or re.search("warning|error|fail|unknown", words, re.I):
            fail(f"fluidsynth says of {file.name}: {words}")
        with wave.open(str(out)) as sound:
            frames, rate = sound.getnframes(), sound.getframerate()
            if not any(sound.readframes(frames)):
                fail(f"fluidsynth hears nothing in {file.name}")
        out.unlink()
        if frames / rate < mido.MidiFile(file).length:
            fail(f"fluidsynth plays {frames / rate} s of {file.name}, which is longer")
        return frames / rate

    with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
        return sum(pool.map(play, files))


def main():
    in_own_environment("mido", "music21", "pretty_midi")
    given = [pathlib.Path(name).resolve() for name in sys.argv[1:]]
    texts = given or sorted([*ROOT.glob("examples/*.flam"), *ROOT.glob("demo/*.flam")])
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        kit = folder / "kit.flam"
        kit.write_text("\n".join(f"exercise\n  {row}  x . . .\n" for row in KEYS))
        with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
            made = list(filter(None, pool.map(lambda text: build(text, folder), [kit, *texts])))
        found = [check_text(one) for one in made]
        rows = set().union(*(one[2] for one in found))
        if rows != set(KEYS):
            fail(f"no text plays {set(KEYS) - rows}")
        played = check_playing([midi for _, midi, _ in made], folder)
        strokes, bars = (sum(one[at] for one in found) for at in (0, 1))
    print(
        f"midi: {len(made)} files, {strokes} strokes on their ticks and {bars} bars of their signatures, as "
        f"mido and music21 read them; {len(rows)} keys of the published map; fluidsynth played "
        f"{played / 60:.0f} minutes"
    )


if __name__ == "__main__":
    main()
