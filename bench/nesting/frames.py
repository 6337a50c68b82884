"""Packs logo-like designs among them rings and frames, whose holes smaller pieces fit into, on a roll
with Bondline, with spyrrow (PyPI, MIT; knows no holes and lays frames out full) and with packingsolver
(PyPI, MIT; knows holes), side by side, and checks all layouts with shapely.

Usage: frames.py PROGRAM [SECONDS]

PROGRAM is `bondline`; Python from 3.12 on. The designs are those of logos.py, FRAMES="5" of the
twenty frames; 200 pieces. Run it on an idle machine: every side searches by the clock, on two
threads; SEEDS="1 2 3" sets the seeds (packingsolver has none and runs once), medians are printed.
"""
import os
import statistics
import sys

import environment
from peer import QUARTERS, sheets_of

os.environ.setdefault("FRAMES", "5")
import logos

PIECES = 200


def by_packingsolver(wanted, seconds):
    import packingsolver.irregular as peer

    builder = peer.InstanceBuilder()
    builder.set_objective(peer.Objective.OpenDimensionX)
    builder.set_item_item_minimum_spacing(logos.SPACING_MM)
    area = sum(logos.placed(design, 0, (0, 0)).area * design[2] for design in wanted)
    builder.add_bin_type(peer.build_rectangle(0, 10 * area / logos.WIDTH_MM, 0, logos.WIDTH_MM), copies=1)
    for ring, holes, count in wanted:
        shape = peer.ShapeWithHoles(peer.build_shape(ring), [peer.build_shape(hole) for hole in holes])
        builder.add_item_type(shape, copies=count, allowed_rotations=QUARTERS)
    _, sheets = sheets_of(builder, seconds, lambda design, turn, move: logos.placed(wanted[design], turn, move))
    return [piece for _, lie in sheets for piece in lie]


def main():
    environment.inside(__file__, ".venv-frames", ["packingsolver", "spyrrow", "shapely"])
    program = sys.argv[1]
    seconds = int(sys.argv[2]) if len(sys.argv) > 2 else 60
    wanted = logos.designs(PIECES)
    sides = {
        "Bondline": [logos.by_bondline(program, wanted, seconds, seed) for seed in logos.SEEDS],
        "spyrrow": [logos.by_spyrrow(wanted, seconds, seed) for seed in logos.SEEDS],
        "packingsolver": [by_packingsolver(wanted, seconds)],
    }
    print(f"| {PIECES} pieces, {logos.FRAMES} of {logos.DESIGNS} designs frames | length, mm | good |\n|---|---|---|")
    for name, layouts in sides.items():
        runs = [logos.measured(wanted, lie) for lie in layouts]
        length = statistics.median(length for length, _ in runs)
        print(f"| {name} {seconds} s | {length:.1f} | {'yes' if all(good for _, good in runs) else 'no'} |", flush=True)


if __name__ == "__main__":
    main()
