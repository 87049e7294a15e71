"""Joint angles, the shared spin of rod ends and brake arms against MuJoCo and SciPy.

    joints.py PROGRAM VEHICLE...

PROGRAM is `leanwright`; of each vehicle file its assessment is taken apart. Poses and the
attitudes of all bodies come from the tree on MuJoCo's kinematics, from which follow
- ball joints: the angle between stud, carried by the knuckle, and socket, carried by the wishbone;
- rod ends: the smallest possible worst misalignment of both ends over every spin of the rod, by
  SciPy's bounded minimiser, the eyes clocked as given or as stands best in the drawn pose;
- brake arms: virtual work of a unit brake force on the contact, or of a brake on the frame on
  the wheel centre, when MuJoCo's Jacobian turns the knuckle about its kingpin.
"""

import json
import subprocess
import sys

import numpy as np
from scipy.optimize import minimize_scalar

import mujoco
from outside import vehicle
from outside.tree import Tree, update

DEG, MM, NEAR_ZERO = 1e-6, 1e-6, 5e-6
SIDES = ("left", "right")


class Fittings:
    """Studs, sockets and bolts in the axes of the bodies that carry them, which as drawn are the
    frame's; defaults are those of the drawing."""

    def __init__(self, machine, given):
        self.given, self.carried = given, {}
        for side, corner in enumerate(machine.corners):
            kingpin = corner.upper[2] - corner.lower[2]
            for wishbone in ("lower", "upper"):
                stud = self._of(f"{wishbone}_stud", side, kingpin)
                self._carry(f"{wishbone}_stud", side, f"knuckle{side}", stud)
                socket = self._of(f"{wishbone}_socket", side, stud)
                self._carry(f"{wishbone}_socket", side, f"{wishbone}{side}", socket)
            inner = self._of("inner_bolt", side, machine.steering.axis)
            self._carry("inner_bolt", side, "crank", inner)
            outer = self._of("outer_bolt", side, kingpin)
            self._carry("outer_bolt", side, f"knuckle{side}", outer)

    def _of(self, name, side, otherwise):
        if name not in self.given:
            return otherwise
        return np.array(self.given[name], float) * (1, 1 - 2 * side, 1)

    def _carry(self, name, side, body, direction):
        self.carried[name, side] = (body, direction / np.linalg.norm(direction))


class Pose:
    """The tree at one lean and crank angle, with its bodies' attitudes."""

    def __init__(self, tree, lean_deg, steer_deg=0.0):
        self.tree = tree
        travel = None if tree.vehicle.rocker else 0.0
        tree.path({"lean_deg": lean_deg, "steer_deg": steer_deg, "mean_travel_mm": travel})
        update(tree.model, tree.data)
        turns = tree.data.xmat.reshape(-1, 3, 3).copy()
        self.turns = {tree.model.body(i).name: turn for i, turn in enumerate(turns)}
        self.sites = {name: tree.data.site_xpos[i].copy() for name, i in tree.site.items()}

    def turn(self, body):
        """Attitude of a body."""
        return self.turns[body]

    def site(self, name):
        return self.sites[name]

    def kingpin(self, side):
        """Direction of the kingpin, upwards."""
        along = self.site(f"high{side}") - self.site(f"low{side}")
        return along / np.linalg.norm(along)

    def direction(self, fittings, name, side):
        """Direction of a stud, socket or bolt."""
        body, carried = fittings.carried[name, side]
        return self.turn(body) @ carried

    def ball_joint(self, fittings, side, wishbone):
        """Angle between stud and socket, degrees."""
        stud, socket = (
            self.direction(fittings, f"{wishbone}_{part}", side) for part in ("stud", "socket")
        )
        return np.degrees(np.arctan2(np.linalg.norm(np.cross(stud, socket)), stud @ socket))

    def rod(self, fittings, side):
        """Directions of the rod and of the bolts at its inner and outer end."""
        along = self.site(f"outer{side}") - self.site(f"inner{side}")
        bolts = [self.direction(fittings, f"{end}_bolt", side) for end in ("inner", "outer")]
        return along / np.linalg.norm(along), bolts

    def brake_arm(self, side, at_contact):
        """Torque about the kingpin per newton of brake force, mm, outward positive."""
        model, data, v = self.tree.model, self.tree.data, self.tree.vehicle
        corner, centre = v.corners[side], self.site(f"centre{side}")
        axis = self.turn(f"knuckle{side}") @ corner.axis
        heading = np.cross(axis, [0.0, 0.0, 1.0])
        heading /= np.linalg.norm(heading)
        up = np.array([0.0, 0.0, 1.0])
        spoke = (axis[2] * axis - up) / np.sqrt(1 - axis[2] ** 2)
        contact = centre + (corner.radius - corner.section) * spoke - corner.section * up
        shift = np.zeros((3, model.nv))
        body = model.body(f"knuckle{side}").id
        mujoco.mj_jac(model, data, shift, None, contact if at_contact else centre, body)
        dof = model.joint(f"knuckle{side}").dofadr[0]
        # The freedoms of a ball joint are turns about the axes of its own body.
        turn = shift[:, dof : dof + 3] @ (self.turn(f"knuckle{side}").T @ self.kingpin(side))
        return (1, -1)[side] * float(-heading @ turn)


def spun(rod, bolts, clock):
    """Smallest worst misalignment of both ends over all spins, degrees."""
    x = np.cross(bolts[0], rod)
    x /= np.linalg.norm(x)
    y = np.cross(rod, x)

    def worst(spin):
        eyes = (np.cos(a) * x + np.sin(a) * y for a in (spin, spin + clock))
        return max(np.arccos(min(1.0, abs(b @ e))) for b, e in zip(bolts, eyes))

    # One minimum lies in each of these brackets at most; half a turn holds all.
    spins = np.linspace(0, np.pi, 181)
    best = spins[np.argmin([worst(s) for s in spins])]
    found = minimize_scalar(
        worst, bounds=(best - 0.02, best + 0.02), method="bounded", options={"xatol": 1e-12}
    )
    return np.degrees(found.fun)


def clocks(tree, fittings):
    """Angle about each rod from the eye at its inner to that at its outer end."""
    if "rod_clock_deg" in fittings.given:
        clock = np.radians(fittings.given["rod_clock_deg"])
        return [clock, -clock]
    settled, found = Pose(tree, 0.0), []
    for side in (0, 1):
        rod, bolts = settled.rod(fittings, side)
        a, b = (np.cross(bolt, rod) for bolt in bolts)
        found.append(np.arctan2(rod @ np.cross(a, b), a @ b))
    return found


def compare(name, found, expected, allowed):
    """One comparison as the line of its failure, if it is one."""
    apart = abs(found - expected)
    return [] if apart <= allowed else [f"{name}: {found} against {expected}, {apart:.1e} apart"]


def over_lean(tree, fittings, curves):
    """Ball joints and rod ends at every lean of the curves."""
    balls, rods = (curves[f"{name}_over_lean"] for name in ("ball_joints", "rod_ends"))
    out, count, clock = [], 0, clocks(tree, fittings)
    for k, lean in enumerate(balls["x"]["values"]):
        pose = Pose(tree, lean)
        line = {n["name"]: n["values"][k] for n in balls["lines"] + rods["lines"]}
        for side, word in enumerate(SIDES):
            where = f"lean {lean}, {word}"
            for wishbone in ("lower", "upper"):
                ours = line[f"{wishbone}_{word}_deg"]
                theirs = pose.ball_joint(fittings, side, wishbone)
                # An angle from its cosine is good to the root of the rounding near zero.
                allowed = DEG if theirs > 1.0 else NEAR_ZERO
                out += compare(f"{where}, {wishbone}", ours, theirs, allowed)
            worse = max(line[f"inner_{word}_deg"], line[f"outer_{word}_deg"])
            theirs = spun(*pose.rod(fittings, side), clock[side])
            out += compare(f"{where}, rod", worse, theirs, DEG if theirs > 1.0 else NEAR_ZERO)
            count += 3
    return out, count


def brakes(tree, quantities, at_contact):
    """The largest brake arm where it is said to be, and no larger one straight ahead."""
    said = quantities["brake_steer_arm_mm"]
    worst = said["worst"]
    pose = Pose(tree, worst["lean_deg"], worst["steer_deg"])
    side = SIDES.index(worst["side"])
    out = compare("brake arm", said["value"], pose.brake_arm(side, at_contact), MM)
    upright = Pose(tree, 0.0)
    largest = max(abs(upright.brake_arm(i, at_contact)) for i in (0, 1))
    if largest > abs(said["value"]) + MM:
        out.append(f"brake arm: {largest} upright is above {said['value']}")
    return out, 2


def check(program, paths):
    """Compares the assessments of all vehicles; returns failures."""
    failures, count = [], 0
    for path in paths:
        run = subprocess.run([program, "assess", path, "--json"], capture_output=True, check=True)
        said = json.loads(run.stdout)
        with open(path, encoding="utf-8") as file:
            data = json.load(file)
        tree = Tree(vehicle.read({"lean_coupling": {"kind": "mean_travel"}, **data}))
        given = data.get("fittings", {})
        fittings = Fittings(tree.vehicle, given)
        curves = {curve["name"]: curve for curve in said["curves"]}
        quantities = {q["quantity"]: q for q in said["quantities"]}
        at_contact = given.get("brake", "knuckle") == "knuckle"
        for found, made in (
            over_lean(tree, fittings, curves),
            brakes(tree, quantities, at_contact),
        ):
            failures += [f"{path}: {text}" for text in found]
            count += made
    for text in failures:
        print(text)
    print(f"{count - len(failures)} passed, {len(failures)} failed")
    return len(failures)


if __name__ == "__main__":
    if len(sys.argv) < 3:
        sys.exit(__doc__)
    sys.exit(1 if check(sys.argv[1], sys.argv[2:]) else 0)
