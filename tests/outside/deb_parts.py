#!/usr/bin/env python3
"""Checks what a desktop and a shell are told by the Debian package: the entry and the kind of files with the tools of
freedesktop.org, the manual pages with mandoc, the completions with the shells themselves.

    tests/outside/deb_parts.py

Needs Debian's desktop-file-utils, shared-mime-info and mandoc. FLAMACUE names the program. Takes a few seconds.
`packaging/try` installs the whole package in a clean root; this looks at its parts without one.
"""

import configparser
import pathlib
import shutil
import subprocess
import sys
import tempfile
import xml.etree.ElementTree

import shared

PACKAGING = shared.ROOT / "packaging"
MIME = "{http://www.freedesktop.org/standards/shared-mime-info}"
# Pages are of no day, and what makes them puts a break beside a space here and there.
PASSED_OVER = ["missing date", "skipping paragraph macro"]


def silent(*command, **options):
    """Runs a command that has nothing to say."""
    ended = subprocess.run(command, capture_output=True, text=True, **options)
    said = (ended.stdout + ended.stderr).strip()
    if ended.returncode or said:
        sys.exit(f"deb_parts: {' '.join(map(str, command))}: status {ended.returncode}\n{said}")


def own(*arguments):
    return subprocess.run([shared.program(), *arguments], capture_output=True, check=True).stdout


def entry_and_kind():
    """The desktop entry and the kind of files, which belong together."""
    entry = PACKAGING / "flamacue.desktop"
    silent("desktop-file-validate", entry)
    told = configparser.ConfigParser(interpolation=None)
    told.optionxform = str
    told.read(entry)
    told = told["Desktop Entry"]
    kind = xml.etree.ElementTree.parse(PACKAGING / "flamacue.xml").getroot().find(f"{MIME}mime-type")
    name = kind.get("type")
    assert told["MimeType"] == f"{name};", "the entry opens files of the kind"
    command = told["Exec"].split()
    assert command[:2] == ["flamacue", "desk"] and command[-1] in ("%f", "%F"), "a double click opens the desk"
    arguments = [word for word in command[1:] if not word.startswith("%")]
    assert b"Usage: " in own(*arguments, "--help")
    assert (PACKAGING / f"{told['Icon']}.svg").exists()
    with tempfile.TemporaryDirectory() as folder:
        kinds = pathlib.Path(folder) / "mime"
        (kinds / "packages").mkdir(parents=True)
        shutil.copy(PACKAGING / "flamacue.xml", kinds / "packages")
        silent("update-mime-database", kinds, env={"PATH": "/usr/bin:/bin", "XDG_DATA_DIRS": folder})
        globs = (kinds / "globs2").read_text().splitlines()
        assert any(line.endswith(f":{name}:*.flam") for line in globs), globs
        subclasses = (kinds / "subclasses").read_text().splitlines()
        assert f"{name} text/plain" in subclasses, "any editor of plain text may open it"


def manual_pages(folder):
    parts = [None]
    whole = own("manual").decode()
    parts += [line.split("\\-")[1].split("(")[0] for line in whole.splitlines() if line.startswith("flamacue\\-")]
    assert len(parts) > 10, parts
    for part in parts:
        page = folder / f"flamacue{f'-{part}' if part else ''}.1"
        page.write_bytes(own("manual", *([part] if part else [])))
        ended = subprocess.run(["mandoc", "-T", "lint", "-W", "warning", page], capture_output=True, text=True)
        wrong = [line for line in ended.stdout.splitlines() if not any(words in line for words in PASSED_OVER)]
        assert not wrong and not ended.stderr, wrong
    return len(parts)


def completions(folder):
    """The scripts of the shells that are here."""
    read = []
    for shell in ["bash", "zsh", "fish"]:
        script = folder / f"flamacue.{shell}"
        script.write_bytes(own("completions", shell))
        if shutil.which(shell):
            silent(shell, "-n", script)
            read.append(shell)
    return read


def main():
    entry_and_kind()
    with tempfile.TemporaryDirectory() as name:
        pages = manual_pages(pathlib.Path(name))
        shells = completions(pathlib.Path(name))
    print(f"deb_parts: the entry and its kind are right, {pages} manual pages, completions of {', '.join(shells)}")


if __name__ == "__main__":
    main()
