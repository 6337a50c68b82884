"""Measures generated pictures with scikit-image and SciPy and compares with Bondline's figures.

Usage: check_art.py FOLDER, with the files that crates/art/tests/outside.rs writes: for each
picture NAME.png its figures NAME.json (area and edge in pixels, parts, enclosed holes, the
squared distance of sampled pixels to the nearest bare one).
"""
import json
import pathlib
import sys

import numpy
from PIL import Image
from scipy import ndimage
from skimage import measure

folder = pathlib.Path(sys.argv[1])
passed = 0


def holds(what, condition, *seen):
    global passed
    if not condition:
        sys.exit(f"{what}: {seen}")
    passed += 1


def ring_area(ring):
    x, y = ring[:, 1], ring[:, 0]
    return float(numpy.dot(x, numpy.roll(y, -1)) - numpy.dot(y, numpy.roll(x, -1))) / 2


for figures in sorted(folder.glob("*.json")):
    ours = json.loads(figures.read_text())
    alpha = numpy.asarray(Image.open(figures.with_suffix(".png")).convert("RGBA"))[:, :, 3]
    alpha = numpy.pad(alpha.astype(float), 1)
    rings = [ring[:-1] for ring in measure.find_contours(alpha, 127.5, fully_connected="high")]
    area = abs(sum(ring_area(ring) for ring in rings))
    edge = sum(float(numpy.hypot(*(ring - numpy.roll(ring, -1, axis=0)).T).sum()) for ring in rings)
    holds(f"{figures.stem} area", abs(ours["area_px"] / area - 1) < 1e-3, ours["area_px"], area)
    holds(f"{figures.stem} edge", abs(ours["edge_px"] / edge - 1) < 1e-3, ours["edge_px"], edge)
    inked = alpha > 127.5
    eight, four = numpy.ones((3, 3)), None
    parts = {ndimage.label(inked, structure)[1] for structure in (eight, four)}
    holds(f"{figures.stem} parts", min(parts) <= ours["parts"] <= max(parts), ours["parts"], parts)
    bare = [ndimage.label(~inked, structure)[1] - 1 for structure in (eight, four)]
    holds(f"{figures.stem} holes", min(bare) <= ours["holes"] <= max(bare), ours["holes"], bare)
    distance = ndimage.distance_transform_edt(inked)
    holds(f"{figures.stem} has distances", len(ours["thickest"]) > 0)
    for width in ours["thickest"]:
        holds(f"{figures.stem} thickest", abs(width - 2 * distance.max()) < 2.0, width, 2 * distance.max())

holds("pictures were compared", passed >= 20, passed)
print(f"{passed} comparisons hold")
