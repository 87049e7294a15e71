"""Taut cables over sheaves against a general-purpose minimiser.

    cables.py record FIXTURE   draws cables over sheaves and records SciPy's shortest lengths
    cables.py check FIXTURE    solves the recorded cables again and compares with the record

A sheave's groove keeps the cable on its circle, in the sheave's plane; off the circle the cable
is straight and stays out of the cylinder over it. SciPy's SLSQP makes the whole length small over
the angles at which the cable meets and leaves each sheave.
"""

import json
import sys

import numpy as np
from scipy.optimize import minimize

COUNT, SEED = 40, 20264
MM = 1e-6


class Cable:
    """A path from the eye `first` over sheaves to the eye `last`."""

    def __init__(self, case):
        self.first, self.last = (np.array(case[k], float) for k in ("first", "last"))
        self.sheaves = []
        for sheave in case["sheaves"]:
            axis = np.array(sheave["axis"], float)
            axis /= np.linalg.norm(axis)
            across = np.linalg.svd(axis[None, :])[2][1]
            self.sheaves.append(
                (np.array(sheave["centre"], float), across, np.cross(axis, across), sheave)
            )

    def _out(self, i, angle):
        _, u, v, _ = self.sheaves[i]
        return np.cos(angle) * u + np.sin(angle) * v

    def contacts(self, x):
        """Per sheave the directions where the cable meets and leaves it; x holds for each the
        angle of the first and the angle that the cable lies round it."""
        out = []
        for i, (*_, sheave) in enumerate(self.sheaves):
            meets, wrap = x[2 * i], x[2 * i + 1]
            out.append((self._out(i, meets), self._out(i, meets + sheave["turn"] * wrap)))
        return out

    def _points(self, x):
        points = [self.first]
        for (centre, *_, sheave), (meets, leaves) in zip(self.sheaves, self.contacts(x)):
            points += [centre + sheave["radius"] * d for d in (meets, leaves)]
        return [*points, self.last]

    def length(self, x):
        """The whole length, mm."""
        points = self._points(x)
        straight = sum(
            np.linalg.norm(points[k + 1] - points[k]) for k in range(0, len(points), 2)
        )
        return straight + sum(s[3]["radius"] * x[2 * i + 1] for i, s in enumerate(self.sheaves))

    def clear(self, x):
        """At least 0 where the straight parts leave the sheaves outwards."""
        points, out = self._points(x), []
        for i, (meets, leaves) in enumerate(self.contacts(x)):
            before, on, off, after = points[2 * i : 2 * i + 4]
            out += [meets @ (before - on) / 100, leaves @ (after - off) / 100]
        return np.array(out)

    def shortest(self, rng):
        """Smallest length over many starts, and the wraps there; None without one."""
        best = None
        for _ in range(60):
            start = np.ravel([[rng.uniform(-np.pi, np.pi), rng.uniform(0.2, 2)] for _ in self.sheaves])
            found = minimize(
                self.length,
                start,
                method="SLSQP",
                bounds=[b for _ in self.sheaves for b in ((None, None), (0.0, 4.5))],
                constraints={"type": "ineq", "fun": self.clear},
                options={"ftol": 1e-14, "maxiter": 500},
            )
            # One that only touches a sheave may pass it on the wrong side.
            lies = np.min(found.x[1::2]) > 1e-4
            # Sheaves in planes apart may stop the minimiser at a corner, where the cable would have to
            # be pulled inwards; a groove only pushes, so a taut cable has none.
            taut = np.max(np.abs(self.clear(found.x))) < 1e-9
            good = found.success and lies and taut
            if good and (best is None or found.fun < best[0]):
                best = float(found.fun), found.x[1::2]
        return best


def _draw(rng):
    count = int(rng.integers(1, 4))
    place, sheaves = np.zeros(3), []
    for _ in range(count):
        place = place + [rng.uniform(140, 260), rng.uniform(-90, 90), rng.uniform(-40, 40)]
        sheaves.append(
            {
                "centre": [round(float(p), 2) for p in place],
                "axis": [round(float(a), 3) for a in (*rng.uniform(-0.4, 0.4, 2), 1)],
                "radius": round(float(rng.uniform(12, 55)), 2),
                "turn": 1 if rng.integers(2) else -1,
            }
        )
    last = place + [rng.uniform(140, 260), rng.uniform(-90, 90), rng.uniform(-40, 40)]
    return {"first": [0, 0, 0], "sheaves": sheaves, "last": [round(float(p), 2) for p in last]}


def record(path):
    """Draws cables that lie on all their sheaves and writes them, one JSON object per line."""
    rng = np.random.default_rng(SEED)
    with open(path, "w", encoding="utf-8") as file:
        written = 0
        while written < COUNT:
            case = _draw(rng)
            best = Cable(case).shortest(rng)
            if best is None or np.min(best[1]) < 0.02 or np.max(best[1]) > 4:
                continue
            file.write(json.dumps({**case, "length": best[0]}, separators=(",", ":")) + "\n")
            written += 1


def check(path):
    """Solves every recorded cable again; returns failures."""
    rng, failures, count = np.random.default_rng(SEED + 1), 0, 0
    with open(path, encoding="utf-8") as file:
        for line in file:
            case, count = json.loads(line), count + 1
            best = Cable(case).shortest(rng)
            if best is None or abs(best[0] - case["length"]) > MM:
                failures += 1
                print(f"cable {count}: {best} instead of {case['length']}")
    print(f"{count - failures} passed, {failures} failed")
    return failures


if __name__ == "__main__":
    match sys.argv[1:]:
        case ["record", path]:
            record(path)
        case ["check", path]:
            sys.exit(1 if check(path) else 0)
        case _:
            sys.exit(__doc__)
