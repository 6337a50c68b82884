"""Orders the starts of 5,000 cuts with Bondline and with a general-purpose tour library.

Usage: cut_order.py CUT_ORDER_PROGRAM [COUNT [SECONDS]] — needs numpy, and fast-tsp from the
registry. The program is `cargo build --release -p sheets --example cut_order`. The library gets
the very points Bondline starts its cuts at, with the sheet's corner, and looks for a short round
trip for as many seconds (60); Bondline's way is closed by the way back to the corner. The seconds
of Bondline are processor time. Exits with 1 when Bondline takes 2 s or more, or its way is over
the library's by more than a tenth.
"""
import math
import os
import resource
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


def ordered(program, *arguments):
    """What the program says, and its processor time."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    said = subprocess.run([program, *arguments], capture_output=True, text=True, check=True).stdout.splitlines()
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return said, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def main():
    program, count = sys.argv[1], sys.argv[2] if len(sys.argv) > 2 else "5000"
    seconds = int(sys.argv[3]) if len(sys.argv) > 3 else 60
    said, took = ordered(program, count)
    points = [(0.0, 0.0)] + [tuple(map(float, line.split())) for line in said[1:]]
    ours = closed(points, range(len(points)))
    _, nested = ordered(program, count, "nested")
    started = time.perf_counter()
    order = by_fast_tsp(points, seconds)
    looked = time.perf_counter() - started
    if sorted(order) != list(range(len(points))):
        sys.exit("the library leaves places out")
    theirs = closed(points, order)
    over = ours / theirs - 1
    print(f"Load of the machine: {os.getloadavg()[0]:.1f} on {os.cpu_count()} processors")
    print(f"| {int(count):,} contours, 1,000 × 500 mm | s | round trip m | over the library |\n|---|---|---|---|")
    print(f"| Bondline | {took:.2f} | {ours / 1000:.2f} | {100 * over:.1f} % |")
    print(f"| fast-tsp, {seconds} s allowed | {looked:.0f} | {theirs / 1000:.2f} | – |")
    print(f"Half of them inside others: {nested:.2f} s")
    sys.exit(1 if took >= 2 or over > 0.1 else 0)


main()
