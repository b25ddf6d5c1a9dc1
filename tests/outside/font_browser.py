#!/usr/bin/env python3
"""Loads Calfskin with @font-face in headless Chromium and measures every glyph there.

Needs chromium (Debian: chromium). Nothing is fetched: the page is a file and names no other.

Holds: the face loads, nothing is said in the console, and each glyph is as wide as the font's
metadata says (SMuFL 1.4, glyphAdvanceWidths, in staff spaces: a quarter of an em).

Source: the widths Chromium reports (HTML canvas, TextMetrics.width).
"""

import base64
import json
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

FONT = pathlib.Path(__file__).resolve().parents[2] / "fonts" / "calfskin"
SIZE = 400  # pixels to the em: a staff space is 100
SLACK = 0.5  # pixels: half a hundredth of a staff space

PAGE = """<!DOCTYPE html><meta charset="utf-8"><style>
@font-face {{ font-family: Calfskin; src: url(data:font/ttf;base64,{font}); }}
</style><body><pre id="o"></pre><script>
document.fonts.load('{size}px Calfskin', '\\ue0a4').then(faces => {{
  const pen = document.createElement('canvas').getContext('2d');
  pen.font = '{size}px Calfskin';
  const widths = {codes}.map(c => pen.measureText(String.fromCodePoint(c)).width);
  document.getElementById('o').textContent = JSON.stringify({{loaded: faces.length, widths}});
}}, fault => document.getElementById('o').textContent = JSON.stringify({{fault: String(fault)}}));
</script>"""


def main():
    browser = next((p for n in ("chromium", "chromium-browser") if (p := shutil.which(n))), None)
    if browser is None:
        print("font_browser: skipped, no chromium here")
        return
    widths = json.loads((FONT / "calfskin_metadata.json").read_text())["glyphAdvanceWidths"]
    glyphs = {}
    for source in sorted((FONT / "glyphs").glob("*.svg")):
        code = re.search(r'data-codepoint="U\+([0-9A-F]+)"', source.read_text())
        glyphs[source.stem] = int(code.group(1), 16)
    if set(glyphs) != set(widths):
        sys.exit("font_browser: the sources and the metadata name different glyphs")
    font = base64.b64encode((FONT / "Calfskin.ttf").read_bytes()).decode()
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        page = folder / "font.html"
        page.write_text(PAGE.format(font=font, size=SIZE, codes=list(glyphs.values())))
        result = subprocess.run(
            [browser, "--headless", "--no-sandbox", "--disable-gpu", "--enable-logging=stderr",
             "--virtual-time-budget=8000", f"--user-data-dir={folder / 'profile'}", "--dump-dom",
             page.as_uri()],
            capture_output=True, text=True, timeout=180)
    told = re.search(r'<pre id="o">(.+?)</pre>', result.stdout, re.S)
    found = json.loads(told.group(1)) if told else {}
    console = [line for line in result.stderr.splitlines() if "CONSOLE" in line]
    if console or not found.get("loaded"):
        sys.exit(f"font_browser: {found or 'nothing came back'} {console}")
    wrong = [
        f"{name}: {width / SIZE * 4:.3f} for {widths[name]}"
        for name, width in zip(glyphs, found["widths"])
        if abs(width - widths[name] * SIZE / 4) > SLACK
    ]
    if wrong:
        sys.exit("font_browser: " + "; ".join(wrong[:10]))
    print(f"font_browser: {len(glyphs)} glyphs load and are as wide as they say")


main()
