"""Reads, outlines and checks large art, and prints time and memory.

Run as `python bench/art/measure.py [PROGRAM]` after `cargo build --release`. Needs numpy and
Pillow (tests/python/requirements.txt) and, for memory, GNU time. The pictures are made here and
left nowhere. Exits with 1 when a figure promised in docs/art.md is missed.
"""
import json
import math
import pathlib
import subprocess
import sys
import tempfile

import numpy
from PIL import Image

program = sys.argv[1] if len(sys.argv) > 1 else "target/release/bondline"


def rings(side):
    """A page of rings, bars and dots with anti-aliased edges."""
    y, x = numpy.mgrid[0:side, 0:side].astype(numpy.float32) + 0.5
    cell = side / 10
    u, v = x % cell - cell / 2, y % cell - cell / 2
    away = numpy.hypot(u, v)
    ring = numpy.minimum(cell * 0.42 - away, away - cell * 0.3)
    bar = numpy.minimum(cell * 0.2 - abs(u), cell * 0.03 - abs(v))
    alpha = (numpy.clip(numpy.maximum(ring, bar) + 0.5, 0, 1) * 255).astype(numpy.uint8)
    colour = numpy.broadcast_to(numpy.array([20, 60, 150], numpy.uint8), (side, side, 3))
    return Image.fromarray(numpy.dstack([colour, alpha]), "RGBA")


def flowers(size):
    """A drawing of many curved shapes, so many bytes long."""
    parts, total, at = [], 0, 0
    while total < size:
        cx, cy = at % 60 * 20 + 10, at // 60 * 20 + 10
        path = f"M{cx} {cy}"
        for petal in range(24):
            a, b = petal * math.tau / 24, (petal + 0.5) * math.tau / 24
            path += f"Q{cx + 9 * math.cos(a):.3f} {cy + 9 * math.sin(a):.3f} {cx + 4 * math.cos(b):.3f} {cy + 4 * math.sin(b):.3f}"
        parts.append(f'<path fill="#145" d="{path}Z"/>')
        total += len(parts[-1])
        at += 1
    high = (at // 60 + 1) * 20
    return f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1200 {high}">{"".join(parts)}</svg>'


def run(name, path, width):
    timed = ["/usr/bin/time", "-f", "%e %U %S %M", program, "art", "check", str(path), "--width", width, "--json"]
    done = subprocess.run(timed, capture_output=True, text=True)
    if done.returncode not in (0, 1):
        sys.exit(f"{name}: {done.stderr}")
    wall, user, system, peak = map(float, done.stderr.strip().splitlines()[-1].split())
    parts = json.loads(done.stdout)["parts"]
    print(f"| {name} | {parts} | {wall:.2f} | {user + system:.2f} | {peak / 1000:.0f} |")
    return wall, peak / 1000


print("| file | parts | wall s | CPU s | peak MB |\n|---|---|---|---|---|")
with tempfile.TemporaryDirectory() as home:
    home = pathlib.Path(home)
    rings(5000).save(home / "rings.png", compress_level=1)
    (home / "flowers.svg").write_text(flowers(2_000_000))
    wall, peak = run("PNG 5000 × 5000 RGBA", home / "rings.png", "300mm")
    drawn, _ = run("SVG of 2.0 MB", home / "flowers.svg", "300mm")
missed = [what for what, kept in [("5000 × 5000 in 3 s", wall < 3), ("500 MB", peak < 500), ("2 MB SVG in 1 s", drawn < 1)] if not kept]
sys.exit(f"missed: {missed}" if missed else 0)
