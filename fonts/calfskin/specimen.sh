#!/bin/sh
# Turns specimen.svg, which the builder writes, into specimen.pdf and specimen.png (150 dpi).
# Needs rsvg-convert (Debian package librsvg2-bin).
set -eu
cd "$(dirname "$0")"
rsvg-convert --unlimited -f pdf specimen.svg -o specimen.pdf
rsvg-convert --unlimited -d 150 -p 150 specimen.svg -o specimen.png
