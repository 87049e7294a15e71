"""Runs, kept: one JSON line per (solver, problem, evaluations, seed) that is never run twice."""

import json
import subprocess
import time

from problems import Pipe, feasible_front
from solvers import peers

OURS = "ours"


class Kept:
    """The rows of earlier runs in one file, added to line by line."""

    def __init__(self, path):
        self.path = path
        path.parent.mkdir(parents=True, exist_ok=True)
        lines = path.read_text().splitlines() if path.exists() else []
        self.rows = {self.key(row): row for row in map(json.loads, lines)}

    @staticmethod
    def key(row):
        return row["solver"], row["problem"], row["evaluations"], row["seed"]

    def add(self, row):
        self.rows[self.key(row)] = row
        with self.path.open("a") as file:
            file.write(json.dumps(row) + "\n")

    def forget(self, solver):
        """Drops the rows of one solver."""
        self.rows = {key: row for key, row in self.rows.items() if key[0] != solver}
        lines = (json.dumps(row) + "\n" for row in self.rows.values())
        self.path.write_text("".join(lines))


def ours(program, problem, evaluations, seed):
    words = [program, "search", problem["name"], str(evaluations), str(seed)]
    printed = subprocess.run(words, check=True, capture_output=True, text=True).stdout
    found = json.loads(printed)
    found["counted"] = found.pop("evaluations")
    return found


def peer(program, problem, solve, evaluations, seed):
    pipe = Pipe(program, problem)
    start = time.process_time()
    try:
        vectors = solve(pipe, problem, evaluations, seed)
    except ArithmeticError as fault:  # some peers divide by zero now and then
        pipe.close()
        return {"front": None, "fault": repr(fault)}
    own = time.process_time() - start - pipe.spent
    counted, inside = pipe.evaluations, pipe.inside
    front = feasible_front(*pipe(vectors))
    pipe.close()
    return {
        "front": front.tolist(),
        "counted": counted,
        "own_cpu_s": own,
        "evaluating_cpu_s": inside,
    }


def with_ends(program, problem, kept):
    """The problem with fixed ideal and nadir. Those of a demo job are the extent of what three runs
    of ours with seeds of their own find; every solver is measured on the same."""
    if problem["ideal"] is not None or problem["goals"] == 1:
        return problem
    fronts = []
    for seed in (1001, 1002, 1003):
        key = ("ends", problem["name"], 20_000, seed)
        if key not in kept.rows:
            row = dict(zip(("solver", "problem", "evaluations", "seed"), key))
            kept.add(row | ours(program, problem, 20_000, seed))
        fronts += kept.rows[key]["front"]
    columns = list(zip(*fronts))
    return problem | {"ideal": [min(c) for c in columns], "nadir": [max(c) for c in columns]}


def sweep(program, problem, evaluations, seed, kept, wanted):
    """Runs what is missing of one problem, budget and seed."""
    solvers = {OURS: None} | peers(problem)
    for name, solve in solvers.items():
        key = (name, problem["name"], evaluations, seed)
        if key in kept.rows or not any(word in name for word in wanted):
            continue
        if solve is None:
            found = ours(program, problem, evaluations, seed)
        else:
            found = peer(program, problem, solve, evaluations, seed)
        row = dict(zip(("solver", "problem", "evaluations", "seed"), key))
        kept.add(row | found)
        print(f"{name}, {problem['name']}, {evaluations}, seed {seed}", flush=True)
