"""The peers, near their defaults, each a function (pipe, problem, evaluations, seed) -> vectors.

Populations are the size of an answer. What takes no constraints gets a static penalty: ten extents
of the front per unit of violation on every goal, on goals scaled by the problem's fixed ends.
"""

import warnings

import numpy as np

PARTITIONS = {2: 99, 3: 13, 4: 7, 5: 5}
PENALTY = 10.0


def pymoo_problem(pipe, problem):
    from pymoo.core.problem import Problem

    class Asked(Problem):
        def __init__(self):
            super().__init__(
                n_var=pipe.width,
                n_obj=pipe.goals,
                n_ieq_constr=pipe.columns - pipe.goals,
                xl=pipe.low,
                xu=pipe.high,
            )

        def _evaluate(self, x, out, *_, **__):
            out["F"], out["G"] = pipe(x)

    return Asked()


def pymoo(make):
    def solve(pipe, problem, evaluations, seed):
        from pymoo.optimize import minimize

        algorithm = make(problem)
        asked = pymoo_problem(pipe, problem)
        end = ("n_eval", evaluations)
        found = minimize(asked, algorithm, end, seed=seed, verbose=False)
        return found.pop.get("X")

    return solve


def nsga2(problem):
    from pymoo.algorithms.moo.nsga2 import NSGA2

    return NSGA2(pop_size=problem["answer"])


def nsga3(problem):
    from pymoo.algorithms.moo.nsga3 import NSGA3
    from pymoo.util.ref_dirs import get_reference_directions

    goals = problem["goals"]
    directions = get_reference_directions("das-dennis", goals, n_partitions=PARTITIONS[goals])
    return NSGA3(pop_size=problem["answer"], ref_dirs=directions)


def sms(problem):
    from pymoo.algorithms.moo.sms import SMSEMOA

    return SMSEMOA(pop_size=problem["answer"])


def age2(problem):
    from pymoo.algorithms.moo.age2 import AGEMOEA2

    return AGEMOEA2(pop_size=problem["answer"])


class Penalised:
    """Goals on the scale of the problem's ends, each with the penalty."""

    def __init__(self, pipe, problem):
        self.pipe, self.goals = pipe, pipe.goals
        self.ideal = np.array(problem["ideal"])
        self.extent = np.array(problem["nadir"]) - self.ideal

    def __call__(self, vectors):
        goals, violations = self.pipe(vectors)
        beyond = np.clip(violations, 0, None).sum(axis=1, keepdims=True)
        return (goals - self.ideal) / self.extent + PENALTY * beyond


class Pagmo:
    """A penalised problem as pygmo wants it."""

    def __init__(self, penalised):
        self.penalised = penalised

    def __deepcopy__(self, _):
        return self  # pygmo copies problems; the pipe and its counts must stay one

    def fitness(self, x):
        return self.penalised(x)[0]

    def batch_fitness(self, flat):
        rows = np.asarray(flat).reshape(-1, self.penalised.pipe.width)
        return self.penalised(rows).ravel()

    def get_nobj(self):
        return self.penalised.goals

    def get_bounds(self):
        return self.penalised.pipe.low, self.penalised.pipe.high


def pygmo(make, multiple):
    def solve(pipe, problem, evaluations, seed):
        import pygmo as pg

        size = problem["answer"] // multiple * multiple
        asked = pg.problem(Pagmo(Penalised(pipe, problem)))
        start = pg.population(asked, size=size, seed=seed, b=pg.member_bfe())
        algorithm = pg.algorithm(make(pg, evaluations // size - 1, seed))
        return algorithm.evolve(start).get_x()

    return solve


def pagmo_nsga2(pg, generations, seed):
    algorithm = pg.nsga2(gen=generations, seed=seed)
    algorithm.set_bfe(pg.bfe(pg.member_bfe()))
    return algorithm


def pagmo_moead(pg, generations, seed):
    return pg.moead(gen=generations, weight_generation="low discrepancy", seed=seed)


def moors(pipe, problem, evaluations, seed):
    import pymoors

    size, width = problem["answer"], pipe.width
    scale = pipe.high - pipe.low
    penalised = Penalised(pipe, problem)
    algorithm = pymoors.Nsga2(
        sampler=pymoors.RandomSamplingFloat(min=0.0, max=1.0),
        crossover=pymoors.SimulatedBinaryCrossover(distribution_index=15),
        mutation=pymoors.GaussianMutation(gene_mutation_rate=1.0 / width, sigma=0.05),
        fitness_fn=lambda units: penalised(pipe.low + np.clip(units, 0, 1) * scale),
        duplicates_cleaner=pymoors.ExactDuplicatesCleaner(),
        num_vars=width,
        population_size=size,
        num_offsprings=size,
        num_iterations=evaluations // size - 1,
        mutation_rate=1.0,
        crossover_rate=0.9,
        keep_infeasible=True,
        verbose=False,
        seed=seed,
    )
    algorithm.run()
    # It evaluates the parents again with every generation, which is not held against it.
    pipe.evaluations = evaluations // size * size
    return pipe.low + np.clip(algorithm.population.genes, 0, 1) * scale


def one_figure(pipe):
    """One goal with a penalty that outweighs it."""

    def cost(x):
        goals, violations = pipe(x)
        beyond = np.clip(violations, 0, None).sum(axis=1)
        return float(goals[0, 0] + 1e3 * (beyond[0] + (beyond[0] > 0)))

    return cost


def differential_evolution(pipe, problem, evaluations, seed):
    from scipy.optimize import differential_evolution

    size = 15 * pipe.width
    found = differential_evolution(
        one_figure(pipe),
        list(zip(pipe.low, pipe.high)),
        maxiter=max(1, evaluations // size - 1),
        polish=False,
        tol=0,
        rng=seed,
    )
    return found.x[None, :]


def pycma(pipe, problem, evaluations, seed):
    import cma

    scale, cost = pipe.high - pipe.low, one_figure(pipe)
    options = {"bounds": [0, 1], "maxfevals": evaluations, "seed": seed + 1, "verbose": -9}
    draw = np.random.default_rng(seed)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        best, _ = cma.fmin2(
            lambda unit: cost(pipe.low + np.clip(unit, 0, 1) * scale),
            lambda: draw.random(pipe.width),
            0.3,
            options,
            restarts=9,
            bipop=True,
        )
    return (pipe.low + np.clip(best, 0, 1) * scale)[None, :]


PEERS = {
    "pymoo NSGA-II": pymoo(nsga2),
    "pymoo NSGA-III": pymoo(nsga3),
    "pymoo SMS-EMOA": pymoo(sms),
    "pymoo AGE-MOEA-II": pymoo(age2),
    "pygmo nsga2": pygmo(pagmo_nsga2, 4),
    "pygmo moead": pygmo(pagmo_moead, 1),
    "moors NSGA-II": moors,
}
SINGLE = {"SciPy DE": differential_evolution, "pycma": pycma}


def peers(problem):
    """The peers of a problem; SMS-EMOA up to three goals, beyond which it takes hours."""
    if problem["goals"] == 1:
        return SINGLE
    skipped = {"pymoo SMS-EMOA"} if problem["goals"] > 3 else set()
    return {name: solve for name, solve in PEERS.items() if name not in skipped}
