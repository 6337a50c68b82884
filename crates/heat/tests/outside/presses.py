"""Whole presses, their doubt, and runs under one platen, from a general-purpose ODE solver.

Method of lines in enthalpy: each layer is cut into cells, a cell's temperature
is a function of its heat content alone while it warms (water leaves between
the ends of its drying window), and SciPy's LSODA (variable order, rtol 1e-7,
banded) integrates. Nothing of the project is used; layers, joints and spans
of doubt are written out here.

    python presses.py > ../data/presses.json        (about two minutes)

Versions: tests/python/requirements.txt.
"""

import json
import math

import numpy as np
import scipy
from scipy.integrate import solve_ivp

GAS = 8.314462618
LATENT = 2.6e6
NOMINAL = {
    "platen_film": 2000.0, "adhesive_cloth": 1500.0, "cloth_pad": 800.0, "pad_base": 500.0,
    "carrier_mm": 0.1, "carrier": [0.18, 1390.0, 1250.0], "capacity": 1.0, "arrangement": 0.5, "cloth_mm": 0.38,
    "cloth_g_m2": 180.0, "regain": 0.07, "window": (90.0, 125.0), "pad": [0.10, 500.0, 1300.0], "pad_mm": 8.0,
    "pad_start": 30.0, "platen": 150.0,
}


def cotton(mm, g_m2, arrangement):
    """k, rho, c of pressed cotton: fibres and air side by side and one behind the other."""
    fibre, air = 0.243, 0.031
    share = g_m2 * 1e-3 / (1520.0 * mm * 1e-3)
    side = share * fibre + (1 - share) * air
    behind = 1.0 / (share / fibre + (1 - share) / air)
    return [arrangement * side + (1 - arrangement) * behind, g_m2 / mm, 1450.0]


def graded(count, growth):
    sizes = growth ** np.arange(count)
    return sizes / sizes.sum()


class Stack:
    """Cells of carrier, film, adhesive, cloth and pad, from the hot side down."""

    def __init__(self, p):
        scaled = lambda v: [v[0], v[1], v[2] * p["capacity"]]
        parts = [
            (p["carrier_mm"], scaled(p["carrier"]), np.full(6, 1 / 6)),
            (0.09, scaled([0.20, 1200.0, 1700.0]), np.full(5, 1 / 5)),
            (0.08, scaled([0.20, 1150.0, 1800.0]), np.full(5, 1 / 5)),
            (p["cloth_mm"], scaled(cotton(p["cloth_mm"], p["cloth_g_m2"], p["arrangement"])), np.full(20, 1 / 20)),
            (p["pad_mm"], scaled(p["pad"]), graded(32, 1.09)),
        ]
        joints = [0.0, 0.0, 1 / p["adhesive_cloth"], 1 / p["cloth_pad"], 0.0]
        half, capacity, joint = [], [], []
        for (mm, (k, rho, c), shares), below in zip(parts, joints):
            size = mm * 1e-3 * shares
            half += list(0.5 * size / k)
            capacity += list(rho * c * size)
            joint += [0.0] * (len(size) - 1) + [below]
        self.half, self.capacity = np.array(half), np.array(capacity)
        self.between = 1.0 / (self.half[:-1] + np.array(joint[:-1]) + self.half[1:])
        self.bond, self.face = 15, 16
        self.damp = slice(16, 36)
        self.pad = slice(36, 68)
        low, high = p["window"]
        water = np.zeros(68)
        water[self.damp] = p["regain"] * p["cloth_g_m2"] * 1e-3 / 20
        self.low, self.high = low, high
        self.drying = water * LATENT
        self.top = 1.0 / (1.0 / p["platen_film"] + self.half[0])
        self.base = 1.0 / (1.0 / p["pad_base"] + self.half[-1])

    def start(self, pad):
        t = np.full(68, 22.0)
        t[self.pad] = pad
        return self.capacity * t

    def temperature(self, heat):
        """Heat content to temperature: dry line, drying line, dry line."""
        dry = heat / self.capacity
        slope = self.capacity + self.drying / (self.high - self.low)
        at_low = self.capacity * self.low
        at_high = self.capacity * self.high + self.drying
        drying = self.low + (heat - at_low) / slope
        dried = self.high + (heat - at_high) / self.capacity
        return np.where(heat <= at_low, dry, np.where(heat <= at_high, drying, dried))

    def rate(self, heat, platen):
        t = self.temperature(heat)
        flow = self.between * (t[:-1] - t[1:])
        change = np.zeros_like(heat)
        change[:-1] -= flow
        change[1:] += flow
        drawn = self.top * (platen - t[0])
        change[0] += drawn
        change[-1] += self.base * (28.0 - t[-1])
        return change, drawn

    def joint(self, heat):
        """Adhesive side and cloth side of the bond line."""
        t = self.temperature(heat)
        flow = self.between[self.bond] * (t[self.bond] - t[self.face])
        return t[self.bond] - flow * self.half[self.bond], t[self.face] + flow * self.half[self.face]


def press(p, seconds):
    stack = Stack(p)
    times = np.linspace(0, seconds, int(seconds * 50) + 1)
    found = solve_ivp(
        lambda t, heat: stack.rate(heat, p["platen"])[0], (0, seconds), stack.start(p["pad_start"]), method="LSODA",
        t_eval=times, rtol=1e-7, atol=1e-3, lband=1, uband=1, max_step=0.5,
    )
    assert found.success, found.message
    joints = np.array([stack.joint(column) for column in found.y.T])
    return times, joints[:, 0], joints[:, 1]


def dose(times, face, gate=90.0, energy=80e3):
    """Equivalent seconds at 130 °C, from the gate on."""
    rate = np.where(face >= gate, np.exp(energy / GAS * (1 / 403.15 - 1 / (face + 273.15))), 0.0)
    return np.concatenate([[0.0], np.cumsum(0.5 * (rate[1:] + rate[:-1]) * np.diff(times))])


def dwell_for(p, wanted):
    times, _, face = press(p, 30.0)
    return float(np.interp(wanted, dose(times, face), times))


def draw(random):
    even, log = random.uniform, lambda a, b: math.exp(random.uniform(math.log(a), math.log(b)))
    pad_k = log(0.06, 0.24)
    return dict(
        NOMINAL,
        platen_film=log(1000, 4000), adhesive_cloth=log(400, 3000), cloth_pad=log(400, 1500), pad_base=500.0,
        carrier_mm=even(0.075, 0.125), carrier=[even(0.15, 0.22), 1390.0, 1250.0], capacity=even(0.9, 1.1),
        arrangement=even(0.3, 0.7), cloth_mm=0.38 * even(0.8, 1.25), regain=0.07 * even(0.7, 1.3),
        window=[(70.0, 100.0), (90.0, 125.0), (100.0, 140.0)][random.integers(3)],
        # Density follows conductivity from sponge to solid rubber.
        pad=[pad_k, 500.0 * (1 + (pad_k / 0.10 - 1) * 0.93), 1300.0], pad_mm=even(6.0, 10.0),
        pad_start=even(25.0, 65.0),
    )


def spread(count):
    random = np.random.default_rng(20)
    ends, narrow = [], []
    for _ in range(count):
        drawn = draw(random)
        ends.append(press(drawn, 15.0)[1][-1])
        # The same without the poor end of the adhesive's touch.
        narrow.append(press(dict(drawn, adhesive_cloth=1500.0), 15.0)[1][-1])
    pick = lambda values: [round(float(v), 2) for v in np.quantile(values, [0.05, 0.5, 0.95])]
    return {"samples": count, "bond_end_c": pick(ends), "bond_end_c_if_contact_is_known": pick(narrow)}


def run(heater_w, dwell, pause, presses):
    """A 406 x 508 x 15 mm aluminium plate: closing temperatures, press by press."""
    area = 0.406 * 0.508
    capacity = area * 0.015 * 2702.0 * 903.0
    casing, face_loss = 1.3, 13.6 * area
    stack = Stack(NOMINAL)
    platen, pad = 150.0, np.full(32, 30.0)
    closing, drawn_j = [], []
    # Full power under the setting, none above, joined over a quarter of a kelvin.
    power = lambda t: heater_w * min(max((150.0 - t) / 0.25 + 0.5, 0.0), 1.0)
    pad_c, pad_half = stack.capacity[stack.pad], stack.half[stack.pad]
    pad_between = stack.between[stack.pad.start :]

    def closed(_, y):
        change, drawn = stack.rate(y[1:], y[0])
        own = (power(y[0]) - casing * (y[0] - 22.0) - area * drawn) / capacity
        return np.concatenate([[own], change])

    def opened(_, y):
        t = y[1:]
        flow = pad_between * (t[:-1] - t[1:])
        change = np.zeros_like(t)
        change[:-1] -= flow
        change[1:] += flow
        change[-1] += stack.base * (28.0 - t[-1])
        over = max(t[0] - 22.0, 0.1)
        film = 0.5 * (t[0] + 22.0) + 273.15
        viscosity, conductivity = 1.589e-5 * (film / 300) ** 1.75, 0.0263 * (film / 300) ** 0.85
        rayleigh = 9.81 / film * over * 0.06**3 / viscosity**2 * 0.707
        still = 0.54 * rayleigh**0.25 * conductivity / 0.06
        radiant = 0.9 * 5.670374419e-8 * ((t[0] + 273.15) ** 2 + 295.15**2) * (t[0] + 273.15 + 295.15)
        change[0] += (22.0 - t[0]) / (1 / (still + radiant) + pad_half[0])
        own = (power(y[0]) - (casing + face_loss) * (y[0] - 22.0)) / capacity
        return np.concatenate([[own], change / pad_c])

    options = dict(method="LSODA", rtol=1e-6, atol=1e-3, lband=1, uband=1)
    for _ in range(presses):
        closing.append(platen)
        heat = stack.start(30.0)
        heat[stack.pad] = pad_c * pad
        before = heat.sum()
        y = solve_ivp(closed, (0, dwell), np.concatenate([[platen], heat]), max_step=0.5, **options).y[:, -1]
        drawn_j.append(area * (y[1:].sum() - before))
        platen, pad = y[0], stack.temperature(y[1:])[stack.pad]
        y = solve_ivp(opened, (0, pause), np.concatenate([[platen], pad]), **options).y[:, -1]
        platen, pad = y[0], y[1:]
    return {
        "heater_w": heater_w, "dwell_s": dwell, "open_s": pause, "at_press": [1, 10, 20, 60, 120],
        "closing_c": [round(closing[i - 1], 2) for i in (1, 10, 20, 60, 120)],
        "pad_c": round(float(pad[0]), 1), "stored_j": round(float(drawn_j[-1])),
    }


def main():
    times, bond, face = press(NOMINAL, 15.0)
    wanted = dose(times, face)[-1]
    paper = lambda mm, k, rho: dwell_for(dict(NOMINAL, carrier_mm=mm, carrier=[k, rho, 1340.0]), wanted)
    print(json.dumps({
        "source": f"SciPy {scipy.__version__} solve_ivp, LSODA; method of lines in enthalpy",
        "tee": {"bond_end_c": round(float(bond[-1]), 2), "face_end_c": round(float(face[-1]), 2), "dose_s": round(float(wanted), 2)},
        "paper_120_um": {
            "dwell_s": round(paper(0.12, 0.14, 900.0), 2),
            "dwell_s_within_its_values": [round(paper(0.12, 0.18, 800.0), 2), round(paper(0.12, 0.10, 1000.0), 2)],
        },
        "doubt": spread(400),
        "runs": [run(1400.0, 15.0, 15.0, 120), run(1000.0, 15.0, 15.0, 120), run(1600.0, 10.0, 8.0, 120)],
    }, indent=1))


if __name__ == "__main__":
    main()
