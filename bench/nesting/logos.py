"""Packs logo-like designs with spacing on a roll with Bondline and with spyrrow, a published
general-purpose strip packer (PyPI, MIT), side by side, and checks both layouts with shapely.

Usage: logos.py PROGRAM [SECONDS] [PIECES ...]

PROGRAM is `bondline`. A private environment with spyrrow and shapely is made beside this script
on the first run. Twenty invented designs – stars, badges, letters, crescents, arrows – in quarter
turns, 3 mm apart on a web of 558.8 mm. Run it on an idle machine: both sides search by the
clock, on two threads; SEEDS="1 2 3" sets the seeds, medians are printed. FRAMES=5 makes so many
of the designs rings and frames, the largest ones; spyrrow knows no holes and lays them out full.
"""
import json
import math
import os
import random
import statistics
import subprocess
import sys
import tempfile

import environment

WIDTH_MM, SPACING_MM, DESIGNS = 558.8, 3.0, 20
SEEDS = [int(s) for s in os.environ.get("SEEDS", "1 2 3").split()]
FRAMES = int(os.environ.get("FRAMES", "0"))


def star(chance, size):
    points, inner = chance.randint(5, 8), chance.uniform(0.4, 0.7)
    radius = lambda k: size / 2 * (1 if k % 2 == 0 else inner)
    return [(radius(k) * math.cos(math.pi * k / points), radius(k) * math.sin(math.pi * k / points)) for k in range(2 * points)]


def badge(chance, size):
    tall, power = size * chance.uniform(0.4, 1.0), chance.choice([0.5, 1.0])
    form = lambda v: math.copysign(abs(v) ** power, v)
    turns = [2 * math.pi * k / 32 for k in range(32)]
    return [(size / 2 * form(math.cos(t)), tall / 2 * form(math.sin(t))) for t in turns]


def letter(chance, size):
    w, h, t = size * chance.uniform(0.6, 1.0), size, size * chance.uniform(0.18, 0.3)
    return chance.choice(
        [
            [(0, 0), (w, 0), (w, t), (t, t), (t, h), (0, h)],
            [(w / 2 - t / 2, 0), (w / 2 + t / 2, 0), (w / 2 + t / 2, h - t), (w, h - t), (w, h), (0, h), (0, h - t), (w / 2 - t / 2, h - t)],
            [(0, 0), (w, 0), (w, t), (t, t), (t, h - t), (w, h - t), (w, h), (0, h)],
        ]
    )


def crescent(chance, size):
    bite = chance.uniform(0.35, 0.7)
    outer = [(size / 2 * math.cos(t), size / 2 * math.sin(t)) for t in (math.radians(a) for a in range(60, 301, 15))]
    inner = [(size / 2 * (math.cos(t) * bite + 0.25), size / 2 * math.sin(t)) for t in (math.radians(a) for a in range(285, 74, -15))]
    return outer + inner


def arrow(chance, size):
    head, shaft = size * chance.uniform(0.3, 0.5), size * chance.uniform(0.15, 0.3)
    wide = size * chance.uniform(0.4, 0.7)
    return [(0, -shaft / 2), (size - head, -shaft / 2), (size - head, -wide / 2), (size, 0), (size - head, wide / 2), (size - head, shaft / 2), (0, shaft / 2)]


def framed(chance):
    """A round or square frame: outer ring and hole."""
    size, share = chance.choice([280, 250, 220]), chance.uniform(0.65, 0.85)
    outer = badge(chance, size)
    return outer, [(x * share, y * share) for x, y in outer]


def designs(pieces):
    """Rings, holes and quantities: a few large ones, more small ones."""
    chance = random.Random(pieces)
    rings = []
    for _ in range(FRAMES):
        outer, hole = framed(chance)
        rings.append(([(round(x, 2), round(y, 2)) for x, y in outer], [[(round(x, 2), round(y, 2)) for x, y in hole]]))
    while len(rings) < DESIGNS:
        from shapely.geometry import Polygon

        size = chance.choice([280, 220, 160, 120, 90, 90, 70])
        ring = chance.choice([star, badge, letter, crescent, arrow])(chance, size)
        ring = [(round(x, 2), round(y, 2)) for x, y in ring]
        polygon = Polygon(ring)
        if polygon.is_valid and polygon.area > 400:
            rings.append((ring if polygon.exterior.is_ccw else ring[::-1], []))
    counts = [pieces // DESIGNS] * DESIGNS
    for _ in range(pieces - sum(counts)):
        counts[chance.randrange(DESIGNS)] += 1
    return [(ring, holes, count) for (ring, holes), count in zip(rings, counts)]


def placed(design, turn, move):
    from shapely import affinity
    from shapely.geometry import Polygon

    ring, holes, _ = design
    return affinity.translate(affinity.rotate(Polygon(ring, holes), turn, origin=(0, 0)), *move)


def measured(wanted, lie):
    """Length used, and whether all pieces lie on the web far enough apart: [(design, polygon)]."""
    from shapely.strtree import STRtree

    counted = all(sum(1 for d, _ in lie if d == at) == count for at, (_, _, count) in enumerate(wanted))
    polygons = [polygon for _, polygon in lie]
    tree = STRtree(polygons)
    apart = True
    for at, polygon in enumerate(polygons):
        for other in tree.query(polygon.buffer(SPACING_MM)):
            if other > at and polygon.distance(polygons[other]) < SPACING_MM - 1e-3:
                apart = False
    low, high = min(p.bounds[1] for p in polygons), max(p.bounds[3] for p in polygons)
    length = max(p.bounds[2] for p in polygons) - min(p.bounds[0] for p in polygons)
    return length, counted and apart and high - low <= WIDTH_MM + 1e-3


def by_bondline(program, wanted, seconds, seed):
    form = {
        "spacing_mm": SPACING_MM,
        "designs": [
            {"id": str(at), "quantity": count, "rotations": "quarter", "outline": ring, "holes": holes}
            for at, (ring, holes, count) in enumerate(wanted)
        ],
        "stock": [{"id": "web", "kind": "roll", "width_mm": WIDTH_MM, "step_mm": 1.0, "minimum_mm": 1.0, "maximum_mm": 1e6, "price_per_step": 1}],
    }
    with tempfile.NamedTemporaryFile("w", suffix=".json") as file:
        json.dump(form, file)
        file.flush()
        command = [program, "nest", "run", file.name, "--seconds", str(seconds), "--seed", str(seed), "--threads", "2"]
        layout = json.loads(subprocess.run(command, check=True, capture_output=True).stdout)
    pieces = [p for sheet in layout["sheets"] for p in sheet["pieces"]]
    return [(int(p["design"]), placed(wanted[int(p["design"])], p["rotation_deg"], (p["x_mm"], p["y_mm"]))) for p in pieces]


def by_spyrrow(wanted, seconds, seed):
    import spyrrow

    items = [spyrrow.Item(str(at), ring, count, [0, 90, 180, 270]) for at, (ring, _, count) in enumerate(wanted)]
    strip = spyrrow.StripPackingInstance("logos", WIDTH_MM, items)
    config = spyrrow.StripPackingConfig(
        early_termination=False, total_computation_time=seconds, num_workers=2, seed=seed, min_items_separation=SPACING_MM
    )
    return [(int(p.id), placed(wanted[int(p.id)], p.rotation, p.translation)) for p in strip.solve(config).placed_items]


def main():
    environment.inside(__file__, ".venv", ["spyrrow", "shapely"])
    program = sys.argv[1]
    seconds = int(sys.argv[2]) if len(sys.argv) > 2 else 60
    sets = [int(pieces) for pieces in sys.argv[3:]] or [200, 1000]
    print(f"| pieces | Bondline {seconds} s, mm | spyrrow {seconds} s, mm | shorter by | both layouts good |\n|---|---|---|---|---|", flush=True)
    for pieces in sets:
        wanted = designs(pieces)
        ours = [measured(wanted, by_bondline(program, wanted, seconds, seed)) for seed in SEEDS]
        theirs = [measured(wanted, by_spyrrow(wanted, seconds, seed)) for seed in SEEDS]
        a, b = (statistics.median(length for length, _ in runs) for runs in (ours, theirs))
        good = "yes" if all(g for _, g in ours) and all(g for _, g in theirs) else f"no ({[g for _, g in ours]}, {[g for _, g in theirs]})"
        print(f"| {pieces} | {a:.1f} | {b:.1f} | {100 * (1 - a / b):.1f} % | {good} |", flush=True)


if __name__ == "__main__":
    main()
