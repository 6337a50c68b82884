"""Packs the same strips with Bondline and with spyrrow, a published general-purpose
strip packer (PyPI, MIT), side by side, and checks both layouts with shapely.

Usage: compare.py STRIP_PROGRAM DATA_FOLDER [SECONDS] [INSTANCE ...]

STRIP_PROGRAM is `cargo build --release -p nest --example strip`; DATA_FOLDER holds
`strip/*.json`. A private environment with spyrrow and shapely is made beside this
script on the first run. Three seeds each, two workers, medians are printed as a
Markdown table. Run it on an idle machine: both sides search by the clock.
"""
import json
import os
import pathlib
import statistics
import subprocess
import sys
import time

import environment

HERE = pathlib.Path(__file__).parent
SEEDS = [int(s) for s in os.environ.get("SEEDS", "1 2 3").split()]


def placed(shape, turn, move):
    from shapely import affinity
    from shapely.geometry import Polygon

    return affinity.translate(affinity.rotate(Polygon(shape), turn, origin=(0, 0)), *move)


def measured(data, pieces):
    """Density in percent, the deepest overlap's area share, pieces counted."""
    from shapely.strtree import STRtree

    area = sum(i["demand"] * abs(placed(i["shape"]["data"], 0, (0, 0)).area) for i in data["items"])
    length = max(p.bounds[2] for p in pieces) - min(p.bounds[0] for p in pieces)
    tree = STRtree(pieces)
    worst = 0.0
    for at, piece in enumerate(pieces):
        for other in tree.query(piece):
            if other > at:
                worst = max(worst, piece.intersection(pieces[other]).area / piece.length)
    counted = len(pieces) == sum(i["demand"] for i in data["items"])
    extent = max(length, data["strip_height"])
    tall = max(p.bounds[3] for p in pieces) - min(p.bounds[1] for p in pieces)
    good = counted and worst <= 1e-5 * extent and tall <= data["strip_height"] * (1 + 1e-6)
    return 100 * area / (length * data["strip_height"]), good


def by_bondline(program, path, data, seconds, seed):
    out = HERE / ".layout.json"
    subprocess.run([program, str(path), str(seconds), str(seed), "2", str(out)], check=True, stdout=subprocess.DEVNULL)
    layout = json.loads(out.read_text())
    out.unlink()
    shapes = {str(i["id"]): i["shape"]["data"] for i in data["items"]}
    pieces = [p for sheet in layout["sheets"] for p in sheet["pieces"]]
    return [placed(shapes[p["design"]], p["rotation_deg"], (p["x_mm"], p["y_mm"])) for p in pieces]


def by_spyrrow(data, seconds, seed):
    import spyrrow

    items = [
        spyrrow.Item(str(i["id"]), [tuple(p) for p in i["shape"]["data"]], i["demand"], i.get("allowed_orientations"))
        for i in data["items"]
    ]
    strip = spyrrow.StripPackingInstance(data["name"], data["strip_height"], items)
    config = spyrrow.StripPackingConfig(
        early_termination=False, total_computation_time=seconds, num_workers=2, seed=seed
    )
    shapes = {str(i["id"]): i["shape"]["data"] for i in data["items"]}
    return [placed(shapes[p.id], p.rotation, p.translation) for p in strip.solve(config).placed_items]


def main():
    environment.inside(__file__, ".venv", ["spyrrow", "shapely"])
    program, folder = sys.argv[1], pathlib.Path(sys.argv[2])
    seconds = int(sys.argv[3]) if len(sys.argv) > 3 else 60
    names = sys.argv[4:] or sorted(p.stem for p in (folder / "strip").glob("*.json"))
    print(f"| strip | Bondline {seconds} s | spyrrow {seconds} s | both layouts good |\n|---|---|---|---|", flush=True)
    for name in names:
        path = folder / "strip" / f"{name}.json"
        data = json.loads(path.read_text())
        ours, theirs = [], []
        for seed in SEEDS:
            ours.append(measured(data, by_bondline(program, path, data, seconds, seed)))
            theirs.append(measured(data, by_spyrrow(data, seconds, seed)))
        middle = lambda runs: statistics.median(density for density, _ in runs)
        good = "yes" if all(g for _, g in ours + theirs) else "no"
        print(f"| {name} | {middle(ours):.2f} | {middle(theirs):.2f} | {good} |", flush=True)


if __name__ == "__main__":
    main()
