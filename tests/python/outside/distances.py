"""Reference one: absolute point coordinates and distances, solved by SciPy.

Unknowns, in frame axes: lower ball joint, upper ball joint and outer rod end of each side
(18 numbers), frame height and frame pitch, with a rocker its left end, with a centre link
the link's end on the idler and with a handlebar's drag link its end on the crank (3 numbers
each).
Equations: every rigid member is a distance. The wheel centre and the spin axis ride on the
triangle of the three knuckle points; the links' feet ride on the lower wishbones.
`scipy.optimize.root` (MINPACK's hybrid method) closes them, with derivatives by its own
finite differences; the pose is reached from the drawn one in small steps.
"""

import numpy as np
from scipy.optimize import approx_fprime, root

from .pose import describe, drives, ground_rotation

PITCH_SCALE = 1000.0  # mm of unknown per radian of pitch
STEP_DEG, STEP_MM = 1.5, 5.0


def _triad(a, b, c):
    """Orthonormal axes (columns) of the triangle a, b, c."""
    x = b - a
    x = x / np.linalg.norm(x)
    z = np.cross(x, c - a)
    z = z / np.linalg.norm(z)
    return np.column_stack([x, np.cross(z, x), z])


def _length(a, b):
    return np.linalg.norm(a - b)


def _rotated(p, point, axis, angle):
    """p turned about the unit axis through `point` by `angle`, right-handed."""
    v = p - point
    along = axis * (v @ axis)
    return point + along + (v - along) * np.cos(angle) + np.cross(axis, v) * np.sin(angle)


def _angle(a, b, axis):
    """Signed angle about the unit axis from a to b."""
    a, b = a - axis * (a @ axis), b - axis * (b @ axis)
    return np.arctan2(axis @ np.cross(a, b), a @ b)


class Distances:
    """The equations of one machine."""

    def __init__(self, vehicle):
        self.vehicle = vehicle
        self.fixed = []
        for corner in vehicle.corners:
            low, up, end = corner.lower[2], corner.upper[2], corner.rod_outer
            axes = _triad(low, up, end)
            self.fixed.append(
                {
                    "lower": [_length(low, corner.lower[i]) for i in (0, 1)],
                    "upper": [_length(up, corner.upper[i]) for i in (0, 1)],
                    "knuckle": [_length(low, up), _length(low, end), _length(up, end)],
                    "centre": axes.T @ (corner.centre - low),
                    "axis": axes.T @ corner.axis,
                }
            )
        drawn = [np.concatenate([c.lower[2], c.upper[2], c.rod_outer]) for c in vehicle.corners]
        self.start = np.concatenate([*drawn, [0.0, 0.0]])
        if vehicle.rocker:
            self._fix_rocker(vehicle.rocker)
        self._fix_rods(vehicle.steering)
        if vehicle.handlebar:
            bar = vehicle.handlebar
            self.bar_link = _length(bar.arm_end, bar.crank_end)
            self.bar_held = [_length(bar.crank_end, p) for p in self._crank_line()]

    def _crank_line(self):
        """Two points of the crank's axis."""
        s = self.vehicle.steering
        return [s.point, s.point + 100 * s.axis]

    def _cranked(self, crank_end, turn):
        """Crank angle of the handlebar's link, and what its three distances miss."""
        bar, s = self.vehicle.handlebar, self.vehicle.steering
        arm_end = _rotated(bar.arm_end, bar.point, bar.axis, turn)
        missed = [_length(crank_end, p) - r for p, r in zip(self._crank_line(), self.bar_held)]
        missed.append(_length(crank_end, arm_end) - self.bar_link)
        return _angle(bar.crank_end - s.point, crank_end - s.point, s.axis), missed

    def _fix_rocker(self, rocker):
        end = rocker.pivot + [0.0, rocker.arm, 0.0]
        self.along = (end - rocker.pivot) @ rocker.axis
        ends = (end, 2 * rocker.pivot - end)
        self.links = [_length(e, f) for e, f in zip(ends, rocker.feet)]
        self.feet = [
            _triad(*c.lower).T @ (foot - c.lower[0])
            for c, foot in zip(self.vehicle.corners, rocker.feet)
        ]

    def _fix_rods(self, steering):
        """Lengths of whatever turns the knuckles."""
        outer = [c.rod_outer for c in self.vehicle.corners]
        if steering.layout == "cross_rod":
            corner = self.vehicle.corners[steering.driven]
            low = corner.lower[2]
            axes = _triad(low, corner.upper[2], corner.rod_outer)
            self.drag = axes.T @ (steering.drag_outer - low)
            self.rods = [
                _length(*outer),
                _length(steering.drag_inner, steering.drag_outer),
            ]
            return
        inner = [c.rod_inner for c in self.vehicle.corners]
        self.rods = [_length(a, b) for a, b in zip(inner, outer)]
        if steering.layout == "idler_parallelogram":
            a, b, k = steering.crank_end, steering.idler_end, steering.axis
            self.idler = [_length(b, steering.idler_point + n * k) for n in (0, 100)]
            self.centre_link = _length(a, b)
            # On parallel axes the link turns about their direction alone, so a triangle with
            # a third corner along it carries the rod ends.
            axes = _triad(a, b, a + 100 * k)
            self.on_link = [axes.T @ (p - a) for p in inner]

    def rod_ends(self, sides, steer, link_end):
        """Both ends of the two rods, and the centre link's start on the crank where there is one;
        `steer` in radians or mm of rail."""
        s = self.vehicle.steering
        outer = [side["rod_outer_mm"] for side in sides]
        if s.layout == "cross_rod":
            driven = sides[s.driven]
            low = driven["lower_ball_joint_mm"]
            axes = _triad(low, driven["upper_ball_joint_mm"], driven["rod_outer_mm"])
            inner = _rotated(s.drag_inner, s.point, s.axis, steer)
            return [tuple(outer), (inner, low + axes @ self.drag)], None
        inner = [c.rod_inner for c in self.vehicle.corners]
        start = None
        if s.layout == "slider":
            inner = [p + steer * s.axis for p in inner]
        elif s.layout == "idler_parallelogram":
            start = _rotated(s.crank_end, s.point, s.axis, steer)
            axes = _triad(start, link_end, start + 100 * s.axis)
            inner = [start + axes @ p for p in self.on_link]
        else:
            inner = [_rotated(p, s.point, s.axis, steer) for p in inner]
        return list(zip(inner, outer)), start

    def _rod_residual(self, x, sides, steer, link_end):
        """Rods (and centre link) against their lengths."""
        s = self.vehicle.steering
        ends, start = self.rod_ends(sides, steer, link_end)
        rods = [_length(a, b) - rod for (a, b), rod in zip(ends, self.rods)]
        if start is None:
            return rods
        more = [_length(start, link_end) - self.centre_link]
        more += [
            _length(link_end, s.idler_point + n * s.axis) - length
            for n, length in zip((0, 100), self.idler)
        ]
        return rods + more

    def sides(self, x):
        """Points and spin axis of both knuckles at the unknowns x."""
        out = []
        for i, fixed in enumerate(self.fixed):
            low, up, end = x[9 * i : 9 * i + 9].reshape(3, 3)
            axes = _triad(low, up, end)
            out.append(
                {
                    "lower_ball_joint_mm": low,
                    "upper_ball_joint_mm": up,
                    "rod_outer_mm": end,
                    "wheel_centre_mm": low + axes @ fixed["centre"],
                    "axis": axes @ fixed["axis"],
                }
            )
        return out

    def residual(self, x, lean, steer, travel):
        """All equations, mm. `travel` None: the rocker is connected."""
        out = []
        if self.vehicle.handlebar:
            steer, out = self._cranked(x[-3:], steer)
            x = x[:-3]
        sides = self.sides(x)
        height, pitch = x[18], x[19] / PITCH_SCALE
        up = ground_rotation(lean, pitch)[2]
        for corner, fixed, side in zip(self.vehicle.corners, self.fixed, sides):
            low, high = side["lower_ball_joint_mm"], side["upper_ball_joint_mm"]
            end = side["rod_outer_mm"]
            out += [_length(low, corner.lower[i]) - fixed["lower"][i] for i in (0, 1)]
            out += [_length(high, corner.upper[i]) - fixed["upper"][i] for i in (0, 1)]
            out += [
                _length(low, high) - fixed["knuckle"][0],
                _length(low, end) - fixed["knuckle"][1],
                _length(high, end) - fixed["knuckle"][2],
            ]
            out.append(
                _clearance(side["wheel_centre_mm"], side["axis"], corner.radius, corner.section, up)
                + height
            )
        vehicle = self.vehicle
        out.append(
            _clearance(
                vehicle.rear_centre,
                np.array([0.0, 1.0, 0.0]),
                vehicle.rear_radius,
                vehicle.rear_section,
                up,
            )
            + height
        )
        out += self._rod_residual(x, sides, steer, x[-3:])
        if travel is None:
            out += self._rocker_residual(x, sides)
        else:
            rise = [
                s["lower_ball_joint_mm"][2] - c.lower[2][2]
                for s, c in zip(sides, vehicle.corners)
            ]
            out.append(sum(rise) / 2 - travel)
        return np.array(out)

    def _rocker_residual(self, x, sides):
        rocker = self.vehicle.rocker
        end = x[20:23]
        feet = [
            c.lower[0] + _triad(c.lower[0], c.lower[1], s["lower_ball_joint_mm"]) @ local
            for c, s, local in zip(self.vehicle.corners, sides, self.feet)
        ]
        return [
            _length(end, rocker.pivot) - rocker.arm,
            (end - rocker.pivot) @ rocker.axis - self.along,
            _length(end, feet[0]) - self.links[0],
            _length(2 * rocker.pivot - end, feet[1]) - self.links[1],
        ]

    def _reach(self, target):
        """The unknowns at `target`, reached in small steps from the drawn pose, and its drives."""
        travel = target["mean_travel_mm"]
        connected = travel is None and self.vehicle.rocker is not None
        x = self.start
        if connected:
            rocker = self.vehicle.rocker
            x = np.concatenate([x, rocker.pivot + [0.0, rocker.arm, 0.0]])
        if self.vehicle.steering.layout == "idler_parallelogram":
            x = np.concatenate([x, self.vehicle.steering.idler_end])
        if self.vehicle.handlebar:
            x = np.concatenate([x, self.vehicle.handlebar.crank_end])
        lean, steer = drives(target)
        steps = 1 + int(
            max(
                abs(target["lean_deg"]) / STEP_DEG,
                abs(target.get("steer_deg", 0.0)) / STEP_DEG,
                abs(target.get("steer_mm", 0.0)) / STEP_MM,
                abs(travel or 0.0) / STEP_MM,
            )
        )
        for i in range(steps + 1):
            k = i / steps
            args = (k * lean, k * steer, None if connected else k * (travel or 0.0))
            x = self._close(x, args)
        return x, args

    def path(self, target):
        """Solves the pose of `target` (lean_deg, steer_deg, mean_travel_mm or None) in small
        steps from the drawn pose. Returns (pose, smallest singular value of the equations'
        matrix); raises `ValueError` where a step does not close."""
        x, args = self._reach(target)
        matrix = approx_fprime(x, self.residual, 1e-6, *args)
        smallest = np.linalg.svd(matrix, compute_uv=False)[-1]
        pose = describe(self.vehicle, args[0], x[19] / PITCH_SCALE, x[18], self.sides(x))
        return pose, float(smallest)

    def passed(self, target):
        """At `target` a rod has gone through the line of the arm that it turns, so that it stands
        on the other side of it than as drawn."""
        here = self._sines({**target, "lean_deg": 0.0, _drive(target): 0.0})
        return bool(np.any(here * self._sines(target) < 0))

    def _sines(self, target):
        """Per knuckle, kingpin · (arm × rod)."""
        x, args = self._reach(target)
        steer, s = args[1], self.vehicle.steering
        if self.vehicle.handlebar:
            steer, x = self._cranked(x[-3:], steer)[0], x[:-3]
        sides = self.sides(x)
        rods, _ = self.rod_ends(sides, steer, x[-3:])
        if s.layout == "cross_rod":
            cross, drag = rods
            rods = [cross[::-1], drag] if s.driven else [drag, cross]
        out = []
        for side, (inner, outer) in zip(sides, rods):
            low = side["lower_ball_joint_mm"]
            kingpin = side["upper_ball_joint_mm"] - low
            out.append(kingpin @ np.cross(outer - low, outer - inner))
        return np.array(out)

    def _close(self, x, args):
        found = root(self.residual, x, args=args, method="hybr", options={"xtol": 1e-14})
        worst = np.max(np.abs(found.fun))
        if not worst < 1e-9:
            raise ValueError(f"the distances do not close: {worst:.3g} mm")
        return found.x


def _drive(target):
    return "steer_mm" if "steer_mm" in target else "steer_deg"


def _clearance(centre, axis, radius, section, up):
    """Height of a torus tyre's lowest point over the plane through the frame's origin with
    the unit normal `up`, all in frame axes."""
    tilt = axis @ up
    return centre @ up - (radius - section) * np.sqrt(1.0 - tilt**2) - section
