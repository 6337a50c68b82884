"""Orders the starts of 5,000 cuts with Bondline and with general-purpose tour libraries.

Usage: cut_order.py CUT_ORDER_PROGRAM [COUNT] — needs numpy, and elkai and fast-tsp from the
registry. The program is `cargo build --release -p sheets --example cut_order`. The libraries get
the very points Bondline starts its cuts at, with the sheet's corner, and look for a short round
trip; Bondline's way is closed by the way back to the corner.
"""
import math
import subprocess
import sys
import time

import numpy


def closed(points, order):
    tour = [points[at] for at in order]
    return sum(math.dist(a, b) for a, b in zip(tour, tour[1:] + tour[:1]))


def by_fast_tsp(points, seconds):
    import fast_tsp

    places = numpy.array(points)
    apart = numpy.sqrt(((places[:, None] - places[None]) ** 2).sum(axis=2))
    return fast_tsp.find_tour(numpy.rint(apart * 50).astype(numpy.uint16), duration_seconds=seconds)


def by_elkai(points):
    import elkai

    tour = elkai.Coordinates2D({at: point for at, point in enumerate(points)}).solve_tsp(runs=1)
    return tour[:-1]


def main():
    program, count = sys.argv[1], sys.argv[2] if len(sys.argv) > 2 else "5000"
    said = subprocess.run([program, count], capture_output=True, text=True, check=True).stdout.splitlines()
    took, _ = map(float, said[0].split())
    points = [(0.0, 0.0)] + [tuple(map(float, line.split())) for line in said[1:]]
    ours = closed(points, range(len(points)))
    nested = subprocess.run([program, count, "nested"], capture_output=True, text=True, check=True).stdout.split()[0]
    rows = [("Bondline", took, ours)]
    for name, run in [("fast-tsp, 10 s", lambda: by_fast_tsp(points, 10)), ("elkai (LKH), one run", lambda: by_elkai(points))]:
        started = time.perf_counter()
        try:
            order = run()
        except ImportError as missing:
            print(f"{name}: {missing}", file=sys.stderr)
            continue
        if sorted(order) != list(range(len(points))):
            sys.exit(f"{name} leaves places out")
        rows.append((name, time.perf_counter() - started, closed(points, order)))
    shortest = min(row[2] for row in rows)
    print(f"| {int(count):,} contours, 1,000 × 500 mm | s | travel m | over the shortest |\n|---|---|---|---|")
    for name, seconds, length in rows:
        print(f"| {name} | {seconds:.2f} | {length / 1000:.2f} | {100 * (length / shortest - 1):.1f} % |")
    print(f"Half of them inside others: {nested} s")


main()
