"""Measures generated pictures with scikit-image and SciPy and compares with Bondline's figures.

Usage: check_art.py FOLDER, with the files that crates/art/tests/outside.rs writes: for each
picture NAME.png its figures NAME.json (area and edge in pixels, parts, enclosed holes, the
widest place, against the largest value of the distance transform), and colours.json (CIELAB and
CIEDE2000 of pairs of sRGB colours).
"""
import json
import pathlib
import sys

import numpy
from PIL import Image
from scipy import ndimage
from skimage import color, measure

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


pairs = json.loads((folder / "colours.json").read_text())
for pair in pairs:
    labs = [color.rgb2lab(numpy.array([[pair[side]]], numpy.uint8))[0, 0] for side in ("a", "b")]
    off = float(numpy.abs(labs[0] - pair["lab"]).max())
    holds(f"CIELAB of {pair['a']}", off < 0.05, pair["lab"], labs[0])
    theirs = float(color.deltaE_ciede2000(labs[0], labs[1]))
    holds(f"difference of {pair['a']} and {pair['b']}", abs(pair["difference"] - theirs) < 0.05, pair["difference"], theirs)
holds("colours were compared", len(pairs) >= 100, len(pairs))

for figures in sorted(folder.glob("field-*.json")):
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
