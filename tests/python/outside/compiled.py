"""The distance equations as C: written down in CasADi, whose Newton is generated and compiled.

The same 20 unknowns and equations as in `distances` (a centre crank without a rocker), as symbols; CasADi
differentiates them and generates C for its `fast_newton` with a sparse QR; `cc -O3` compiles
it together with a loop over poses. Used by the bench only.
"""

import ctypes
import subprocess
from pathlib import Path

import casadi as ca
import numpy as np

from .distances import PITCH_SCALE, Distances

LOOP = """
#include <time.h>
#include "newton.c"

/* Solves `count` poses, each from the one before it; a pose with `fresh` set starts at `start`.
   Returns the seconds it took. */
double sweep(const double *start, const double *drives, const int *fresh, long count, double *out) {
  static casadi_int iw[IW]; static double w[W];
  const double *arg[ARG]; double *res[RES]; struct timespec a, b;
  clock_gettime(CLOCK_MONOTONIC, &a);
  for (long i = 0; i < count; i++) {
    for (int k = 0; k < ARG; k++) arg[k] = 0;
    for (int k = 0; k < RES; k++) res[k] = 0;
    arg[0] = fresh[i] ? start : out + N * (i - 1);
    arg[1] = drives + 3 * i;
    res[0] = out + N * i;
    if (newton(arg, res, iw, w, 0)) return -1;
  }
  clock_gettime(CLOCK_MONOTONIC, &b);
  return (b.tv_sec - a.tv_sec) + 1e-9 * (b.tv_nsec - a.tv_nsec);
}
"""


def _triad(a, b, c):
    x = b - a
    x = x / ca.norm_2(x)
    z = ca.cross(x, c - a)
    z = z / ca.norm_2(z)
    return ca.horzcat(x, ca.cross(z, x), z)


def _equations(solver):
    """Unknowns, drives (lean, steer, mean travel) and residuals as symbols."""
    vehicle = solver.vehicle
    x, drive = ca.SX.sym("x", 20), ca.SX.sym("drive", 3)
    height, pitch = x[18], x[19] / PITCH_SCALE
    sp, cp, sl, cl = ca.sin(pitch), ca.cos(pitch), ca.sin(drive[0]), ca.cos(drive[0])
    up = ca.vertcat(-sp, cp * sl, cp * cl)
    out, rise = [], 0

    def clearance(centre, axis, radius, section):
        tilt = ca.dot(axis, up)
        return ca.dot(centre, up) - (radius - section) * ca.sqrt(1 - tilt * tilt) - section

    for i, (corner, fixed) in enumerate(zip(vehicle.corners, solver.fixed)):
        low, high, end = x[9 * i : 9 * i + 3], x[9 * i + 3 : 9 * i + 6], x[9 * i + 6 : 9 * i + 9]
        k, v = vehicle.steering.axis, corner.rod_inner - vehicle.steering.point
        along = k * (v @ k)
        inner = vehicle.steering.point + along
        inner = inner + (v - along) * ca.cos(drive[1]) + np.cross(k, v) * ca.sin(drive[1])
        for j in (0, 1):
            out.append(ca.norm_2(low - corner.lower[j]) - fixed["lower"][j])
            out.append(ca.norm_2(high - corner.upper[j]) - fixed["upper"][j])
        out.append(ca.norm_2(low - high) - fixed["knuckle"][0])
        out.append(ca.norm_2(low - end) - fixed["knuckle"][1])
        out.append(ca.norm_2(high - end) - fixed["knuckle"][2])
        out.append(ca.norm_2(end - inner) - solver.rods[i])
        axes = _triad(low, high, end)
        centre, axis = low + axes @ fixed["centre"], axes @ fixed["axis"]
        out.append(clearance(centre, axis, corner.radius, corner.section) + height)
        rise += (low[2] - corner.lower[2][2]) / 2
    rear = (vehicle.rear_centre, np.array([0.0, 1.0, 0.0]))
    out.append(clearance(*rear, vehicle.rear_radius, vehicle.rear_section) + height)
    out.append(rise - drive[2])
    return x, drive, ca.vertcat(*out)


class Compiled:
    """A compiled Newton of one machine without a rocker, built in the folder `where`."""

    def __init__(self, vehicle, where):
        self.solver = Distances(vehicle)
        x, drive, residual = _equations(self.solver)
        system = ca.Function("g", [x, drive], [residual])
        newton = ca.rootfinder("newton", "fast_newton", system, {"abstol": 1e-9, "max_iter": 30})
        where = Path(where)
        generator = ca.CodeGenerator("newton.c")
        generator.add(newton)
        generator.generate(f"{where}/")
        sizes = dict(zip(("ARG", "RES", "IW", "W"), (max(1, n) for n in newton_sizes(newton))))
        (where / "sweep.c").write_text(LOOP)
        flags = [f"-D{name}={size}" for name, size in sizes.items()] + ["-DN=20"]
        library = where / "sweep.so"
        subprocess.run(
            ["cc", "-O3", "-shared", "-fPIC", *flags, "-o", library, where / "sweep.c", "-lm"],
            check=True,
        )
        self.library = ctypes.CDLL(str(library))
        self.library.sweep.restype = ctypes.c_double

    def sweep(self, sweeps):
        """Solves lists of targets, each list from the drawn pose on. Returns the seconds and
        the unknowns, one row per pose."""
        drives = np.array(
            [
                [np.radians(t["lean_deg"]), np.radians(t["steer_deg"]), t["mean_travel_mm"] or 0]
                for sweep in sweeps
                for t in sweep
            ]
        )
        fresh = np.array([i == 0 for sweep in sweeps for i in range(len(sweep))], np.int32)
        out = np.zeros((len(drives), 20))
        pointers = [a.ctypes.data_as(ctypes.c_void_p) for a in (self.solver.start, drives, fresh)]
        seconds = self.library.sweep(
            *pointers, ctypes.c_long(len(drives)), out.ctypes.data_as(ctypes.c_void_p)
        )
        if seconds < 0:
            raise ValueError("the compiled Newton did not converge")
        return seconds, out


def newton_sizes(function):
    """Work sizes that the generated C asks for: arguments, results, integers, numbers."""
    return function.sz_arg(), function.sz_res(), function.sz_iw(), function.sz_w()
