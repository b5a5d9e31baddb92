# ruff: noqa: INP001, T201 - a script of the documents, not a package; it says what it wrote
"""Draw the icons of the app from `static/icon.svg`, for browsers and phones that take pictures alone.

Run from the repository: ``.venv/bin/python docs/make_icons.py``.
"""

from __future__ import annotations

import re
from math import hypot
from pathlib import Path

from PIL import Image, ImageDraw

STATIC = Path(__file__).parents[1] / "src" / "ventwright" / "web" / "static"
FINER = 4
"""Times finer than wanted that it is drawn, then made smaller."""

WITHIN = 0.85
"""Size of the drawing in an icon whose rim a phone cuts off: only a circle of 80 % of the width is safe
(W3C, Web Application Manifest, icon masks and safe zone)."""

ICONS = {"icon-192.png": (192, 1.0), "icon-512.png": (512, 1.0), "icon-cut-512.png": (512, WITHIN), "icon-180.png": (180, 1.0)}  # fmt: skip
"""Names with size and how much of it the drawing takes; 180 is what a phone asks for its home screen (from memory)."""

STEP = re.compile(r"M([\d.]+) ([\d.]+)(?:h([\d.]+)| ([\d.]+) ([\d.]+))")


def drawn(size: int, part: float) -> Image.Image:
    """Draw the icon: its ground, and each stroke as the box that a line without round ends is."""
    text = (STATIC / "icon.svg").read_text(encoding="utf-8")
    side = float(re.findall(r'viewBox="0 0 ([\d.]+)', text)[0])
    image = Image.new("RGB", (size * FINER, size * FINER), re.findall(r'fill="(#\w+)"', text)[0])
    pen, scale = ImageDraw.Draw(image), size * FINER * part / side
    rim = size * FINER * (1.0 - part) / 2.0
    for path, colour, width in re.findall(r'd="([^"]+)" stroke="(#\w+)" stroke-width="([\d.]+)"', text):
        for x, y, across, to_x, to_y in STEP.findall(path):
            ends = (float(x), float(y)), (float(to_x or float(x) + float(across)), float(to_y or y))
            box = [(rim + scale * one, rim + scale * other) for one, other in _box(*ends, float(width) / 2.0)]
            pen.polygon(box, fill=colour)
    return image.resize((size, size), Image.Resampling.LANCZOS)


def _box(start: tuple[float, float], stop: tuple[float, float], half: float) -> list[tuple[float, float]]:
    along = stop[0] - start[0], stop[1] - start[1]
    length = hypot(*along)
    x, y = -half * along[1] / length, half * along[0] / length
    return [
        (start[0] + x, start[1] + y),
        (stop[0] + x, stop[1] + y),
        (stop[0] - x, stop[1] - y),
        (start[0] - x, start[1] - y),
    ]


def main() -> None:
    """Write the icons."""
    for name, (size, part) in ICONS.items():
        drawn(size, part).save(STATIC / name, optimize=True)
        print(f"{name}: {(STATIC / name).stat().st_size} bytes")


if __name__ == "__main__":
    main()
