#!/usr/bin/env python3
"""What is heard, measured by others: librosa finds the onsets of sparse bars where the cues say they are,
within 3 ms, and no others; libsndfile reads both forms, to the same samples and the exact length; eight
instruments at fff stay under -1 dBFS; rests are silent.

    tests/outside/audio.py

Makes its own virtual environment (tests/outside/.venv) with librosa and soundfile from PyPI. The program
is FLAMACUE, or else target/debug/flamacue (CARGO_TARGET_DIR is heeded).
"""

import json
import pathlib
import subprocess
import sys
import tempfile

from shared import in_own_environment, program

RATE = 48_000
# Seconds: how far an onset may lie from the time it is written for.
NEAR = 0.003
# Frames of a spectrum and between two of them: 2.7 and 0.5 ms. A longer one sees onsets too early.
SPECTRUM, STEP = 128, 24
# Full scale is 1. -1 and -90 dB of it.
CEILING, SILENT = 10 ** (-1 / 20), 10 ** (-90 / 20)

# Strokes far apart, none where a louder one still rings.
SPARSE = """time: 4/4

groove "Far apart"
  tempo: {tempo}
  hat    . . x .  | . x . x  | . . x .  | x . . .
  snare  . x . .  | . . x .  | x x . .  | . . . .
  kick   x . . x  | x . . .  | . . . x  | . . x .
"""
# Everything at once, as hard as it is struck, and seven beats of a second to die away in.
LOUD = """time: 4/4

groove "All of it"
  tempo: 60
  dyn       fff . . .   | . . . .
  crash     XXXX . . .  | . . . .
  china     XXXX . . .  | . . . .
  splash    XXXX . . .  | . . . .
  hat       XXXX . . .  | . . . .
  cowbell   XXXX . . .  | . . . .
  snare     XXXX . . .  | . . . .
  floor     XXXX . . .  | . . . .
  kick      XXXX . . .  | . . . .
"""
# A snare drum, then eleven beats of a second without a sound.
REST = """time: 4/4

groove "Then nothing"
  tempo: 60
  snare  X . . .  | . . . .  | . . . .
"""


def built(folder, text, ending, *options):
    source = folder / "bars.flam"
    out = folder / f"bars.{ending}"
    source.write_text(text)
    command = [program(), "build", source, "-o", out, "--count-in", "0", *options]
    result = subprocess.run(command, capture_output=True, text=True)
    if result.returncode:
        sys.exit(f"the program does not build\n{text}\n{result.stderr}")
    return out


def samples(path):
    import soundfile

    found, rate = soundfile.read(path, dtype="int32", always_2d=True)
    info = soundfile.info(path)
    if (rate, info.subtype, found.shape[1]) != (RATE, "PCM_24", 2):
        sys.exit(f"{path.name}: {rate} Hz, {info.subtype}, {found.shape[1]} channels")
    # Samples of 24 bits in the upper bits of 32.
    return found


def onsets(sound):
    """Where librosa finds that something begins, in seconds."""
    import librosa
    import numpy

    mono = sound.mean(axis=1)
    spectra = numpy.abs(librosa.stft(mono, n_fft=SPECTRUM, hop_length=STEP))
    # Rises of each frequency's loudness.
    rises = numpy.maximum(0, numpy.diff(numpy.log1p(1000 * spectra), axis=1)).mean(axis=0)
    rises = numpy.concatenate([[0], rises])
    each = lambda seconds: int(seconds * RATE / STEP)
    return librosa.onset.onset_detect(
        onset_envelope=rises, sr=RATE, hop_length=STEP, units="frames", delta=0.1,
        pre_max=each(0.03), post_max=each(0.03), pre_avg=each(0.1), post_avg=each(0.1), wait=each(0.05),
    ) * STEP / RATE


def peak(sound):
    return abs(sound).max() if len(sound) else 0.0


def check_onsets(folder, tempo):
    text = SPARSE.format(tempo=tempo)
    cues = json.loads(built(folder, text, "cues.json").read_text())
    whole = samples(built(folder, text, "wav"))
    if len(whole) != round(cues["seconds"] * RATE):
        sys.exit(f"at {tempo}: {len(whole)} frames for {cues['seconds']} s")
    packed = samples(built(folder, text, "flac"))
    if packed.shape != whole.shape or (packed != whole).any():
        sys.exit(f"at {tempo}: FLAC and WAV differ")
    written = sorted({stroke["seconds"] for stroke in cues["strokes"]})
    found = onsets(whole / 2**31)
    if len(found) != len(written):
        sys.exit(f"at {tempo}: {len(written)} onsets are written, {len(found)} found: {found}")
    far = max(abs(there - here) for here, there in zip(written, found))
    if far > NEAR:
        sys.exit(f"at {tempo}: an onset is {1000 * far:.1f} ms off: {written} {found}")
    return len(found), far


def check_peak(folder):
    sound = samples(built(folder, LOUD, "wav")) / 2**31
    highest = peak(sound)
    if not 0.5 < highest < CEILING:
        sys.exit(f"eight instruments at fff: a peak of {highest:.3f}")
    return highest


def check_silence(folder):
    sound = samples(built(folder, REST, "wav")) / 2**31
    # It is struck half a second after the start, and has three seconds to die away.
    before, after = peak(sound[: RATE // 2]), peak(sound[int(3.5 * RATE) :])
    if before > 0 or after > SILENT:
        sys.exit(f"silence: {before:.2g} before, {after:.2g} after a stroke")
    if peak(sound) < 0.1:
        sys.exit("silence: nothing sounds at all")


def main():
    in_own_environment("librosa", "soundfile", "numpy")
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        told = [check_onsets(folder, tempo) for tempo in (60, 120, 200)]
        highest = check_peak(folder)
        check_silence(folder)
    count, far = sum(count for count, _ in told), max(far for _, far in told)
    print(f"sound: {count} onsets within {1000 * far:.1f} ms; peak at fff {highest:.3f}; rests silent; FLAC is WAV")


main()
