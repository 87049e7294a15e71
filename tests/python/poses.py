"""Whole poses against two outside references.

    poses.py record crank FIXTURE      draws machines with a centre crank and their poses, and
                                       records SciPy's answers
    poses.py record layouts FIXTURE    the same with the other steering layouts
    poses.py record handlebars FIXTURE the same with a handlebar's drag link to the crank
    poses.py record ends FIXTURE       poses of all these next to a dead centre, and beyond
    poses.py check OURS FIXTURE...     solves the recorded cases with both references and
                                       compares both with the program OURS, live

OURS reads one JSON case per line on standard input (`vehicle`, `target`) and prints one
pose per line, in the form of `leanwright pose --json`.
"""

import json
import subprocess
import sys

import numpy as np

from outside import machines, vehicle
from outside.distances import Distances
from outside.pose import differences
from outside.tree import Tree

# Per set: number of cases, seed, kinds.
SETS = {
    "crank": (264, 20260, machines.KINDS),
    "layouts": (96, 20261, machines.LAYOUT_KINDS),
    "handlebars": (48, 20262, machines.HANDLEBAR_KINDS),
    "ends": (220, 20263, machines.END_KINDS),
}
MM, DEG = 1e-6, 1e-7

# Where the equations' smallest singular value falls below this (mm per mm), a pose stands
# next to a dead centre and rounding grows with its inverse; the tolerance grows with it.
WELL_CONDITIONED = 0.02
# Where loops truly stop closing it is less than this share of what it is straight ahead.
AT_DEAD_CENTRE = 0.1


def tolerance(smallest):
    """(mm, degrees) allowed at a pose whose equations have this smallest singular value."""
    grown = max(1.0, WELL_CONDITIONED / smallest)
    return MM * grown, DEG * grown


def both(case):
    """Answers of both references to one case, and the smallest singular value."""
    machine = vehicle.read(case["vehicle"])
    pose, smallest = Distances(machine).path(case["target"])
    return pose, Tree(machine).path(case["target"]), smallest


def _draw(rng, kind):
    """One feasible case of a kind; draws again until both references reach it."""
    for _ in range(200):
        symmetric = bool(rng.integers(2))
        if kind.split()[0] in machines.LAYOUTS:
            car = machines.other_layout(rng, kind, symmetric)
            target = machines.layout_target(rng, kind)
        else:
            car = machines.vehicle(rng, "rocker" in kind, symmetric)
            target = machines.target(rng, kind)
        drive = "steer_mm" if "steer_mm" in target else "steer_deg"
        if kind in machines.END_KINDS and not _to_the_end(rng, car, target, drive, kind):
            continue
        if "beyond" in kind:
            case = {"kind": kind, "vehicle": car, "target": target}
            if _nowhere(case):
                return {**case, "smallest": 1.0, "pose": None}
            continue
        if "near dead centre" in kind and kind not in machines.END_KINDS:
            target[drive] = _limit(car, target, drive, 1 if rng.integers(2) else -1)
            if abs(target[drive]) > 175:
                continue
            target[drive] *= 1 - 10 ** rng.uniform(-5, -2)
        case = {"kind": kind, "vehicle": car, "target": target}
        try:
            pose, other, smallest = both(case)
        except (ValueError, np.linalg.LinAlgError):
            continue
        mm, deg = differences(pose, other)
        allowed = tolerance(smallest)
        assert mm < allowed[0] and deg < allowed[1], (kind, mm, deg, smallest)
        if kind in machines.END_KINDS and Distances(vehicle.read(car)).passed(target):
            case["passed"] = True
        if smallest > WELL_CONDITIONED or "near dead centre" in kind:
            return {**case, "smallest": smallest, "pose": pose}
    raise SystemExit(f"no feasible machine of the kind '{kind}' was drawn")


def _nowhere(case):
    """Neither reference comes to this pose."""
    machine = vehicle.read(case["vehicle"])
    for reference in (Distances(machine), Tree(machine)):
        try:
            reference.path(case["target"])
            return False
        except (ValueError, np.linalg.LinAlgError):
            pass
    return True


def _to_the_end(rng, car, target, drive, kind):
    """Puts the drive next to where the linkage stops closing, or beyond; false where it closes
    all round, or stopped elsewhere than at a dead centre."""
    sign = 1 if rng.integers(2) else -1
    try:
        found, smallest = Tree(vehicle.read(car)).end(target, drive, 175.0 * sign)
    except (ValueError, np.linalg.LinAlgError):
        return False
    share = 1 + rng.uniform(0.005, 0.1) if "beyond" in kind else 1 - 10 ** rng.uniform(-5, -2)
    target[drive] = found * share
    return abs(found) < 175 and smallest < AT_DEAD_CENTRE


def _limit(car, target, drive, sign):
    """Steer angle (degrees, or mm of a slider) at which the distances stop closing, by halving."""
    solver = Distances(vehicle.read(car))
    low, high = 0.0, 180.0 * sign
    while abs(high - low) > 1e-4:
        middle = (low + high) / 2
        try:
            solver.path({**target, drive: middle})
            low = middle
        except ValueError:
            high = middle
    return low


def record(name, path):
    """Draws the cases of a set and writes them, one JSON object per line."""
    count, seed, kinds = SETS[name]
    one = np.random.default_rng(seed)
    with open(path, "w", encoding="utf-8") as file:
        for i in range(count):
            kind = kinds[i % len(kinds)]
            # Cases at the ends take long, so each can be drawn alone.
            rng = np.random.default_rng([seed, i]) if name == "ends" else one
            file.write(json.dumps(_draw(rng, kind), separators=(",", ":")) + "\n")
            print(f"\r{i + 1} of {count}", end="", file=sys.stderr, flush=True)
    print(file=sys.stderr)


def check(program, paths):
    """Compares our program and both references on the recorded cases; returns failures."""
    cases = []
    for path in paths:
        with open(path, encoding="utf-8") as file:
            cases += [json.loads(line) for line in file]
    asked = "".join(
        json.dumps({"vehicle": c["vehicle"], "target": c["target"]}) + "\n" for c in cases
    )
    run = subprocess.run([program], input=asked, capture_output=True, text=True, check=True)
    ours = [json.loads(line) for line in run.stdout.splitlines()]
    if len(ours) != len(cases):
        raise SystemExit(f"{len(cases)} poses asked for, {len(ours)} answered")
    failures, worst = 0, np.zeros((2, 2))
    for i, (case, mine) in enumerate(zip(cases, ours)):
        if case["pose"] is None:
            if not _nowhere(case) or "failure" not in mine:
                failures += 1
                print(f"case {i} ({case['kind']}): someone reaches what nobody should")
            continue
        points, tree, smallest = both(case)
        if case.get("passed"):
            # Both come there past a dead centre, where ours says so.
            if "dead centre" not in mine.get("failure", ""):
                failures += 1
                print(f"case {i} ({case['kind']}): past a dead centre that is not named")
            continue
        allowed = tolerance(smallest)
        for j, (name, theirs) in enumerate((("SciPy", points), ("MuJoCo", tree))):
            found = differences(mine, theirs) if "frame" in mine else (np.inf, np.inf)
            if smallest > WELL_CONDITIONED:
                worst[j] = np.maximum(worst[j], found)
            if not (found[0] < allowed[0] and found[1] < allowed[1]):
                failures += 1
                print(f"case {i} ({case['kind']}) against {name}: {found}, allowed {allowed}")
    for name, (mm, deg) in zip(("SciPy", "MuJoCo"), worst):
        print(f"{name}: largest difference {mm:.1e} mm, {deg:.1e} degrees away from dead centre")
    print(f"{2 * len(cases) - failures} passed, {failures} failed")
    return failures


if __name__ == "__main__":
    match sys.argv[1:]:
        case ["record", name, path] if name in SETS:
            record(name, path)
        case ["check", program, *paths] if paths:
            sys.exit(1 if check(program, paths) else 0)
        case _:
            sys.exit(__doc__)
