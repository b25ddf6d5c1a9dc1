#!/usr/bin/env python3
"""Checks the fonts embedded in live-text SVG as browsers do, with the OpenType Sanitizer.

    tests/outside/webfont_check.py             the drawing the writer tests leave behind
    tests/outside/webfont_check.py FILE.svg... files the program built with --svg-text

Makes a virtual environment of its own in tests/outside/.venv. The drawing is made by
`cargo test --test write`; its folder is CARGO_TARGET_DIR/tmp.
"""

import base64
import os
import pathlib
import re
import subprocess
import sys
import tempfile
import venv

HERE = pathlib.Path(__file__).resolve().parent
ROOT = HERE.parents[1]
VENV = HERE / ".venv"

SANITISE = "import ots, sys; sys.exit(ots.sanitize(sys.argv[1], sys.argv[1] + '.out').returncode)"


def python():
    inside = VENV / "bin" / "python"
    if not inside.exists():
        venv.create(VENV, with_pip=True)
    if subprocess.run([inside, "-c", "import ots"], capture_output=True).returncode:
        subprocess.run([inside, "-m", "pip", "install", "-q", "opentype-sanitizer"], check=True)
    return inside


def main(files):
    if not files:
        target = pathlib.Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target"))
        files = [target / "tmp" / "drawing-live.svg"]
    inside = python()
    with tempfile.TemporaryDirectory() as folder:
        for svg in files:
            fonts = re.findall(r"base64,([^)]*)\)", pathlib.Path(svg).read_text())
            if not fonts:
                sys.exit(f"webfont_check: {svg} embeds no font")
            for nth, coded in enumerate(fonts):
                font = pathlib.Path(folder) / f"{nth}.otf"
                font.write_bytes(base64.b64decode(coded, validate=True))
                if subprocess.run([inside, "-c", SANITISE, font]).returncode:
                    sys.exit(f"webfont_check: {svg}: font {nth + 1} is refused")
    print("webfont_check: all good")


if __name__ == "__main__":
    main(sys.argv[1:])
