"""Deflection of random stepped stub axles by finite elements.

    axles.py record FIXTURE    draws axles and wheel loads, solves and records them
    axles.py check FIXTURE     solves the recorded cases again and compares

Beam of Euler and Bernoulli with cubic Hermite elements of scikit-fem, clamped at its root, a node
at every shoulder and under each bearing. The hub passes force and couple of the wheel on to two
bearings; each is a point load. With a constant section between nodes these elements are exact.
"""

import json
import sys

import numpy as np
from skfem import Basis, BilinearForm, ElementLineHermite, ElementLineP0, MeshLine, condense, solve
from skfem.helpers import dd, ddot

SEED = 20271
COUNT = 80
RELATIVE = 1e-9


@BilinearForm
def bending(u, v, w):
    return w["stiffness"] * ddot(dd(u), dd(v))


def deflection(case, plane):
    """Deflection (mm) and slope (radians) at both bearings and at the tip in one plane."""
    ends = np.cumsum([s["length_mm"] for s in case["sections"]])
    inner, outer = case["bearings_mm"]
    nodes = np.unique([0.0, inner, outer, *ends])
    mesh = MeshLine(nodes)
    basis = Basis(mesh, ElementLineHermite())
    middles = (nodes[1:] + nodes[:-1]) / 2
    diameters = np.array([s["diameter_mm"] for s in case["sections"]])
    own = diameters[np.searchsorted(ends, middles)]
    stiffness = case["elastic_mpa"] * np.pi / 64 * own**4
    field = basis.with_element(ElementLineP0()).interpolate(stiffness)
    matrix = bending.assemble(basis, stiffness=field)
    force, couple = case["force_n"][plane], case["couple_nmm"][plane]
    far = (force * (case["wheel_mm"] - inner) + couple) / (outer - inner)
    at = lambda place: int(np.argmin(np.abs(nodes - place)))
    load = basis.zeros()
    load[basis.nodal_dofs[0, at(inner)]] += force - far
    load[basis.nodal_dofs[0, at(outer)]] += far
    root = basis.nodal_dofs[:, 0]
    found = solve(*condense(matrix, load, D=root))
    places = [at(inner), at(outer), at(ends[-1])]
    return [[float(x) for x in found[basis.nodal_dofs[k, places]]] for k in (0, 1)]


def solved(case):
    return [deflection(case, plane) for plane in (0, 1)]


def draw(rng):
    count = int(rng.integers(1, 6))
    sections = [
        {"length_mm": round(rng.uniform(8, 40), 1), "diameter_mm": round(rng.uniform(10, 40), 1)}
        for _ in range(count)
    ]
    length = sum(s["length_mm"] for s in sections)
    bearings = sorted([rng.uniform(0.05, 0.5) * length, rng.uniform(0.6, 1.0) * length])
    return {
        "sections": sections,
        "bearings_mm": [round(b, 1) for b in bearings],
        "wheel_mm": round(rng.uniform(0, 1.3) * length, 1),
        "elastic_mpa": round(rng.uniform(60e3, 215e3), 0),
        "force_n": rng.uniform(-4000, 4000, 2).round(1).tolist(),
        "couple_nmm": rng.uniform(-4e5, 4e5, 2).round(0).tolist(),
    }


def main(command, path):
    if command == "record":
        rng = np.random.default_rng(SEED)
        with open(path, "w", encoding="utf-8") as file:
            for _ in range(COUNT):
                case = draw(rng)
                row = {**case, "found": solved(case)}
                file.write(json.dumps(row, separators=(",", ":")) + "\n")
        return True
    worst = 0.0
    with open(path, encoding="utf-8") as file:
        cases = [json.loads(line) for line in file]
    for case in cases:
        known = np.array(case["found"])
        gap = np.abs(np.array(solved(case)) - known).max(axis=2)
        worst = max(worst, np.max(gap / np.abs(known).max(axis=2)))
    print(f"{len(cases)} stub axles, largest difference {worst:.1e} of the largest deflection or slope")
    return worst < RELATIVE


if __name__ == "__main__":
    sys.exit(0 if main(*sys.argv[1:]) else 1)
