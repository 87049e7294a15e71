"""The table of all kept runs, as Markdown."""

import statistics

import moocore
import numpy as np

from runs import OURS

BEGIN, END = "<!-- peers: written by tests/bench/peers/run -->", "<!-- end of peers -->"
REFERENCE_POINTS = 1_000
HEAD = [
    "| problem | evaluations | ours: median, worst | best peer's median | best peer's worst seed "
    "| IGD+ ours, best peer | processor µs ours, least pymoo, ratio | seeds ours, peers |",
    "| --- | --- | --- | --- | --- | --- | --- | --- |",
]


class Problem:
    """The kept runs of one problem and budget, measured."""

    def __init__(self, problem, evaluations, rows):
        self.problem, self.evaluations = problem, evaluations
        self.rows = [row for row in rows if row["front"] is not None]
        self.single = problem["goals"] == 1
        scores = self.least if self.single else self.hypervolume
        self.scores = self.by_solver(scores)
        self.own = self.by_solver(self.microseconds, "own_cpu_s")
        self.spread = {} if self.single else self.by_solver(self.igd())

    def by_solver(self, figure, key="front"):
        """The figures of all rows that have the key; rows of an older command lack some."""
        out = {}
        for row in self.rows:
            if key in row:
                out.setdefault(row["solver"], []).append(figure(row))
        return out

    @staticmethod
    def microseconds(row):
        return 1e6 * row["own_cpu_s"] / row["counted"]

    def normal(self, front):
        ideal, nadir = np.array(self.problem["ideal"]), np.array(self.problem["nadir"])
        return (np.array(front) - ideal) / (nadir - ideal)

    def hypervolume(self, row):
        if not row["front"]:
            return 0.0
        return float(moocore.hypervolume(self.normal(row["front"]), ref=[1.1] * self.problem["goals"]))

    @staticmethod
    def least(row):
        """The best value with its sign turned, so that more is better as with a hypervolume."""
        return -row["front"][0][0] if row["front"] else -np.inf

    def igd(self):
        """IGD+ to what all solvers found together, thinned evenly in the order of the first goal."""
        found = [point for row in self.rows for point in row["front"]]
        together = moocore.filter_dominated(np.unique(self.normal(found), axis=0)) if found else []
        step = max(1, len(together) // REFERENCE_POINTS)
        reference = together[::step]

        def figure(row):
            if not row["front"]:
                return np.inf
            return float(moocore.igd_plus(self.normal(row["front"]), ref=reference))

        return figure

    def shown(self, value):
        return f"{-value:.6g}" if self.single else f"{value:.5f}"

    def line(self):
        peers = {name: s for name, s in self.scores.items() if name != OURS}
        if OURS not in self.scores or not peers:
            return None
        mine, middle = self.scores[OURS], statistics.median
        best = max(peers, key=lambda name: middle(peers[name]))
        safest = max(peers, key=lambda name: min(peers[name]))
        median, worst = middle(mine), min(mine)
        columns = [
            self.problem["name"],
            f"{self.evaluations:,}",
            f"{self.mark(median, middle(peers[best]))}, {self.mark(worst, min(peers[safest]))}",
            f"{self.shown(middle(peers[best]))} {best}",
            f"{self.shown(min(peers[safest]))} {safest}",
            self.igds(),
            self.times(),
            f"{len(mine)}, {min(map(len, peers.values()))}",
        ]
        return "| " + " | ".join(columns) + " |"

    def mark(self, mine, theirs):
        """Bold where a peer is ahead by more than a thousandth; under requirements by a millionth,
        which is what evaluations differ by."""
        level = 1e-6 if self.problem["violations"] else 1e-3
        behind = mine < theirs - level * abs(theirs)
        return f"**{self.shown(mine)}**" if behind else self.shown(mine)

    def igds(self):
        if self.single:
            return "–"
        middles = {name: statistics.median(values) for name, values in self.spread.items()}
        return f"{middles.pop(OURS):.2g}, {min(middles.values()):.2g}"

    def times(self):
        middles = {name: statistics.median(values) for name, values in self.own.items()}
        pymoo = [value for name, value in middles.items() if name.startswith("pymoo")]
        ours = middles.get(OURS)
        if ours is None:
            return "–"
        if not pymoo:
            return f"{ours:.1f}"
        return f"{ours:.1f}, {min(pymoo):.0f}, {min(pymoo) / ours:.0f}×"


def write(problems, kept):
    """The whole table; a problem without runs of ours or of a peer is left out."""
    lines = list(HEAD)
    for problem in problems:
        for evaluations in sorted({key[2] for key in kept.rows}):
            rows = [
                row
                for (solver, name, count, _), row in kept.rows.items()
                if solver != "ends" and name == problem["name"] and count == evaluations
            ]
            line = Problem(problem, evaluations, rows).line() if rows else None
            lines += [line] if line else []
    return "\n".join(lines)


def replace(path, text):
    """Puts the table between its marks."""
    whole = path.read_text()
    before, rest = whole.split(BEGIN)
    after = rest.split(END)[1]
    path.write_text(f"{before}{BEGIN}\n{text}\n{END}{after}")
