"""Ours and general-purpose peers side by side. Started by `tests/bench/peers/run`.

Runs what is missing, keeps every run's answer in tests/output/peers.jsonl, and writes the table
into DEVELOPERS.md. A run that was stopped goes on where it was.
"""

import argparse
import itertools
from pathlib import Path

import runs
import table
from problems import listed

ROOT = Path(__file__).resolve().parents[3]
EVALUATIONS = (5_000, 20_000)
SEEDS = {"listed": 11, "demo job": 11, "held out": 11, "one goal": 11}
MORE_SEEDS = {"OSY": 21}


def parse():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("program", help="bench_search, built")
    parser.add_argument("--only", nargs="*", default=[""], metavar="WORD", help="of problems' names")
    parser.add_argument("--solvers", nargs="*", default=[""], metavar="WORD", help="of their names")
    parser.add_argument("--seeds", type=int, default=21, help="at most so many")
    parser.add_argument("--again", action="store_true", help="forget the runs of ours first")
    parser.add_argument("--print", action="store_true", help="print the table, write nothing")
    return parser.parse_args()


def main():
    asked = parse()
    kept = runs.Kept(ROOT / "tests" / "output" / "peers.jsonl")
    if asked.again:
        kept.forget(runs.OURS)
    problems = [runs.with_ends(asked.program, p, kept) for p in listed(asked.program)]
    chosen = [p for p in problems if any(word in p["name"] for word in asked.only)]
    # Seeds come outermost, so that a run that is stopped early has something on every problem.
    for seed, problem in itertools.product(range(asked.seeds), chosen):
        if seed < MORE_SEEDS.get(problem["name"], SEEDS[problem["group"]]):
            for evaluations in EVALUATIONS:
                runs.sweep(asked.program, problem, evaluations, seed, kept, asked.solvers)
    text = table.write(problems, kept)
    if asked.print:
        print(text)
    else:
        table.replace(ROOT / "DEVELOPERS.md", text)


if __name__ == "__main__":
    main()
