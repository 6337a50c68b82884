"""Reference answers for heat cases from a general-purpose ODE solver.

Method of lines: each layer is cut into equal cells, and SciPy's Radau method
(implicit Runge-Kutta of order 5, adaptive, rtol 1e-9) integrates the cell
temperatures. Nothing of the project is used; the cases are written out here.
Each case is solved on two grids and extrapolated (second order in the cell),
and the difference is kept as the doubt of the reference.

    python lines.py > ../data/lines.json

Versions: tests/python/requirements.txt.
"""

import json

import numpy as np
import scipy
from scipy.integrate import solve_ivp
from scipy.sparse import diags

SIGMA = 5.670374419e-8

PET = [0.18, 1390.0, 1250.0]
FILM = [0.20, 1200.0, 1700.0]
COTTON = [0.07, 474.0, 1450.0]
FLEECE = [0.052, 300.0, 1400.0]
SPONGE = [0.10, 500.0, 1300.0]
WOOD = [0.15, 700.0, 1700.0]


def layer(mm, values, start, cells):
    return {"mm": mm, "values": values, "start": start, "cells": cells}


def cut(layers, contacts, finer):
    """Sizes, conductances between middles, capacities, starts, first cell of each layer."""
    half, capacity, start, first, joint = [], [], [], [], []
    for index, part in enumerate(layers):
        k, rho, c = part["values"]
        count = part["cells"] * finer
        size = part["mm"] * 1e-3 / count
        first.append(len(half))
        half += [0.5 * size / k] * count
        capacity += [rho * c * size] * count
        start += [part["start"]] * count
        joint += [0.0] * count
        if index < len(contacts) and contacts[index] is not None:
            joint[-1] = 1.0 / contacts[index]
    half, joint = np.array(half), np.array(joint)
    between = 1.0 / (half[:-1] + half[1:] + joint[:-1])
    return half, between, np.array(capacity), np.array(start, float), first


def course(value, t):
    if np.isscalar(value):
        return value
    times, values = zip(*value)
    return np.interp(t, times, values)


def inflow(bound, t, cell, half):
    """Flux into the end cell, W/m2; the face temperature of radiation is solved for."""
    kind = bound["kind"]
    if kind == "insulated":
        return 0.0
    if kind == "flux":
        return course(bound["w_m2"], t)
    if kind == "held":
        return (course(bound["c"], t) - cell) / half
    if kind == "contact":
        return (course(bound["to_c"], t) - cell) / (1.0 / bound["w_m2k"] + half)
    if kind == "radiation":
        to = course(bound["to_c"], t) + 273.15
        face = cell
        for _ in range(50):
            gap = bound["emissivity"] * SIGMA * (to**4 - (face + 273.15) ** 4) - (face - cell) / half
            slope = -4 * bound["emissivity"] * SIGMA * (face + 273.15) ** 3 - 1 / half
            step = gap / slope
            face -= step
            if abs(step) < 1e-12:
                break
        return (face - cell) / half
    raise ValueError(kind)


def solve(case, finer):
    half, between, capacity, start, first = cut(case["layers"], case["contacts"], finer)
    times = case["times_s"]

    def rate(t, temperature):
        flow = between * (temperature[:-1] - temperature[1:])
        change = np.zeros_like(temperature)
        change[:-1] -= flow
        change[1:] += flow
        change[0] += inflow(case["top"], t, temperature[0], half[0])
        change[-1] += inflow(case["bottom"], t, temperature[-1], half[-1])
        return change / capacity

    count = len(start)
    pattern = diags([1.0, 1.0, 1.0], [-1, 0, 1], shape=(count, count))
    knots = [0.0] + case.get("knots_s", []) + [times[-1]]
    columns, state = {}, start
    for begin, end in zip(knots, knots[1:]):
        wanted = sorted({t for t in times if begin < t <= end} | {end})
        found = solve_ivp(
            rate, (begin, end), state, method="Radau", t_eval=wanted, rtol=1e-9, atol=1e-9, jac_sparsity=pattern
        )
        assert found.success, found.message
        columns.update({t: found.y[:, i] for i, t in enumerate(wanted)})
        state = found.y[:, -1]
    joints = []
    for place in range(1, len(first)):
        cell = first[place]
        row = []
        for t in times:
            y = columns[t]
            row.append(y[cell] + between[cell - 1] * (y[cell - 1] - y[cell]) * half[cell])
        joints.append(row)
    return np.array(joints)


def cases():
    contact = lambda h, c: {"kind": "contact", "w_m2k": h, "to_c": c}
    insulated = {"kind": "insulated"}
    dry = lambda cloth, mm: [
        layer(0.1, PET, 22, 10),
        layer(0.17, FILM, 22, 14),
        layer(mm, cloth, 22, 30),
        layer(8.0, SPONGE, 30, 120),
    ]
    joints = [None, 1500.0, 800.0]
    base = contact(500.0, 28.0)
    yield "dry tee, 150 °C", dry(COTTON, 0.38), joints, contact(2000.0, 150.0), base, [1, 5, 15], []
    yield "dry fleece, 150 °C", dry(FLEECE, 1.0), joints, contact(2000.0, 150.0), base, [1, 5, 15], []
    ramp = [[0, 150], [4, 145], [15, 149]]
    yield "sagging platen", dry(COTTON, 0.38), joints, contact(2000.0, ramp), base, [4, 10, 15], [4.0]
    through = [layer(0.38, COTTON, 22, 30), layer(0.17, FILM, 22, 14), layer(0.1, PET, 22, 10), layer(8.0, SPONGE, 30, 120)]
    yield "through the cloth", through, [1500.0, None, 800.0], contact(1500.0, 150.0), base, [5, 15, 30], []
    table = [layer(0.27, FILM, 140, 20), layer(0.38, COTTON, 130, 30), layer(18.0, WOOD, 22, 200)]
    cooling = {"kind": "radiation", "emissivity": 0.9, "to_c": 22}
    yield "radiating on a table", table, [1500.0, 60.0], cooling, contact(8.0, 22.0), [5, 20, 60], []
    lamp = {"kind": "radiation", "emissivity": 0.9, "to_c": 500}
    yield "under a lamp", [layer(0.38, COTTON, 22, 30), layer(8.0, SPONGE, 22, 120)], [800.0], lamp, base, [2, 10], []
    pulse = {"kind": "flux", "w_m2": [[0, 0], [2, 20000], [6, 0], [20, 0]]}
    yield "a pulse of flux", dry(COTTON, 0.38), joints, pulse, base, [2, 6, 20], [2.0, 6.0]
    warm_pad = dry(COTTON, 0.38)
    warm_pad[3]["start"] = 65
    yield "hot pad, insulated base", warm_pad, joints, contact(2000.0, 135.0), insulated, [2, 10, 40], []


def main():
    rows = []
    for name, layers, contacts, top, bottom, times, knots in cases():
        case = {"layers": layers, "contacts": contacts, "top": top, "bottom": bottom, "times_s": times, "knots_s": knots}
        coarse, fine = solve(case, 1), solve(case, 2)
        best = fine + (fine - coarse) / 3
        rows.append(
            {
                "name": name,
                "layers": [{"thickness_mm": p["mm"], "values": p["values"], "start_c": p["start"]} for p in layers],
                "contacts_w_m2k": contacts,
                "top": top,
                "bottom": bottom,
                "times_s": times,
                "lower_face_of_each_joint_c": [[round(v, 4) for v in row] for row in best.tolist()],
                "doubt_k": round(float(np.abs(best - fine).max()), 5),
            }
        )
    source = f"SciPy {scipy.__version__} solve_ivp, Radau, rtol 1e-9; method of lines, two grids extrapolated"
    print(json.dumps({"source": source, "cases": rows}, indent=1, ensure_ascii=False))


if __name__ == "__main__":
    main()
