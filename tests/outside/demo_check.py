#!/usr/bin/env python3
"""What is built of demo/ is what its texts build to now, byte for byte.

Uses the program in target/debug, or the one named in FLAMACUE. The picture the README shows is made by
poppler, whose versions differ, and is not compared.
"""

import os
import pathlib
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parents[2]
PROGRAM = os.environ.get("FLAMACUE", str(ROOT / "target" / "debug" / "flamacue"))
BUILT = {
    "over-the-bakery": ["over-the-bakery.pdf", "over-the-bakery-1.svg", "over-the-bakery-2.svg"],
    "bakery-variations": ["bakery-variations.pdf"],
    "two-sticks": ["two-sticks.pdf"],
    "out-of-the-groove": ["out-of-the-groove.pdf"],
}


def main():
    wrong = []
    with tempfile.TemporaryDirectory() as folder:
        for name, outputs in BUILT.items():
            for ending in sorted({pathlib.Path(output).suffix for output in outputs}):
                made = pathlib.Path(folder) / f"{name}{ending}"
                subprocess.run([PROGRAM, "build", f"demo/{name}.flam", "-o", str(made)], cwd=ROOT, check=True)
            for output in outputs:
                new = (pathlib.Path(folder) / output).read_bytes()
                if new != (ROOT / "demo" / output).read_bytes():
                    wrong.append(output)
    known = {output for outputs in BUILT.values() for output in outputs}
    there = {path.name for path in (ROOT / "demo").iterdir() if path.suffix in (".pdf", ".svg")}
    wrong += sorted(f"{name} (nothing builds it)" for name in there - known)
    if wrong:
        sys.exit("demo/ is older than the program; build it again as DEVELOPERS.md says: " + ", ".join(wrong))
    print(f"demo: {len(known)} built files are up to date")


main()
