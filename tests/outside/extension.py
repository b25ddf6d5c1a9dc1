#!/usr/bin/env python3
"""Runs the extension of `editors` in a stand-in for an editor, with the program; and packages it twice.

    tests/outside/extension.py

Needs Node; says so and passes over it where there is none. FLAMACUE names the program. Takes a few seconds.

Holds: faults, hovers, completions, names, mends, symbols and tokens arrive as the editor's own things; an edit
arrives at the program; a package is the same bytes each time and holds what the extension names.
"""

import json
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile
import zipfile

import shared

EDITORS = shared.ROOT / "editors"
STAND_IN = pathlib.Path(__file__).resolve().parent / "extension" / "stand_in.js"


def package():
    with tempfile.TemporaryDirectory() as folder:
        variables = {**os.environ, "CARGO_TARGET_DIR": folder}
        subprocess.run([EDITORS / "package"], check=True, env=variables, stdout=subprocess.DEVNULL)
        made = pathlib.Path(folder) / "flamacue.vsix"
        return made.read_bytes(), zipfile.ZipFile(made).namelist()


def main():
    (first, names), (second, _) = package(), package()
    if first != second:
        sys.exit("extension: two packages differ")
    about = json.loads((EDITORS / "flamacue" / "package.json").read_text())
    paths = [about["main"], about["contributes"]["grammars"][0]["path"]]
    paths.append(about["contributes"]["languages"][0]["configuration"])
    missing = [path for path in paths if f"extension/{path.removeprefix('./')}" not in names]
    if missing:
        sys.exit(f"extension: the package holds no {missing}")
    if not shutil.which("node"):
        print("extension: there is no Node here; only the package was checked")
        return
    subprocess.run(["node", STAND_IN, shared.program()], check=True, timeout=120)
    print("extension: what the editor is handed is right")


if __name__ == "__main__":
    main()
