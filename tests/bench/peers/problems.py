"""The problems, evaluated by our own program over a pipe, and the time spent there."""

import json
import struct
import subprocess
import time

import numpy as np


def listed(program):
    """All problems in the order of the table, each a dict as `bench_search list` prints it."""
    run = subprocess.run([program, "list"], check=True, capture_output=True, text=True)
    return [json.loads(line) for line in run.stdout.splitlines()]


class Pipe:
    """One problem behind a pipe. `spent` counts this process's processor time between asking and
    having the answer, so that a solver's own time is the whole less this; `inside` is the time that
    the evaluations took in the program behind the pipe."""

    def __init__(self, program, problem):
        self.width = len(problem["bounds"])
        self.goals = problem["goals"]
        self.low, self.high = np.array(problem["bounds"], float).T
        self.columns = self.goals + problem["violations"] + 1
        self.evaluations, self.spent, self.inside = 0, 0.0, 0.0
        self.child = subprocess.Popen(
            [program, "evaluate", problem["name"]], stdin=subprocess.PIPE, stdout=subprocess.PIPE
        )

    def __call__(self, vectors):
        """Goals and violations (met when at most 0) of rows of vectors."""
        start = time.process_time()
        rows = np.clip(np.atleast_2d(vectors), self.low, self.high)
        self.child.stdin.write(struct.pack("<I", len(rows)) + rows.astype("<f8").tobytes())
        self.child.stdin.flush()
        wanted = 8 * (1 + len(rows) * self.columns)
        answer = np.frombuffer(self.child.stdout.read(wanted), "<f8")
        figures = answer[1:].reshape(len(rows), self.columns)
        self.evaluations += len(rows)
        self.inside += answer[0] * 1e-9
        self.spent += time.process_time() - start
        return figures[:, : self.goals], figures[:, self.goals :]

    def close(self):
        self.child.stdin.close()
        self.child.stdout.close()
        self.child.wait()


def feasible_front(goals, violations):
    """The goals of rows that meet everything and that no other such row dominates."""
    kept = np.unique(goals[(violations <= 0).all(axis=1)], axis=0)
    no_worse = (kept[:, None, :] <= kept[None, :, :]).all(axis=2)
    np.fill_diagonal(no_worse, False)
    return kept[~no_worse.any(axis=0)]
