"""Optimal schedules of small invented shops by a general-purpose constraint solver.

Solver: OR-Tools CP-SAT (Apache-2.0, from PyPI; version in tests/python/requirements.txt).
The model is written from the description of a closing alone: load, dwell, unload without
a wait between; one person; presses with sequence-dependent set-ups; due dates. Fewest late
jobs first, then the time from the person's first task to the last.

    python crates/schedule/tests/outside/small_shops.py > crates/schedule/tests/outside/small_shops.json
"""

import json
import random
import sys

from ortools.sat.python import cp_model

HORIZON = 20_000
SHOPS = 30


def shop(seed):
    dice = random.Random(seed)
    presses = [
        {
            "platen": dice.randint(0, 1),
            "temp_c": 150,
            "heat_ms_per_k": 1000,
            "cool_ms_per_k": 3000,
            "settle_s": 10,
            "platen_swap_s": dice.randint(10, 60),
        }
        for _ in range(1 + seed % 2)
    ]
    batches = [
        {
            "job": dice.randint(0, 2),
            "platen": dice.randint(0, 1),
            "temp_c": dice.choice([130, 150]),
            "pieces": dice.randint(1, 3),
            "load_s": dice.randint(3, 12),
            "press_s": dice.randint(5, 30),
            "unload_s": dice.randint(2, 6),
            "test_piece_s": dice.choice([0, 20]),
            "after": [[dice.randint(0, b - 1), dice.randint(0, 40)]] if b and dice.random() < 0.25 else [],
        }
        for b in range(dice.randint(4, 5))
    ]
    return {"seed": seed, "presses": presses, "batches": batches, "due_s": [dice.randint(80, 420) for _ in range(3)]}


def change_s(press, old, new):
    if old == new:
        return 0
    per_k = press["heat_ms_per_k"] if new > old else press["cool_ms_per_k"]
    return -(-abs(new - old) * per_k // 1000) + press["settle_s"]


class Shop:
    def __init__(self, data):
        self.data, self.m = data, cp_model.CpModel()
        self.person, self.first, self.last = [], [], []
        self.begin, self.end, self.hands, self.test = [], [], [], []
        for b, batch in enumerate(data["batches"]):
            self.batch(b, batch)
        for press in range(len(data["presses"])):
            self.press(press)
        for literals in self.on:
            self.m.add_exactly_one(literals)
        self.m.add_no_overlap(self.person)
        self.dates()

    def time(self, name):
        return self.m.new_int_var(0, HORIZON, name)

    def batch(self, b, batch):
        m, hold = self.m, self.time(f"hands {b}")
        length = m.new_int_var(0, 1000, f"hands length {b}")
        over = self.time(f"hands over {b}")
        self.person.append(m.new_interval_var(hold, length, over, f"hands {b}"))
        self.hands.append((hold, length, over))
        test = self.time(f"test {b}")
        self.person.append(m.new_fixed_size_interval_var(test, batch["test_piece_s"], f"test {b}"))
        self.test.append(test)
        cycle = batch["load_s"] + batch["press_s"] + batch["unload_s"]
        previous = None
        for piece in range(batch["pieces"]):
            start = self.time(f"load {b} {piece}")
            m.add(start >= (test + batch["test_piece_s"] if previous is None else previous + cycle))
            opens = start + batch["load_s"] + batch["press_s"]
            self.person.append(m.new_fixed_size_interval_var(start, batch["load_s"], f"load {b} {piece}"))
            self.person.append(m.new_fixed_size_interval_var(opens, batch["unload_s"], f"unload {b} {piece}"))
            if previous is None:
                self.begin.append(start)
            previous = start
        self.end.append(previous + cycle)
        for before, lag in batch["after"]:
            entry = test if batch["test_piece_s"] else self.begin[b]
            m.add(entry >= self.end[before] + lag)
        # Present from the first of hands, test and load to the last unloading.
        first = self.time(f"present {b}")
        m.add(first <= self.begin[b])
        if batch["test_piece_s"]:
            m.add(first <= test)
        busy = m.new_bool_var(f"has hands {b}")
        m.add(length >= 1).only_enforce_if(busy)
        m.add(length == 0).only_enforce_if(~busy)
        m.add(first <= hold).only_enforce_if(busy)
        self.first.append(first)

    def press(self, p):
        press, m = self.data["presses"][p], self.m
        if p == 0:
            self.on = [[] for _ in self.data["batches"]]
        arcs = [(0, 0, m.new_bool_var(f"idle {p}"))]
        for b, new in enumerate(self.data["batches"], start=1):
            out = m.new_bool_var(f"not on {p} {b}")
            arcs.append((b, b, out))
            self.on[b - 1].append(~out)
            arcs.append((b, 0, m.new_bool_var(f"last on {p} {b}")))
            for a, old in enumerate([press] + self.data["batches"]):
                if a != b:
                    follows = m.new_bool_var(f"{p}: {a} then {b}")
                    arcs.append((a, b, follows))
                    self.follows(press, follows, None if a == 0 else a - 1, old, b - 1, new)
        m.add_circuit(arcs)

    def follows(self, press, follows, a, old, b, new):
        hold, length, over = self.hands[b]
        swap = press["platen_swap_s"] if old["platen"] != new["platen"] else 0
        heat = change_s(press, old["temp_c"], new["temp_c"])
        free = 0 if a is None else self.end[a]
        self.m.add(length == swap).only_enforce_if(follows)
        self.m.add(hold >= free).only_enforce_if(follows)
        self.m.add(self.test[b] >= over + heat).only_enforce_if(follows)

    def dates(self):
        m, late = self.m, []
        for job, due in enumerate(self.data["due_s"]):
            own = [e for e, batch in zip(self.end, self.data["batches"]) if batch["job"] == job]
            is_late = m.new_bool_var(f"late {job}")
            for end in own:
                m.add(end <= due).only_enforce_if(~is_late)
            late.append(is_late if own else 0)
        start, end = self.time("start"), self.time("end")
        m.add_min_equality(start, self.first)
        m.add_max_equality(end, self.end)
        m.minimize(100_000 * sum(late) + end - start)


def optimum(data):
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.max_time_in_seconds = 30
    status = solver.solve(Shop(data).m)
    if status != cp_model.OPTIMAL:
        return None
    value = round(solver.objective_value)
    return {"late": value // 100_000, "labour_s": value % 100_000}


def main():
    shops = []
    for seed in range(SHOPS):
        data = shop(seed)
        found = optimum(data)
        print(seed, found, file=sys.stderr)
        if found:
            shops.append({**data, "optimum": found})
    json.dump({"solver": "OR-Tools CP-SAT 9.15.6755, optimum proven", "shops": shops}, sys.stdout, indent=1)
    print()


main()
