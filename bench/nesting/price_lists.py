"""Buys sheets off a price list with Bondline and with packingsolver, a published solver for
packing and cutting (PyPI, MIT), side by side, where the cheapest set is known.

Usage: price_lists.py PROGRAM [SECONDS] [SEED ...]

PROGRAM is `bondline`; Python from 3.12 on. A private environment with packingsolver and
shapely is made beside this script on the first run. Run it on an idle machine: both sides
search by the clock, on two threads.

An instance is made backwards: sheets of a price list are cut up into pieces, corners taken
off; so many mm wide strips are lost where they are cut (GAPS="0 6"): at 0 the cheapest set is a
puzzle whose pieces' rectangles fill it whole, at 6 it has the room that spacing leaves. Where no cheaper set of sheets has the pieces' area, that set is the cheapest there is;
sets of which that cannot be said are thrown away. Both layouts are checked with shapely.
"""
import json
import os
import random
import subprocess
import sys
import tempfile

import environment
from peer import QUARTERS, sheets_of

# Width across, length along, mm; price, minor units. Invented, dearer by area the smaller.
PRICE_LIST = [(200, 300, 700), (300, 450, 1450), (420, 600, 2500)]
MOST_SHEETS = 4
GAPS = [int(gap) for gap in os.environ.get("GAPS", "0 6").split()]


def area(ring):
    return abs(sum(a[0] * b[1] - a[1] * b[0] for a, b in zip(ring, ring[1:] + ring[:1]))) / 2


def cells(chance, length, width, least):
    """A rectangle cut up by straight cuts."""
    if length < 2 * least and width < 2 * least or length * width < 3 * least * least:
        return [(length, width)]
    along = length >= width
    side = length if along else width
    if side < 2 * least:
        return [(length, width)]
    cut = round(chance.uniform(least, side - least))
    parts = [(cut, width), (length - cut, width)] if along else [(length, cut), (length, width - cut)]
    return [cell for part in parts for cell in cells(chance, *part, least)]


def piece(chance, length, width, gap):
    """A cell without what is lost around it, some of its corners taken off."""
    length, width = length - gap, width - gap
    ring = []
    for x, y, dx, dy in [(0, 0, 1, 1), (length, 0, -1, 1), (length, width, -1, -1), (0, width, 1, -1)]:
        off = chance.choice([0, 0.2, 0.3, 0.45]) * min(length, width)
        if off == 0:
            ring.append((float(x), float(y)))
        else:
            corner = [(x + dx * off, float(y)), (float(x), y + dy * off)]
            ring += corner if dx * dy < 0 else corner[::-1]
    return ring


def cheapest_with(needed):
    """The least that sheets of so much area cost."""
    best = float("inf")
    most = [int(needed // (w * l)) + 1 for w, l, _ in PRICE_LIST]
    for a in range(most[0] + 1):
        for b in range(most[1] + 1):
            for c in range(most[2] + 1):
                counts = (a, b, c)
                if sum(k * w * l for k, (w, l, _) in zip(counts, PRICE_LIST)) >= needed:
                    best = min(best, sum(k * p for k, (_, _, p) in zip(counts, PRICE_LIST)))
    return best


def instance(seed, gap):
    """Pieces, and what the cheapest set of sheets for them costs."""
    chance = random.Random(seed)
    while True:
        sheets = [chance.choice(PRICE_LIST) for _ in range(chance.randint(2, MOST_SHEETS))]
        pieces = [
            piece(chance, *cell, gap) for width, length, _ in sheets for cell in cells(chance, length, width, 60)
        ]
        cost = sum(price for _, _, price in sheets)
        if cheapest_with(sum(area(p) for p in pieces)) == cost:
            return pieces, cost


def turned(ring, turn, move):
    from shapely import affinity
    from shapely.geometry import Polygon

    return affinity.translate(affinity.rotate(Polygon(ring), turn, origin=(0, 0)), *move)


def good(pieces, sheets):
    """Whether all pieces lie on the sheets and none on another: (stock, [(piece, polygon)])."""
    from shapely.geometry import box

    counted = sorted(at for _, lie in sheets for at, _ in lie) == list(range(len(pieces)))
    apart = all(
        a.intersection(b).area <= 1e-3 for _, lie in sheets for at, (_, a) in enumerate(lie) for _, b in lie[at + 1 :]
    )
    inside = all(
        polygon.difference(box(0, 0, PRICE_LIST[stock][1], PRICE_LIST[stock][0])).area <= 1e-3
        for stock, lie in sheets
        for _, polygon in lie
    )
    return counted and apart and inside


def by_bondline(program, pieces, seconds):
    form = {
        "spacing_mm": 0.0,
        "designs": [
            {"id": str(at), "quantity": 1, "rotations": "quarter", "outline": ring} for at, ring in enumerate(pieces)
        ],
        "stock": [
            {"id": str(at), "kind": "sheet", "width_mm": float(w), "length_mm": float(l), "price": p}
            for at, (w, l, p) in enumerate(PRICE_LIST)
        ],
    }
    with tempfile.NamedTemporaryFile("w", suffix=".json") as file:
        json.dump(form, file)
        file.flush()
        command = [program, "nest", "run", file.name, "--seconds", str(seconds), "--threads", "2"]
        layout = json.loads(subprocess.run(command, check=True, capture_output=True).stdout)
    sheets = [
        (
            int(sheet["stock"]),
            [
                (int(p["design"]), turned(pieces[int(p["design"])], p["rotation_deg"], (p["x_mm"], p["y_mm"])))
                for p in sheet["pieces"]
                if not p.get("spare")
            ],
        )
        for sheet in layout["sheets"]
    ]
    return layout["cost"], good(pieces, sheets)


def by_packingsolver(pieces, seconds):
    import packingsolver.irregular as peer

    builder = peer.InstanceBuilder()
    builder.set_objective(peer.Objective.VariableSizedBinPacking)
    for width, length, price in PRICE_LIST:
        builder.add_bin_type(peer.build_rectangle(0, length, 0, width), cost=price, copies=len(pieces))
    for ring in pieces:
        builder.add_item_type(peer.build_shape(ring), copies=1, allowed_rotations=QUARTERS)
    cost, sheets = sheets_of(builder, seconds, lambda piece, turn, move: turned(pieces[piece], turn, move))
    return cost, good(pieces, sheets)


def main():
    environment.inside(__file__, ".venv-prices", ["packingsolver", "shapely"])
    program = sys.argv[1]
    seconds = int(sys.argv[2]) if len(sys.argv) > 2 else 60
    seeds = [int(seed) for seed in sys.argv[3:]] or [1, 2, 3, 4]
    print("| lost, mm | instance | pieces | cheapest | Bondline | packingsolver | both layouts good |\n|---|---|---|---|---|---|---|", flush=True)
    for gap, seed in [(gap, seed) for gap in GAPS for seed in seeds]:
        pieces, cheapest = instance(seed, gap)
        ours, ours_good = by_bondline(program, pieces, seconds)
        theirs, theirs_good = by_packingsolver(pieces, seconds)
        verdict = "yes" if ours_good and theirs_good else f"no ({ours_good}, {theirs_good})"
        print(f"| {gap} | {seed} | {len(pieces)} | {cheapest} | {ours} | {theirs} | {verdict} |", flush=True)


if __name__ == "__main__":
    main()
