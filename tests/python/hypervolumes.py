"""The search's exact hypervolume beside moocore's, to 1e-10: random and degenerate fronts of two to
six goals, drawn anew in every run unless a seed is named.

    hypervolumes.py PROGRAM [SEED]      PROGRAM is the test binary `hypervolumes`, built
"""

import json
import subprocess
import sys

import moocore
import numpy as np

ROUNDS = 12
TOLERANCE = 1e-10


def cloud(draw, count, goals):
    return draw.random((count, goals))


def bulge(draw, count, goals):
    points = cloud(draw, count, goals) + 1e-3
    return 1 - points / np.linalg.norm(points, axis=1, keepdims=True)


def hollow(draw, count, goals):
    points = cloud(draw, count, goals) + 1e-3
    return points / np.linalg.norm(points, axis=1, keepdims=True)


def flat(draw, count, goals):
    points = cloud(draw, count, goals) + 1e-3
    return points / points.sum(axis=1, keepdims=True)


def duplicates(draw, count, goals):
    points = hollow(draw, count, goals)
    return np.vstack([points, points[: count // 2]])


def equal_coordinates(draw, count, goals):
    return np.round(4 * cloud(draw, count, goals)) / 4


def one_point(draw, _, goals):
    return cloud(draw, 1, goals)


def on_and_beyond_the_reference(draw, count, goals):
    points = hollow(draw, count, goals)
    points[0] = 1.0
    points[-1, 0] = 1.0
    return np.vstack([points, np.full(goals, 1.2)])


def one_curve(draw, count, goals):
    turn = np.sort(draw.random(count)) * np.pi / 2
    return np.column_stack([np.cos(turn)] + [np.sin(turn)] * (goals - 1))


def one_goal_constant(draw, count, goals):
    points = hollow(draw, count, goals)
    points[:, -1] = 0.5
    return points


def scales_apart(draw, count, goals):
    return hollow(draw, count, goals) * 10.0 ** np.linspace(-6, 6, goals)


KINDS = [
    cloud, bulge, hollow, flat, duplicates, equal_coordinates, one_point,
    on_and_beyond_the_reference, one_curve, one_goal_constant, scales_apart,
]  # fmt: skip


def fronts(draw):
    """Points and reference of each front, with a name to complain by."""
    for goals in range(2, 7):
        most = {2: 200, 3: 100, 4: 60, 5: 40, 6: 30}[goals]
        for kind in KINDS:
            for _ in range(ROUNDS):
                points = kind(draw, int(draw.integers(2, most)), goals)
                beyond = float(draw.choice([1.0, 1.1, 2.0]))
                scale = 10.0 ** np.linspace(-6, 6, goals) if kind is scales_apart else 1.0
                reference = np.full(goals, beyond) * scale
                yield f"{kind.__name__}, {goals} goals, {len(points)} points", points, reference


def main():
    program = sys.argv[1]
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else int(np.random.SeedSequence().entropy % 2**32)
    print(f"seed {seed}")
    cases = list(fronts(np.random.default_rng(seed)))
    asked = "".join(
        json.dumps({"points": points.tolist(), "reference": reference.tolist()}) + "\n"
        for _, points, reference in cases
    )
    run = subprocess.run([program], input=asked, check=True, capture_output=True, text=True)
    found = [float(line) for line in run.stdout.split()]
    assert len(found) == len(cases), f"{len(found)} answers to {len(cases)} fronts"
    failed = 0
    for (name, points, reference), ours in zip(cases, found):
        theirs = float(moocore.hypervolume(points, ref=reference))
        if not abs(ours - theirs) <= TOLERANCE * max(abs(theirs), 1e-10):
            failed += 1
            print(f"{name}: {ours!r}, moocore {theirs!r}")
    print(f"{len(cases) - failed} passed, {failed} failed")
    sys.exit(1 if failed else 0)


if __name__ == "__main__":
    main()
