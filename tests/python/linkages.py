"""Published linkages, to check the loop closers that check leanwright's poses.

Andrews' squeezer mechanism: Test Set for IVP Solvers (Mazzia & Magherini), problem
"Andrews' squeezing mechanism", and Hairer & Wanner, Solving ODEs II, section VII.7: lengths
in metres, consistent initial angles in radians for a straight crank (theta = 0).

RSSR four-bar: A cos(psi) + B sin(psi) = C with two assemblies, none where A^2 + B^2 < C^2:
McCarthy & Soh, Geometric Design of Linkages, 2nd ed., appendix A, p. 411. The figures of
the example are derived: they follow from that equation.
"""

import sys

import mujoco
import numpy as np
from scipy.optimize import root

from outside.tree import BALL, close, update

D, E, RR, SS, U, ZF, ZT = 0.028, 0.02, 0.007, 0.035, 0.04, 0.02, 0.04
A, B = np.array([-0.06934, -0.00227]), np.array([-0.03635, 0.03273])
ANDREWS = {
    "beta": -0.0617138900142764496,
    "gamma": 0.455279819163070380,
    "phi": 0.222668390165885885,
    "delta": 0.487364979543842550,
    "epsilon": 1.23054744454982120,
}


def andrews_by_distances():
    """Absolute points: crank end, common point P, and the knees of both arms from A."""

    def residual(x):
        crank, p, arm, knee = x.reshape(4, 2)
        straight = crank * (1 - D / RR)
        return np.array(
            [
                np.linalg.norm(crank) - RR,
                *(p - straight),
                np.linalg.norm(p - B) - SS,
                np.linalg.norm(arm - A) - ZT,
                np.linalg.norm(p - arm) - E,
                np.linalg.norm(knee - A) - U,
                np.linalg.norm(p - knee) - ZF,
            ]
        )

    # A rough sketch of the mechanism, some millimetres off, chooses the assembly.
    sketch = np.array([0.007, 0.0, -0.02, 0.001, -0.034, 0.016, -0.032, -0.015])
    found = root(residual, sketch, method="hybr", options={"xtol": 1e-15})
    crank, p, arm, knee = found.x.reshape(4, 2)
    lever, shin = arm - A, p - arm
    thigh = knee - A
    delta = np.arctan2(lever[1], lever[0])
    epsilon = np.arctan2(thigh[0], -thigh[1])
    return {
        "beta": np.arctan2(crank[1], crank[0]),
        "gamma": np.arctan2(p[0] - B[0], B[1] - p[1]),
        "phi": np.arctan2(shin[0], -shin[1]) - delta,
        "delta": delta,
        "epsilon": epsilon,
    }


def _link(name, at, inner):
    joint = f'<joint name="{name}" type="hinge" axis="0 0 1"/>'
    return f'<body pos="{at[0]:.17g} {at[1]:.17g} 0">{BALL}{joint}{inner}</body>'


def _tip(name, x, y):
    return f'<site name="{name}" pos="{x:.17g} {y:.17g} 0"/>'


def andrews_by_tree():
    """Three chains of hinges whose tips meet in P."""
    xml = (
        "<mujoco><compiler angle='radian'/><worldbody>"
        + _link("beta", (0, 0), _link("theta", (RR, 0), _tip("p0", -D, 0)))
        + _link("gamma", B, _tip("p1", 0, -SS))
        + _link("delta", A, _link("phi", (ZT, 0), _tip("p2", 0, -E)))
        + _link("epsilon", A, _link("omega", (0, -U), _tip("p3", ZF, 0)))
        + "</worldbody></mujoco>"
    )
    model = mujoco.MjModel.from_xml_string(xml)
    data = mujoco.MjData(model)

    def point(name):
        slope = np.zeros((3, model.nv))
        site = model.site(name).id
        mujoco.mj_jacSite(model, data, slope, None, site)
        return data.site_xpos[site][:2].copy(), slope[:2]

    def closures():
        meet, slope = point("p0")
        tips = [point(f"p{i}") for i in (1, 2, 3)]
        return (
            np.concatenate([p - meet for p, _ in tips]),
            np.concatenate([s - slope for _, s in tips]),
        )

    sketch = {"beta": 0, "gamma": 0.5, "delta": 0.5, "phi": 0.2, "epsilon": 1.2, "omega": -0.2}
    for name, angle in sketch.items():
        data.qpos[model.joint(name).qposadr[0]] = angle
    close(model, data, [model.joint("theta").dofadr[0]], closures)
    return {name: data.qpos[model.joint(name).qposadr[0]] for name in ANDREWS}


def _rssr_model():
    """A crank of 1 about z in the origin; a follower of 2 about a line parallel to y through
    (1.5, 2, 0.5), measured from +x towards +z, so its hinge turns about -y."""
    xml = f"""<mujoco><compiler angle="radian"/><worldbody>
      <body>{BALL}<joint name="crank" type="hinge" axis="0 0 1"/><site name="a" pos="1 0 0"/></body>
      <body pos="1.5 2 0.5">{BALL}<joint name="follower" type="hinge" axis="0 -1 0"/>
        <site name="b" pos="2 0 0"/></body>
    </worldbody></mujoco>"""
    model = mujoco.MjModel.from_xml_string(xml)
    return model, mujoco.MjData(model)


def rssr_by_tree(theta, guess):
    """Follower angle (degrees) for a crank angle and a first guess, by the tree's closer."""
    model, data = _rssr_model()

    def closures():
        slopes = []
        for name in "ab":
            slope = np.zeros((3, model.nv))
            mujoco.mj_jacSite(model, data, slope, None, model.site(name).id)
            slopes.append(slope)
        gap = data.site_xpos[1] - data.site_xpos[0]
        length = np.linalg.norm(gap)
        return np.array([length - 3.0]), (gap / length @ (slopes[1] - slopes[0]))[None, :]

    data.qpos[:] = np.radians([theta, guess])
    update(model, data)
    close(model, data, [0], closures)
    return np.degrees(data.qpos[1])


def rssr_by_distances(theta, guess):
    """The same with the follower's end as an absolute point."""
    a = np.array([np.cos(np.radians(theta)), np.sin(np.radians(theta)), 0.0])
    pivot = np.array([1.5, 2.0, 0.5])

    def residual(b):
        return [np.linalg.norm(b - a) - 3, np.linalg.norm(b - pivot) - 2, b[1] - pivot[1]]

    start = pivot + 2 * np.array([np.cos(np.radians(guess)), 0, np.sin(np.radians(guess))])
    found = root(residual, start, method="hybr", options={"xtol": 1e-15})
    if not np.max(np.abs(found.fun)) < 1e-12:
        raise ValueError("the distances do not close")
    b = found.x - pivot
    return np.degrees(np.arctan2(b[2], b[0]))


def main():
    """Prints one line per check; returns the number of failures."""
    checks = []
    for closer in (andrews_by_distances, andrews_by_tree):
        found = closer()
        gap = max(abs(found[name] - value) for name, value in ANDREWS.items())
        checks.append((f"{closer.__name__}: off by {gap:.1e} rad", gap < 1e-13))
    for closer in (rssr_by_tree, rssr_by_distances):
        for guess, value in ((90.0, 94.715328748), (-60.0, -57.845431102)):
            gap = abs(closer(90.0, guess) - value)
            checks.append((f"{closer.__name__} at 90, {value}: off by {gap:.1e} deg", gap < 1e-9))
        refused = 0
        for guess in range(-180, 180, 30):
            try:
                closer(270.0, float(guess))
            except (ValueError, np.linalg.LinAlgError):
                refused += 1
        checks.append((f"{closer.__name__} at 270 refused {refused} of 12 starts", refused == 12))
    for text, good in checks:
        print(("passed  " if good else "FAILED  ") + text)
    failed = sum(not good for _, good in checks)
    print(f"{len(checks) - failed} passed, {failed} failed")
    return failed


if __name__ == "__main__":
    sys.exit(1 if main() else 0)
