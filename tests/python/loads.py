"""Forces in the members of random machines under random forces on both front wheels, by virtual
work on distances.

    loads.py record FIXTURE POSES...   takes recorded machines and poses, draws forces, records
    loads.py check FIXTURE             solves the recorded cases again and compares

Formulation: three points per knuckle are the unknowns; every wishbone leg, rod, link and knuckle
edge is a distance (`outside.distances`), the crank, rail or rocker stands still. With J the
derivatives of the distances (central differences) and Q the forces' work per unknown, the tensions
T solve J^T T = Q (NumPy). No free body is cut, no moment is taken. Without a rocker the lower
wishbone's swing is held across its plane.
"""

import json
import sys

import numpy as np
from scipy.optimize import root

from outside import vehicle
from outside.distances import Distances, _triad
from outside.pose import drives, ground_rotation

SEED = 20270
STEP = 1e-3  # mm


class Held:
    """One machine in one pose, its drivers standing still."""

    def __init__(self, case):
        self.car = vehicle.read(case["vehicle"])
        self.solver = Distances(self.car)
        pose, target = case["pose"], case["target"]
        self.lean, self.steer = drives(target)
        names = ("lower_ball_joint_mm", "upper_ball_joint_mm", "rod_outer_mm")
        self.x = np.concatenate([pose[s][n] for s in ("left", "right") for n in names])
        pitch = np.radians(pose["frame"]["pitch_deg"])
        self.up = ground_rotation(self.lean, pitch)[2]
        self.link_end = None
        if self.car.steering.layout == "idler_parallelogram":
            sides = self.solver.sides(self.x)
            start = self.car.steering.idler_end
            rest = lambda e: self.solver._rod_residual(self.x, sides, self.steer, e)[2:]
            self.link_end = root(rest, start, options={"xtol": 1e-14}).x
        self.rocker_end = None
        if self.car.rocker:
            rocker = self.car.rocker
            feet = self.feet(self.x)
            rest = lambda e: [
                np.linalg.norm(e - rocker.pivot) - rocker.arm,
                (e - rocker.pivot) @ rocker.axis - self.solver.along,
                np.linalg.norm(e - feet[0]) - self.solver.links[0],
            ]
            start = rocker.pivot + [0.0, rocker.arm, 0.0]
            self.rocker_end = root(rest, start, options={"xtol": 1e-14}).x
        # Across each lower wishbone as it stands.
        self.normals = []
        for i, corner in enumerate(self.car.corners):
            low = self.x[9 * i : 9 * i + 3]
            normal = np.cross(corner.lower[0] - low, corner.lower[1] - low)
            self.normals.append(normal / np.linalg.norm(normal))

    def feet(self, x):
        return [
            c.lower[0] + _triad(c.lower[0], c.lower[1], x[9 * i : 9 * i + 3]) @ local
            for i, (c, local) in enumerate(zip(self.car.corners, self.solver.feet))
        ]

    def distances(self, x):
        out = []
        for i, corner in enumerate(self.car.corners):
            low, high, end = x[9 * i : 9 * i + 9].reshape(3, 3)
            out += [np.linalg.norm(low - p) for p in corner.lower[:2]]
            out += [np.linalg.norm(high - p) for p in corner.upper[:2]]
            out += [np.linalg.norm(a - b) for a, b in ((low, high), (low, end), (high, end))]
        sides = self.solver.sides(x)
        out += self.solver._rod_residual(x, sides, self.steer, self.link_end)[:2]
        if self.rocker_end is None:
            out += [n @ x[9 * i : 9 * i + 3] for i, n in enumerate(self.normals)]
        else:
            ends = (self.rocker_end, 2 * self.car.rocker.pivot - self.rocker_end)
            out += [np.linalg.norm(e - f) for e, f in zip(ends, self.feet(x))]
        return np.array(out)

    def wheel_points(self, x, local):
        """Material points of both knuckles at places fixed in them."""
        out = []
        for i in (0, 1):
            low, high, end = x[9 * i : 9 * i + 9].reshape(3, 3)
            out += [low + _triad(low, high, end) @ p for p in local[i]]
        return np.concatenate(out)

    def loaded_points(self):
        """Contact and wheel centre of both sides, frame axes."""
        out = []
        for i, side in enumerate(self.solver.sides(self.x)):
            corner, centre, axis = self.car.corners[i], side["wheel_centre_mm"], side["axis"]
            down = -(self.up - (self.up @ axis) * axis)
            down /= np.linalg.norm(down)
            ring = corner.radius - corner.section
            out.append((centre + ring * down - corner.section * self.up, centre))
        return out

    def solve(self, forces):
        """Tensions under forces [side][contact, centre], frame axes, N."""
        local = []
        for i, points in enumerate(self.loaded_points()):
            low, high, end = self.x[9 * i : 9 * i + 9].reshape(3, 3)
            axes = _triad(low, high, end)
            local.append([axes.T @ (p - low) for p in points])
        jacobian = central(self.distances, self.x)
        work = central(lambda x: self.wheel_points(x, local), self.x).T @ np.ravel(forces)
        t = np.linalg.solve(jacobian.T, work)
        pulls = -jacobian * t[:, None]  # of each distance on each unknown
        balls = []
        for i in (0, 1):
            held = [7 * i, 7 * i + 1, 16 + i], [7 * i + 2, 7 * i + 3]
            at = 9 * i, 9 * i + 3
            balls.append([pulls[rows, k : k + 3].sum(axis=0).tolist() for rows, k in zip(held, at)])
        return {
            "balls": balls,
            "legs": [[float(v) for v in t[7 * i : 7 * i + 4]] for i in (0, 1)],
            "rods": self.rods(t[14:16]),
            "links": [float(v) for v in t[16:]] if self.car.rocker else None,
        }

    def rods(self, found):
        """Per side the rod that turns it: of a cross rod the drag link on the driven side."""
        steering = self.car.steering
        if steering.layout != "cross_rod":
            return [float(v) for v in found]
        cross, drag = (float(v) for v in found)
        return [drag, cross] if steering.driven == 0 else [cross, drag]


def central(of, x):
    columns = []
    for i in range(len(x)):
        step = np.zeros(len(x))
        step[i] = STEP
        columns.append((of(x + step) - of(x - step)) / (2 * STEP))
    return np.column_stack(columns)


def usable(case):
    """The pose stands on the machine's own coupling, away from dead centres."""
    rocker = case["vehicle"]["lean_coupling"]["kind"] == "rocker"
    free = rocker and case["target"]["mean_travel_mm"] is not None
    return not free and case["smallest"] > 0.02


def record(path, sources):
    rng = np.random.default_rng(SEED)
    with open(path, "w", encoding="utf-8") as file:
        for source in sources:
            with open(source, encoding="utf-8") as lines:
                cases = [json.loads(line) for line in lines]
            for case in list(filter(usable, cases))[::2]:
                forces = rng.uniform(-1500, 1500, (2, 2, 3)).round(1)
                found = Held(case).solve(forces)
                file.write(
                    json.dumps(
                        {**case, "forces": forces.tolist(), "found": found},
                        separators=(",", ":"),
                    )
                    + "\n"
                )


def check(path):
    with open(path, encoding="utf-8") as file:
        cases = [json.loads(line) for line in file]
    worst = 0.0
    for case in cases:
        found = Held(case).solve(np.array(case["forces"]))
        size = np.max(np.abs(np.ravel(case["found"]["balls"])))
        for name, values in case["found"].items():
            if values is None:
                continue
            gap = np.max(np.abs(np.ravel(found[name]) - np.ravel(values)))
            worst = max(worst, gap / size)
    print(f"{len(cases)} machines, largest difference {worst:.1e} of the largest force at a ball joint")
    return worst < 1e-7


if __name__ == "__main__":
    if sys.argv[1] == "record":
        record(sys.argv[2], sys.argv[3:])
    elif not check(sys.argv[2]):
        sys.exit(1)
