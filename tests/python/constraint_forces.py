"""Forces in the members against the constraint forces of a multibody library.

    constraint_forces.py FIXTURE

Takes the machines, poses and forces that `loads.py` recorded and builds each front end once more
of rigid bodies in absolute coordinates for Exudyn: knuckles and wishbones, hinges and ball joints
as kinematic constraints, rods and rocker links as distances. Its static solver finds the Lagrange
multipliers, from which the forces at the ball joints, in the rods and in the links come. Without a
rocker the lower wishbones are held fast. Points of the pose come from the recorded solution.
"""

import json
import sys

import exudyn as exu
import exudyn.itemInterface as items
import numpy as np

from loads import Held

RELATIVE = 1e-6
MM = 1e-3  # m


class FrontEnd:
    """One case as a system of constrained rigid bodies; lengths in metres inside."""

    def __init__(self, case):
        self.held = held = Held(case)
        self.container = exu.SystemContainer()
        self.mbs = self.container.AddSystem()
        self.ground = self.mbs.AddObject(items.ObjectGround())
        self.knuckles, self.origins, self.balls, self.links = [], [], [], []
        for i, corner in enumerate(held.car.corners):
            low, high, _ = held.x[9 * i : 9 * i + 9].reshape(3, 3)
            knuckle, lower, upper = self.body(low), self.body(low), self.body(high)
            self.knuckles.append(knuckle)
            self.origins.append(low)
            self.hinge(lower, low, corner.lower, held.rocker_end is None)
            self.hinge(upper, high, corner.upper, False)
            self.balls.append([self.ball(lower, knuckle, low, low), self.ball(upper, knuckle, high, low)])
            if held.rocker_end is not None:
                end = (held.rocker_end, 2 * held.car.rocker.pivot - held.rocker_end)[i]
                foot = held.feet(held.x)[i]
                self.links.append(self.rod((self.ground, 0.0, end), (lower, low, foot)))
        sides = held.solver.sides(held.x)
        ends, _ = held.solver.rod_ends(sides, held.steer, held.link_end)
        self.rods = [self.rod(a, b) for a, b in self.rod_bodies(ends)]
        for i, points in enumerate(held.loaded_points()):
            for point, force in zip(points, case["forces"][i]):
                marker = self.marker(self.knuckles[i], self.origins[i], point)
                self.mbs.AddLoad(items.LoadForceVector(markerNumber=marker, loadVector=force))

    def rod_bodies(self, ends):
        """Each rod's two ends as (body, its origin, point)."""
        knuckle = lambda i, point: (self.knuckles[i], self.origins[i], point)
        fixed = lambda point: (self.ground, 0.0, point)
        steering = self.held.car.steering
        if steering.layout == "cross_rod":
            (left, right), (inner, outer) = ends
            drag = fixed(inner), knuckle(steering.driven, outer)
            return [(knuckle(0, left), knuckle(1, right)), drag]
        return [(fixed(inner), knuckle(i, outer)) for i, (inner, outer) in enumerate(ends)]

    def body(self, at):
        node = self.mbs.AddNode(
            items.NodeRigidBodyEP(referenceCoordinates=[*(MM * at), 1.0, 0.0, 0.0, 0.0])
        )
        # At rest masses do nothing; the solver wants some.
        return self.mbs.AddObject(
            items.ObjectRigidBody(mass=1.0, inertia=[0.01, 0.01, 0.01, 0, 0, 0], nodeNumber=node)
        )

    def marker(self, body, origin, point):
        local = list(MM * (np.asarray(point) - origin))
        return self.mbs.AddMarker(items.MarkerBodyRigid(bodyNumber=body, localPosition=local))

    def hinge(self, body, origin, arm, fast):
        along = (arm[0] - arm[1]) / np.linalg.norm(arm[0] - arm[1])
        aside = np.linalg.svd(along[None, :])[2][1]
        turn = np.column_stack([aside, np.cross(along, aside), along])
        middle = (arm[0] + arm[1]) / 2
        ends = (self.ground, 0.0), (body, origin)
        markers = [
            self.mbs.AddMarker(
                items.MarkerBodyRigid(
                    bodyNumber=one, localHT=exu.HT(rotation=turn, translation=MM * (middle - start))
                )
            )
            for one, start in ends
        ]
        axes = [1, 1, 1, 1, 1, int(fast)]
        self.mbs.AddObject(items.ObjectJointGeneric(markerNumbers=markers, constrainedAxes=axes))

    def ball(self, arm, knuckle, point, origin):
        markers = [self.marker(arm, point, point), self.marker(knuckle, origin, point)]
        return self.mbs.AddObject(items.ObjectJointSpherical(markerNumbers=markers))

    def rod(self, one, other):
        length = float(MM * np.linalg.norm(np.asarray(one[2]) - other[2]))
        markers = [self.marker(*one), self.marker(*other)]
        return self.mbs.AddObject(
            items.ObjectConnectorDistance(markerNumbers=markers, distance=length)
        )

    def solve(self):
        """Forces of the wishbones on the knuckles, pulls of rods and links, N."""
        self.mbs.Assemble()
        settings = exu.SimulationSettings()
        settings.solution.file.write = False
        settings.staticSolver.verboseMode = 0
        settings.staticSolver.newton.relativeTolerance = 1e-11
        settings.staticSolver.newton.absoluteTolerance = 1e-9
        self.mbs.SolveStatic(settings)
        force = lambda item: np.array(
            self.mbs.GetObjectOutput(item, exu.OutputVariableType.Force)
        )
        held = self.held
        # A distance's multiplier is its push.
        pull = lambda rod: -float(np.ravel(force(rod))[0])
        rods = [pull(rod) for rod in self.rods]
        return {
            "balls": [[force(ball) for ball in side] for side in self.balls],
            "rods": held.rods(np.array(rods)),
            "links": [pull(link) for link in self.links] or None,
        }


def main(path):
    with open(path, encoding="utf-8") as file:
        cases = [json.loads(line) for line in file]
    worst = 0.0
    for case in cases:
        found = FrontEnd(case).solve()
        size = np.max(np.abs(np.ravel(case["found"]["balls"])))
        for name, values in found.items():
            if values is None:
                continue
            gap = np.max(np.abs(np.ravel(values) - np.ravel(case["found"][name])))
            worst = max(worst, gap / size)
    print(f"{len(cases)} machines, largest difference {worst:.1e} of the largest force at a ball joint")
    return worst < RELATIVE


if __name__ == "__main__":
    sys.exit(0 if main(sys.argv[1]) else 1)
