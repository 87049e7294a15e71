"""Writes hypervolumes.txt: random fronts of 2 to 6 goals and their hypervolume by moocore.

    pip install moocore==0.3.2 numpy && python hypervolumes.py > hypervolumes.txt

One front per line: goals, points, the reference, the points, the hypervolume; floats as repr.
"""

import moocore
import numpy as np

draw = np.random.default_rng(20)
for goals in range(2, 7):
    for kind in range(6):
        count = [1, 5, 20, 30, 12, 25][kind]
        points = draw.random((count, goals))
        if kind in (2, 3):  # non-dominated: on a sphere
            points = 1 - points / np.linalg.norm(points, axis=1, keepdims=True)
        if kind == 4:  # duplicates, and points on and beyond the reference
            points = np.vstack([points, points[:3], np.ones(goals), np.full(goals, 1.2)])
            points[5, 0] = 1.0
        if kind == 5:  # many equal coordinates
            points = np.round(points * 4) / 4
        reference = np.ones(goals) if kind != 3 else np.full(goals, 1.1)
        value = moocore.hypervolume(points, ref=reference)
        numbers = [*reference, *points.ravel(), value]
        print(goals, len(points), *(repr(float(x)) for x in numbers))
