#!/usr/bin/env python3
"""Plays films in programs of others: ffmpeg and ffprobe, Pillow, and headless Chromium.

    tests/outside/film.py

Makes a virtual environment of its own in tests/outside/.venv with Pillow from PyPI; needs ffmpeg and chromium
(Debian: ffmpeg, chromium). The program is FLAMACUE, or else target/debug/flamacue (CARGO_TARGET_DIR is heeded).
Takes about twenty seconds.

Holds:
- VP9 with alpha and ProRes 4444 that ffmpeg makes of the bytes on standard output have as many frames as the
  program says, the exact rate (29.97 is 30000/1001, 23.976 is 24000/1001), and pixels that are clear and
  others that are not, where those of the program are (the lines are those of guide/film.md);
- Pillow reads the animated PNG: its frames and how long each lasts, and the pixels are those of the bytes;
- numbered pictures are as many as there are frames, and are the same pixels;
- the animated SVG looks in Chromium, at five times, as the frames of these times do.
"""

import json
import pathlib
import shutil
import subprocess
import sys
import tempfile
from fractions import Fraction

from shared import in_own_environment, program

TEXT = """title: Two doors
tempo: 132

fill gate "Through the gate"
  play   S.ss t.tt m.mm C+k | s s+k ssss ss.s | S.ss t.tt m.mm C+k | ssss tttt mmmm C+k
  stick  R.RL R.RL R.RL R
"""
WIDTH, HEIGHT = 480, 96
SIZE = ["--size", f"{WIDTH}x{HEIGHT}"]
RATES = {"29.97": Fraction(30000, 1001), "23.976": Fraction(24000, 1001)}
# Half of full opacity: ink is above, what shows the video is under it.
OPAQUE = 128
# Programs smooth edges differently: how far a pixel may be off, and how many of a thousand may be further.
SLACK, SHARE = 96, 4


def fail(message):
    sys.exit(f"film: {message}")


def run(*command, **more):
    result = subprocess.run([str(part) for part in command], capture_output=True, **more)
    if result.returncode:
        fail(f"{' '.join(map(str, command))}\n{result.stderr.decode(errors='replace')}")
    return result.stdout


def frames(text, *options):
    """The frames of a film, each as its bytes."""
    out = run(program(), "film", text, *SIZE, *options, "-o", "-")
    size = WIDTH * HEIGHT * 4
    if not out or len(out) % size:
        fail(f"{len(out)} bytes are no whole frames")
    return [out[at:at + size] for at in range(0, len(out), size)]


def ffmpeg_check(text, folder):
    encoders = {
        "webm": ["-c:v", "libvpx-vp9", "-pix_fmt", "yuva420p", "-b:v", "0", "-crf", "20", "-deadline", "realtime"],
        "mov": ["-c:v", "prores_ks", "-profile:v", "4444", "-pix_fmt", "yuva444p10le"],
    }
    for words, rate in RATES.items():
        raw = frames(text, "--transparent", "--rate", words)
        fed = b"".join(raw)
        inked = {sum(a >= OPAQUE for a in frame[3::4]) for frame in raw}
        if min(inked) == 0 or max(inked) > WIDTH * HEIGHT / 2:
            fail("there is no ink, or there is nothing else")
        for ending, encoder in encoders.items():
            film = folder / f"film-{words}.{ending}"
            run("ffmpeg", "-v", "error", "-f", "rawvideo", "-pix_fmt", "rgba", "-s", f"{WIDTH}x{HEIGHT}",
                "-r", rate, "-i", "-", *encoder, film, input=fed)
            told = json.loads(run("ffprobe", "-v", "error", "-count_frames", "-select_streams", "v",
                                  "-show_streams", "-of", "json", film))["streams"][0]
            if (int(told["nb_read_frames"]), Fraction(told["r_frame_rate"])) != (len(raw), rate):
                fail(f"{film.name}: {told['nb_read_frames']} frames at {told['r_frame_rate']}, not {len(raw)} at {rate}")
            decoder = ["-c:v", "libvpx-vp9"] if ending == "webm" else []
            alpha = run("ffmpeg", "-v", "error", *decoder, "-i", film, "-vf", "alphaextract",
                        "-frames:v", "1", "-f", "rawvideo", "-pix_fmt", "gray", "-")
            off = sum((a >= OPAQUE) != (b >= OPAQUE) for a, b in zip(alpha, raw[0][3::4]))
            if len(alpha) != WIDTH * HEIGHT or off > WIDTH * HEIGHT * SHARE / 1000 * 5:
                fail(f"{film.name}: the opacity of {off} pixels is another")


def pillow_check(text, folder):
    from PIL import Image

    raw = frames(text, "--transparent", "--rate", "23.976")
    film = folder / "film.apng"
    run(program(), "film", text, *SIZE, "--transparent", "--rate", "23.976", "-o", film)
    picture = Image.open(film)
    if picture.n_frames != len(raw):
        fail(f"the animated PNG has {picture.n_frames} frames, not {len(raw)}")
    for number, frame in enumerate(raw):
        picture.seek(number)
        if picture.convert("RGBA").tobytes() != frame:
            fail(f"frame {number} of the animated PNG is another picture")
        if abs(picture.info["duration"] - 1000 * 1001 / 24000) > 1e-6:
            fail(f"frame {number} lasts {picture.info['duration']} ms")
    run(program(), "film", text, *SIZE, "--transparent", "--rate", "23.976", "-o", f"{folder / 'frames'}/")
    pictures = sorted((folder / "frames").iterdir())
    if len(pictures) != len(raw):
        fail(f"there are {len(pictures)} pictures, not {len(raw)}")
    for path, frame in zip(pictures, raw):
        if Image.open(path).convert("RGBA").tobytes() != frame:
            fail(f"{path.name} is another picture")


def browser_check(text, folder, browser):
    from PIL import Image

    rate = 25
    raw = frames(text, "--rate", rate)
    film = folder / "film.svg"
    run(program(), "film", text, *SIZE, "-o", film)
    # While it is counted in, at a stroke, between two, on a later page, and after the end.
    chosen = [20, 55, 66, 5 * len(raw) // 8, len(raw) - 2]
    svg = film.read_text()
    svgs = "".join(f'<div style="height:{HEIGHT}px">{svg}</div>' for _ in chosen)
    times = [(number + 0.5) / rate for number in chosen]
    page = folder / "film.html"
    page.write_text(
        "<!DOCTYPE html><meta charset='utf-8'><style>*{margin:0}svg{display:block;width:%dpx}</style>%s<script>"
        "document.querySelectorAll('svg').forEach((svg, n) => {svg.pauseAnimations(); svg.setCurrentTime(%s[n]);});"
        "</script>" % (WIDTH, svgs, times))
    shot = folder / "shot.png"
    run(browser, "--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", "--force-device-scale-factor=1",
        f"--window-size={WIDTH},{HEIGHT * len(chosen)}", "--virtual-time-budget=3000",
        f"--user-data-dir={folder / 'profile'}", f"--screenshot={shot}", page.as_uri(), timeout=120)
    picture = Image.open(shot).convert("RGB")
    seen = []
    for nth, number in enumerate(chosen):
        part = picture.crop((0, nth * HEIGHT, WIDTH, (nth + 1) * HEIGHT)).tobytes()
        frame = b"".join(raw[number][at:at + 3] for at in range(0, len(raw[number]), 4))
        seen.append(part)
        off = sum(abs(a - b) > SLACK for a, b in zip(part, frame)) / len(frame) * 1000
        if off > SHARE:
            fail(f"at {times[nth]} s the SVG differs from frame {number} in {off:.1f} of a thousand values")
    if len(set(seen)) != len(seen):
        fail("the SVG does not move in the browser")


def main():
    in_own_environment("PIL")
    if not shutil.which("ffmpeg") or not shutil.which("ffprobe"):
        fail("there is no ffmpeg here (Debian: ffmpeg)")
    browser = next((p for n in ("chromium", "chromium-browser") if (p := shutil.which(n))), None)
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        text = folder / "gate.flam"
        text.write_text(TEXT)
        ffmpeg_check(text, folder)
        pillow_check(text, folder)
        if browser:
            browser_check(text, folder, browser)
        else:
            print("film: not seen in a browser, no chromium here")
    print("film: all films play")


if __name__ == "__main__":
    main()
