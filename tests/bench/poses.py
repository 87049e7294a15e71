"""The same poses in SciPy, MuJoCo, a compiled CasADi Newton and ours, in one run.

    tests/.venv/bin/python tests/bench/poses.py

Builds our timing program (cargo, release), checks that all four give the same poses, and
prints medians per pose with their ratio to ours. Every pose starts from its neighbour in the
sweep. One thread; nothing else should run on the machine. Not part of `tests/run`.
"""

import json
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "tests" / "python"))

from outside import machines, tree as trees, vehicle  # noqa: E402
from outside.compiled import Compiled  # noqa: E402
from outside.distances import PITCH_SCALE, Distances  # noqa: E402
from outside.pose import describe, differences  # noqa: E402

SWEEPS = [
    [
        {"lean_deg": lean, "steer_deg": 1.5 * step - 18, "mean_travel_mm": 0.0}
        for step in range(25)
    ]
    for lean in np.arange(-10.5, 11, 3)
]
COUNT = sum(map(len, SWEEPS))


def angles(target):
    return np.radians(target["lean_deg"]), np.radians(target["steer_deg"])


def ours(repeats):
    """Seconds per pose of both forms of ours, and the poses."""
    build = ["cargo", "build", "--release", "--locked", "-p", "leanwright-tests", "--bins"]
    subprocess.run(build, cwd=ROOT, check=True)
    listed = subprocess.run(
        ["cargo", "metadata", "--format-version", "1", "--no-deps"],
        cwd=ROOT,
        check=True,
        capture_output=True,
        text=True,
    )
    program = Path(json.loads(listed.stdout)["target_directory"]) / "release" / "time_poses"
    asked = {"vehicle": machines.BASE, "sweeps": SWEEPS, "repeats": repeats}
    run = subprocess.run(
        [program], input=json.dumps(asked), capture_output=True, text=True, check=True
    )
    return json.loads(run.stdout)


def timed(repeats, solve):
    """Seconds per pose of `solve(sweep)` over all sweeps, for each repeat, and the poses."""
    seconds = []
    for _ in range(repeats):
        start = time.perf_counter()
        states = [solve(sweep) for sweep in SWEEPS]
        seconds.append((time.perf_counter() - start) / COUNT)
    return seconds, states


def scipy_sweep(solver, sweep):
    x, out = solver.start, []
    for target in sweep:
        x = solver._close(x, (*angles(target), target["mean_travel_mm"]))
        out.append(x)
    return out


def mujoco_sweep(tree, sweep):
    q, out = tree.start, []
    for target in sweep:
        q = tree._close(q, *angles(target), target["mean_travel_mm"])
        out.append(q)
    return out


def mujoco_alone(tree):
    """Seconds per pose inside MuJoCo's own kinematics calls, without the Newton around them."""
    spent, plain = [0.0], trees.update

    def clocked(model, data):
        start = time.perf_counter()
        plain(model, data)
        spent[0] += time.perf_counter() - start

    trees.update = clocked
    timed(1, lambda sweep: mujoco_sweep(tree, sweep))
    trees.update = plain
    return [spent[0] / COUNT]


def check(name, states, poses, read):
    """All poses agree with ours to 1e-6 mm and 1e-7 degrees, or the bench stops."""
    for sweep, row, mine in zip(SWEEPS, states, poses):
        for target, state, pose in zip(sweep, row, mine):
            mm, deg = differences(pose, read(state, target))
            assert mm < 1e-6 and deg < 1e-7, (name, target, mm, deg)


def main():
    machine = vehicle.read(machines.BASE)
    mine = ours(repeats=301)
    points, tree = Distances(machine), trees.Tree(machine)

    def from_points(x, target):
        lean = angles(target)[0]
        return describe(machine, lean, x[19] / PITCH_SCALE, x[18], points.sides(x))

    rows = [("ours, 8 side by side", mine["eight"]), ("ours, one at a time", mine["one"])]
    with tempfile.TemporaryDirectory() as where:
        compiled = Compiled(machine, where)
        runs = [compiled.sweep(SWEEPS) for _ in range(101)]
    states = runs[0][1].reshape(len(SWEEPS), -1, 20)
    check("CasADi", states, mine["poses"], from_points)
    rows.append(("CasADi, compiled (cc -O3)", [s / COUNT for s, _ in runs]))
    seconds, states = timed(5, lambda sweep: mujoco_sweep(tree, sweep))
    check("MuJoCo", states, mine["poses"], lambda q, _: tree.describe(q))
    rows.append(("MuJoCo, Newton in Python", seconds))
    rows.append(("MuJoCo, its kinematics alone", mujoco_alone(tree)))
    seconds, states = timed(3, lambda sweep: scipy_sweep(points, sweep))
    check("SciPy", states, mine["poses"], from_points)
    rows.append(("SciPy, hybrid root finder", seconds))

    base = statistics.median(mine["one"])
    print(f"{COUNT} poses, each from its neighbour; all agree to 1e-6 mm and 1e-7 degrees")
    print(f"{'':30}{'µs per pose':>14}{'poses per s':>14}{'times ours':>12}{'repeats':>9}")
    for name, seconds in rows:
        middle = statistics.median(seconds)
        print(
            f"{name:30}{middle * 1e6:14.3f}{1 / middle:14,.0f}{middle / base:12.1f}{len(seconds):9}"
        )


if __name__ == "__main__":
    main()
