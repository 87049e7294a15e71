"""Reference two: a kinematic tree with loop closures, on MuJoCo's kinematics and Jacobians.

Bodies: frame (height, then pitch, then lean), wishbones on hinges, knuckles on ball joints
of the lower wishbones, crank and rocker on hinges. Loops close between sites: upper ball
joints, rod lengths, link lengths, tyres on the ground, mean travel. MuJoCo gives positions
(`mj_kinematics`) and derivatives (`mj_jacSite`); the small Newton on the closures is ours.
"""

import mujoco
import numpy as np

from .pose import SIDES, drives

STEP_DEG, STEP_MM = 1.5, 5.0
AT = 'pos="{:.17g} {:.17g} {:.17g}"'
BALL = '<inertial pos="0 0 0" mass="1" diaginertia="1 1 1"/>'


def _at(p):
    return AT.format(*p)


def _axis(a):
    return 'axis="{:.17g} {:.17g} {:.17g}"'.format(*a)


def _site(name, p):
    return f'<site name="{name}" {_at(p)}/>'


def _corner_xml(i, corner, feet, drag_outer):
    """Wishbones and knuckle of side i. Every body's own axes are the frame's, as drawn, and
    its origin is the frame's, save the knuckle's, which is the lower ball joint."""
    low = corner.lower[2]
    foot = _site(f"foot{i}", feet[i]) if feet is not None else ""
    drag = _site("drag_outer", drag_outer - low) if drag_outer is not None else ""

    def hinge(name, arm):
        return f'<joint name="{name}{i}" type="hinge" {_at(arm[1])} {_axis(arm[0] - arm[1])}/>'

    return f"""
    <body name="lower{i}">{BALL}{hinge("lower", corner.lower)}{foot}
      {_site(f"low{i}", low)}
      <body name="knuckle{i}" {_at(low)}>{BALL}<joint name="knuckle{i}" type="ball"/>
        {_site(f"high{i}", corner.upper[2] - low)}
        {_site(f"outer{i}", corner.rod_outer - low)}
        {_site(f"centre{i}", corner.centre - low)}{drag}
      </body>
    </body>
    <body name="upper{i}">{BALL}{hinge("upper", corner.upper)}
      {_site(f"held{i}", corner.upper[2])}
    </body>"""


def _steering_xml(vehicle):
    """Crank or slider with what hangs on it, and the handlebar where a drag link joins it; the
    drive is the joint named "steer"."""
    s = vehicle.steering
    ends = [c.rod_inner for c in vehicle.corners if c.rod_inner is not None]
    inner = "".join(_site(f"inner{i}", end) for i, end in enumerate(ends))
    if s.layout == "slider":
        return f"""<body name="crank">{BALL}
          <joint name="steer" type="slide" {_axis(s.axis)}/>{inner}</body>"""
    bar, name = vehicle.handlebar, "steer" if vehicle.handlebar is None else "crank"
    turning = f'<joint name="{name}" type="hinge" {_at(s.point)} {_axis(s.axis)}/>'
    handlebar = ""
    if bar:
        turning += _site("bar_crank", bar.crank_end)
        handlebar = f"""<body name="handlebar">{BALL}
          <joint name="steer" type="hinge" {_at(bar.point)} {_axis(bar.axis)}/>
          {_site("bar_arm", bar.arm_end)}</body>"""
    if s.layout == "cross_rod":
        inner = _site("drag_inner", s.drag_inner)
    elif s.layout == "idler_parallelogram":
        inner = f"""<body name="link">{BALL}
          <joint name="link" type="hinge" {_at(s.crank_end)} {_axis(s.axis)}/>
          {_site("link_end", s.idler_end)}{inner}</body>"""
    crank = f'<body name="crank">{BALL}{turning}{inner}</body>{handlebar}'
    if s.layout != "idler_parallelogram":
        return crank
    return f"""{crank}<body name="idler">{BALL}
      <joint name="idler" type="hinge" {_at(s.idler_point)} {_axis(s.axis)}/>
      {_site("idler_end", s.idler_end)}</body>"""


def _model_xml(vehicle):
    feet = vehicle.rocker.feet if vehicle.rocker else None
    steering = vehicle.steering
    corners = "".join(
        _corner_xml(i, c, feet, steering.drag_outer if steering.driven == i else None)
        for i, c in enumerate(vehicle.corners)
    )
    rocker = ""
    if vehicle.rocker:
        r = vehicle.rocker
        arm = np.array([0.0, r.arm, 0.0])
        rocker = f"""<body name="rocker">{BALL}
          <joint name="rocker" type="hinge" {_at(r.pivot)} {_axis(r.axis)}/>
          {_site("end0", r.pivot + arm)}{_site("end1", r.pivot - arm)}</body>"""
    return f"""<mujoco><compiler angle="radian"/><worldbody>
      <body name="carriage">{BALL}
        <joint name="height" type="slide" axis="0 0 1"/>
        <body name="pitched">{BALL}<joint name="pitch" type="hinge" axis="0 1 0"/>
          <body name="frame">{BALL}<joint name="lean" type="hinge" axis="1 0 0"/>
            {_site("rear", vehicle.rear_centre)}{_site("origin", [0, 0, 0])}
            {corners}
            {_steering_xml(vehicle)}
            {rocker}
          </body>
        </body>
      </body>
    </worldbody></mujoco>"""


def update(model, data):
    """Places all bodies and sites, and what their Jacobians need."""
    mujoco.mj_kinematics(model, data)
    mujoco.mj_comPos(model, data)


def close(model, data, held, closures):
    """Newton from the coordinates in `data` until the closures vanish; the freedoms `held`
    stay. `closures()` returns residuals and their derivatives over all freedoms."""
    free = [i for i in range(model.nv) if i not in held]
    for _ in range(30):
        update(model, data)
        value, slope = closures()
        step = np.zeros(model.nv)
        step[free] = np.linalg.solve(slope[:, free], -value)
        mujoco.mj_integratePos(model, data.qpos, step, 1.0)
        if np.max(np.abs(step)) < 1e-13:
            break
    update(model, data)
    worst = np.max(np.abs(closures()[0]))
    if not worst < 1e-9:
        raise ValueError(f"the loops do not close: {worst:.3g}")


class Tree:
    """The tree of one machine with its closures."""

    def __init__(self, vehicle):
        self.vehicle = vehicle
        self.model = mujoco.MjModel.from_xml_string(_model_xml(vehicle))
        self.data = mujoco.MjData(self.model)
        self.site = {self.model.site(i).name: i for i in range(self.model.nsite)}
        self.driven = [self.model.joint(n).dofadr[0] for n in ("lean", "steer")]
        self.start = self.data.qpos.copy()
        update(self.model, self.data)
        pairs = [("inner0", "outer0"), ("inner1", "outer1")]
        if vehicle.steering.layout == "cross_rod":
            pairs = [("outer0", "outer1"), ("drag_inner", "drag_outer")]
        if vehicle.handlebar:
            pairs.append(("bar_arm", "bar_crank"))
        self.rods = [(a, b, self._gap(a, b)[0]) for a, b in pairs]
        if vehicle.rocker:
            self.links = [self._gap(f"end{i}", f"foot{i}")[0] for i in (0, 1)]

    def _point(self, name):
        """Position of a site and its two Jacobians (translation, rotation)."""
        shift = np.zeros((3, self.model.nv))
        spin = np.zeros((3, self.model.nv))
        mujoco.mj_jacSite(self.model, self.data, shift, spin, self.site[name])
        return self.data.site_xpos[self.site[name]].copy(), shift, spin

    def _gap(self, a, b):
        """Distance between two sites and its derivative."""
        pa, ja, _ = self._point(a)
        pb, jb, _ = self._point(b)
        length = np.linalg.norm(pb - pa)
        return length, ((pb - pa) / length) @ (jb - ja)

    def _ground(self, name, drawn_axis, radius, section):
        """Height of a tyre's lowest point and its derivative."""
        p, shift, spin = self._point(name)
        axis = self.data.site_xmat[self.site[name]].reshape(3, 3) @ drawn_axis
        flat = np.sqrt(1.0 - axis[2] ** 2)
        turning = np.cross(spin.T, axis)[:, 2]
        value = p[2] - (radius - section) * flat - section
        return value, shift[2] + (radius - section) * axis[2] / flat * turning

    def _rise(self, i):
        """Rise of a lower ball joint along the frame's own z axis and its derivative. The
        frame's origin and axes move too, so their part is taken off."""
        p, shift, _ = self._point(f"low{i}")
        origin, carried, spin = self._point("origin")
        z = self.data.site_xmat[self.site["origin"]].reshape(3, 3)[:, 2]
        value = (p - origin) @ z - self.vehicle.corners[i].lower[2][2]
        return value, z @ (shift - carried) + (p - origin) @ np.cross(spin.T, z).T

    def _centre_link(self):
        """The link's end meets the idler's; both stay in one plane across the axes, so two
        directions there suffice. They turn with the frame, which the closed gap hides."""
        pa, ja, _ = self._point("link_end")
        pb, jb, _ = self._point("idler_end")
        frame = self.data.site_xmat[self.site["origin"]].reshape(3, 3)
        across = np.linalg.svd(self.vehicle.steering.axis[None, :])[2][1:] @ frame.T
        return list(zip(across @ (pa - pb), across @ (ja - jb)))

    def closures(self, travel):
        """All closure residuals (mm) and their derivatives over the tree's freedoms."""
        v = self.vehicle
        rows = []
        for i, corner in enumerate(v.corners):
            pa, ja, _ = self._point(f"high{i}")
            pb, jb, _ = self._point(f"held{i}")
            rows += list(zip(pa - pb, ja - jb))
            rows.append(self._ground(f"centre{i}", corner.axis, corner.radius, corner.section))
        rows.append(
            self._ground("rear", np.array([0.0, 1.0, 0.0]), v.rear_radius, v.rear_section)
        )
        for a, b, drawn in self.rods:
            length, slope = self._gap(a, b)
            rows.append((length - drawn, slope))
        if v.steering.layout == "idler_parallelogram":
            rows += self._centre_link()
        if travel is None:
            for i in (0, 1):
                length, slope = self._gap(f"end{i}", f"foot{i}")
                rows.append((length - self.links[i], slope))
        else:
            (left, dl), (right, dr) = self._rise(0), self._rise(1)
            rows.append(((left + right) / 2 - travel, (dl + dr) / 2))
        return np.array([r[0] for r in rows]), np.array([r[1] for r in rows])

    def _close(self, q, lean, steer, travel):
        """Newton on the closures with lean and crank held; a free rocker stays put."""
        d = self.data
        d.qpos[:] = q
        d.qpos[self.model.joint("lean").qposadr[0]] = lean
        d.qpos[self.model.joint("steer").qposadr[0]] = steer
        close(self.model, d, self._held(travel), lambda: self.closures(travel))
        return d.qpos.copy()

    def _held(self, travel):
        """The freedoms that are driven, and a rocker that is disconnected."""
        held = list(self.driven)
        if travel is not None and self.vehicle.rocker:
            held.append(self.model.joint("rocker").dofadr[0])
        return held

    def path(self, target):
        """Solves the pose of `target` in small steps from the drawn pose."""
        travel = target["mean_travel_mm"]
        connected = travel is None and self.vehicle.rocker is not None
        lean, steer = drives(target)
        steps = 1 + int(
            max(
                abs(target["lean_deg"]) / STEP_DEG,
                abs(target.get("steer_deg", 0.0)) / STEP_DEG,
                abs(target.get("steer_mm", 0.0)) / STEP_MM,
                abs(travel or 0.0) / STEP_MM,
            )
        )
        q = self.start
        for i in range(steps + 1):
            k = i / steps
            q = self._close(q, k * lean, k * steer, None if connected else k * (travel or 0.0))
        return self.describe(q)

    def end(self, target, drive, most):
        """The value of `drive` (steer_deg or steer_mm) towards `most` at which the loops stop
        closing, the rest of `target` held, and the closures' smallest singular value there as
        a share of that at the straight pose."""
        travel = target["mean_travel_mm"]
        lean = np.radians(target["lean_deg"])
        size, step = (1.0, STEP_MM) if drive == "steer_mm" else (np.radians(1.0), STEP_DEG)
        q, value, step = self.start, 0.0, np.copysign(step, most)
        parts = 1 + int(max(abs(target["lean_deg"]) / STEP_DEG, abs(travel or 0.0) / STEP_MM))
        for k in np.linspace(0.0, 1.0, parts + 1):
            q = self._close(q, k * lean, 0.0, None if travel is None else k * travel)
        straight = self._smallest(q, travel)
        while abs(step) > 1e-5 and abs(value) < abs(most):
            try:
                q = self._close(q, lean, (value + step) * size, travel)
                value += step
            except (ValueError, np.linalg.LinAlgError):
                step /= 2
        return value, self._smallest(q, travel) / straight

    def _smallest(self, q, travel):
        """Smallest singular value of the closures over the freedoms that are not driven."""
        self.data.qpos[:] = q
        update(self.model, self.data)
        free = [i for i in range(self.model.nv) if i not in self._held(travel)]
        return np.linalg.svd(self.closures(travel)[1][:, free], compute_uv=False)[-1]

    def describe(self, q):
        """The pose of the tree's coordinates q, read off the world positions of sites."""
        d = self.data
        d.qpos[:] = q
        update(self.model, self.data)
        origin = d.site_xpos[self.site["origin"]]
        frame = d.site_xmat[self.site["origin"]].reshape(3, 3)
        left = frame @ [0.0, 1.0, 0.0]
        ahead = _level(left)
        aside = np.cross([0.0, 0.0, 1.0], ahead)
        v = self.vehicle

        def local(name):
            return list(frame.T @ (d.site_xpos[self.site[name]] - origin))

        def on_ground(name, axis, radius, section):
            p = _lowest(d.site_xpos[self.site[name]], axis, radius, section)
            return [float((p - origin) @ ahead), float((p - origin) @ aside), float(p[2])]

        out = {
            "frame": {
                "height_change_mm": float(origin[2]),
                "pitch_deg": float(np.degrees(q[self.model.joint("pitch").qposadr[0]])),
            },
            "rear": {"contact_mm": on_ground("rear", left, v.rear_radius, v.rear_section)},
        }
        for i, corner in enumerate(v.corners):
            axis = d.site_xmat[self.site[f"centre{i}"]].reshape(3, 3) @ corner.axis
            heading = _level(axis)
            out[SIDES[i]] = {
                "contact_mm": on_ground(f"centre{i}", axis, corner.radius, corner.section),
                "heading_deg": float(np.degrees(np.arctan2(heading @ aside, heading @ ahead))),
                "inclination_deg": float(90 - np.degrees(np.arccos(axis[2]))),
                "wheel_centre_mm": local(f"centre{i}"),
                "lower_ball_joint_mm": local(f"low{i}"),
                "upper_ball_joint_mm": local(f"high{i}"),
                "rod_outer_mm": local(f"outer{i}"),
            }
        return out


def _level(axis):
    """Unit vector along the line in which the wheel plane cuts the ground, forwards."""
    ahead = np.array([axis[1], -axis[0], 0.0])
    return ahead / np.linalg.norm(ahead)


def _lowest(centre, axis, radius, section):
    """Lowest point of a torus: the ring is swept by an angle over two arms of the wheel
    plane, one of them level, and a ball of the section's radius hangs on its lowest point."""
    level = _level(axis)
    steep = np.cross(level, axis)
    angle = np.arctan2(-steep[2], -level[2])
    ring = centre + (radius - section) * (np.cos(angle) * level + np.sin(angle) * steep)
    return ring - np.array([0.0, 0.0, section])
