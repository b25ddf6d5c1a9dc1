"""What the outside checks have in common: the program they check, and Python modules to check it with."""

import json
import os
import pathlib
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parents[3]
VENV = ROOT / "tests" / "outside" / ".venv"


def program():
    """The program: FLAMACUE, or else target/debug/flamacue (CARGO_TARGET_DIR is heeded)."""
    target = pathlib.Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target"))
    path = os.environ.get("FLAMACUE", target / "debug" / "flamacue")
    if not pathlib.Path(path).exists():
        sys.exit(f"{path} is not built; run `cargo build`")
    return path


def in_own_environment(modules):
    """Runs the script again where modules of PyPI are in reach; `modules` names each one's package."""
    python = VENV / "bin" / "python"
    if pathlib.Path(sys.prefix).resolve() == VENV:
        return
    if not python.exists():
        subprocess.run([sys.executable, "-m", "venv", VENV], check=True)
    if subprocess.run([python, "-c", f"import {', '.join(modules)}"], capture_output=True).returncode:
        subprocess.run([python, "-m", "pip", "install", "--quiet", *modules.values()], check=True)
    os.execv(python, [python, sys.argv[0], *sys.argv[1:]])


def drawing(text):
    """What a text is drawn as, from the program's JSON."""
    with tempfile.TemporaryDirectory() as folder:
        source = pathlib.Path(folder) / "bars.flam"
        out = pathlib.Path(folder) / "bars.json"
        source.write_text(text)
        result = subprocess.run(
            [program(), "build", source, "-o", out], capture_output=True, text=True
        )
        if result.returncode:
            sys.exit(f"the program does not build\n{text}\n{result.stderr}")
        return json.loads(out.read_text())
