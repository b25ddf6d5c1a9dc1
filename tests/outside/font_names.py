#!/usr/bin/env python3
"""Checks the built Calfskin font against tools and tables from outside the project.

Makes its own virtual environment beside this file (`.venv`), then checks that

- every glyph name and code point is the one in the SMuFL 1.4 tables (W3C Music Notation
  Community Group, glyphnames.json, as packaged with smufolib);
- every anchor name is one that SMuFL's "glyphsWithAnchors" defines;
- fontTools reads the file, writes it as XML, reads that back and finds the same tables, without
  a warning;
- FreeType loads and rasterises every glyph and reports the advance width of the metadata;
- the OpenType sanitiser accepts the file.

Run: python3 tests/outside/font_names.py
"""

import importlib.util
import io
import json
import logging
import os
import re
import subprocess
import sys
import venv
from pathlib import Path

HERE = Path(__file__).resolve().parent
FONT_HOME = HERE.parent.parent / "fonts" / "calfskin"
PACKAGES = ["fonttools", "freetype-py", "smufolib", "opentype-sanitizer"]

# SMuFL 1.4, "Metadata for SMuFL-compliant fonts", glyphsWithAnchors. From memory.
ANCHORS = {
    "splitStemUpSE", "splitStemUpSW", "splitStemDownNE", "splitStemDownNW",
    "stemUpSE", "stemDownNW", "stemUpNW", "stemDownSW",
    "nominalWidth", "numeralTop", "numeralBottom",
    "cutOutNE", "cutOutSE", "cutOutSW", "cutOutNW",
    "graceNoteSlashSW", "graceNoteSlashNE", "graceNoteSlashNW", "graceNoteSlashSE",
    "repeatOffset", "noteheadOrigin", "opticalCenter",
}


def enter_environment():
    """Runs this file again inside a virtual environment that has the packages."""
    home = HERE / ".venv"
    python = home / "bin" / "python"
    if Path(sys.prefix).resolve() == home.resolve():
        return
    if not python.exists():
        venv.create(home, with_pip=True)
    probe = "import fontTools, freetype, ots, importlib.util as u; u.find_spec('smufolib').origin"
    if subprocess.run([python, "-c", probe], capture_output=True).returncode != 0:
        subprocess.run([python, "-m", "pip", "install", "-q", *PACKAGES], check=True)
    os.execv(python, [str(python), __file__])


def check_names(metadata, cmap, problems):
    # Only the package's tables are wanted, so it is found and not imported.
    package = Path(importlib.util.find_spec("smufolib").origin).parent
    table = json.loads((package / "metadata" / "glyphnames.json").read_text())
    drawn = {name: code for code, name in cmap.items() if name != "space"}
    for name, code in sorted(drawn.items()):
        entry = table.get(name)
        if entry is None:
            problems.append(f"{name}: not a SMuFL glyph name")
        elif int(entry["codepoint"][2:], 16) != code:
            problems.append(f"{name}: U+{code:04X}, SMuFL has {entry['codepoint']}")
    for key in ("glyphAdvanceWidths", "glyphBBoxes"):
        if set(metadata[key]) != set(drawn):
            problems.append(f"{key} and the font differ: {set(metadata[key]) ^ set(drawn)}")
    for name, anchors in metadata["glyphsWithAnchors"].items():
        for anchor in set(anchors) - ANCHORS:
            problems.append(f"{name}: SMuFL has no anchor {anchor}")
    return drawn


def as_xml(font):
    """The font as ttx writes it, but for the checksum that any rewriting changes."""
    xml = io.StringIO()
    font.saveXML(xml)
    return re.sub(r"(<checkSumAdjustment value=).*/>", r'\1"0"/>', xml.getvalue())


def check_fonttools(path, problems):
    from fontTools.ttLib import TTFont

    heard = io.StringIO()
    handler = logging.StreamHandler(heard)
    handler.setLevel(logging.WARNING)
    logging.getLogger().addHandler(handler)
    font = TTFont(path, checkChecksums=2, recalcTimestamp=False)
    again = TTFont(recalcTimestamp=False)
    again.importXML(io.StringIO(as_xml(font)))
    written = io.BytesIO()
    again.save(written)
    if as_xml(TTFont(written, recalcTimestamp=False)) != as_xml(font):
        problems.append("the font changes on its way through ttx")
    for name in font.getGlyphOrder():
        glyph = font["glyf"][name]
        told = [getattr(glyph, k, 0) for k in ("xMin", "yMin", "xMax", "yMax")]
        glyph.recalcBounds(font["glyf"])
        seen = [getattr(glyph, k, 0) for k in ("xMin", "yMin", "xMax", "yMax")]
        if any(abs(a - b) > 1 for a, b in zip(told, seen)):
            problems.append(f"{name}: box {told}, fontTools finds {seen}")
    logging.getLogger().removeHandler(handler)
    if heard.getvalue():
        problems.append("fontTools warns: " + heard.getvalue())
    return font.getBestCmap()


def check_freetype(path, metadata, drawn, problems):
    import freetype

    face = freetype.Face(str(path))
    face.set_pixel_sizes(0, 96)
    for name, code in drawn.items():
        index = face.get_char_index(code)
        face.load_glyph(index, freetype.FT_LOAD_RENDER | freetype.FT_LOAD_NO_HINTING)
        if not any(face.glyph.bitmap.buffer):
            problems.append(f"{name}: FreeType draws nothing")
        face.load_glyph(index, freetype.FT_LOAD_NO_SCALE)
        advance = face.glyph.metrics.horiAdvance * 4 / face.units_per_EM
        if abs(advance - metadata["glyphAdvanceWidths"][name]) > 0.001:
            problems.append(f"{name}: FreeType has advance {advance}")


def check_sanitiser(path, problems):
    import ots

    result = ots.sanitize(str(path), os.devnull, capture_output=True)
    if result.returncode != 0 or b"WARNING" in (result.stderr or b""):
        problems.append(f"sanitiser: {result.stderr}")


def main():
    enter_environment()
    path = FONT_HOME / "Calfskin.ttf"
    metadata = json.loads((FONT_HOME / "calfskin_metadata.json").read_text())
    problems = []
    cmap = check_fonttools(path, problems)
    drawn = check_names(metadata, cmap, problems)
    check_freetype(path, metadata, drawn, problems)
    check_sanitiser(path, problems)
    for problem in problems:
        print(problem)
    print(f"{len(drawn)} glyphs, {len(problems)} problems")
    return 1 if problems else 0


if __name__ == "__main__":
    sys.exit(main())
