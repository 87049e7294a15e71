"""Reads a vehicle file (the JSON that a builder submits) into plain arrays.

Millimetres; angles in radians; frame axes x forward, y left, z up. `side` is 0 for left
and 1 for right. A block that `right` leaves out is the mirror image of the left one.
"""

from dataclasses import dataclass

import numpy as np

MIRROR = np.array([1.0, -1.0, 1.0])


@dataclass
class Corner:
    """One front corner as drawn."""

    lower: np.ndarray  # rows: front pivot, rear pivot, ball joint
    upper: np.ndarray
    rod_inner: np.ndarray
    rod_outer: np.ndarray
    centre: np.ndarray
    axis: np.ndarray  # unit spin axis, pointing to the left on both sides
    radius: float
    section: float


@dataclass
class Rocker:
    """A rocker that couples the lower wishbones; `feet` are rows left, right."""

    pivot: np.ndarray
    axis: np.ndarray
    arm: float
    feet: np.ndarray


@dataclass
class Steering:
    """What drives the rods; the last six by layout only."""

    layout: str  # centre_crank, slider, idler_parallelogram or cross_rod
    point: np.ndarray | None  # of the crank axis; a slider has none
    axis: np.ndarray  # of the crank, or direction of the rail
    idler_point: np.ndarray | None  # of the idler axis, which is parallel to the crank's
    crank_end: np.ndarray | None  # centre link's ends
    idler_end: np.ndarray | None
    driven: int | None  # side that the drag link moves
    drag_inner: np.ndarray | None
    drag_outer: np.ndarray | None


@dataclass
class Handlebar:
    """A handlebar that turns the crank by a drag link between two ends."""

    point: np.ndarray
    axis: np.ndarray
    arm_end: np.ndarray
    crank_end: np.ndarray


@dataclass
class Vehicle:
    """The whole machine as drawn."""

    corners: tuple
    rear_centre: np.ndarray
    rear_radius: float
    rear_section: float
    steering: Steering
    rocker: Rocker | None
    handlebar: Handlebar | None  # None: the drive is the crank itself


def read(data):
    """Builds a `Vehicle` from the parsed JSON object `data`."""
    right = data.get("right", {})
    rear = data["rear_wheel"]
    return Vehicle(
        corners=(_corner(data, {}, 0), _corner(data, right, 1)),
        rear_centre=np.array(rear["centre_mm"], float),
        rear_radius=float(rear["radius_mm"]),
        rear_section=float(rear["section_radius_mm"]),
        steering=_steering(data["steering"]),
        rocker=_rocker(data["lean_coupling"], right.get("lean_coupling", {})),
        handlebar=_handlebar(data["steering"].get("handlebar", {"kind": "direct"})),
    )


def _handlebar(data):
    if data["kind"] == "direct":
        return None
    names = ("arm_end_mm", "crank_end_mm")
    return Handlebar(
        np.array(data["point_mm"], float),
        _unit(data["axis"]),
        *(np.array(data[name], float) for name in names),
    )


def _steering(data):
    def point(block, name):
        return np.array(block[name], float) if name in block else None

    drag, idler = data.get("drag_link", {}), data.get("idler", {})
    crank = data.get("crank") or data["rail"]
    return Steering(
        layout=data["layout"],
        point=point(crank, "point_mm"),
        axis=_unit(crank["axis"]),
        idler_point=point(idler, "point_mm"),
        crank_end=point(data, "crank_end_mm"),
        idler_end=point(data, "idler_end_mm"),
        driven={"left": 0, "right": 1}.get(drag.get("side")),
        drag_inner=point(drag, "inner_mm"),
        drag_outer=point(drag, "outer_mm"),
    )


def _unit(v):
    v = np.array(v, float)
    return v / np.linalg.norm(v)


def _corner(left, right, side):
    def point(block, name):
        if side and name in right.get(block, {}):
            return np.array(right[block][name], float)
        p = np.array(left[block][name], float)
        return p * MIRROR if side else p

    def arm(block):
        names = ("front_pivot_mm", "rear_pivot_mm", "ball_joint_mm")
        return np.array([point(block, name) for name in names])

    wheel = {**left["front_wheels"], **(right.get("front_wheels", {}) if side else {})}
    return Corner(
        lower=arm("lower_wishbone"),
        upper=arm("upper_wishbone"),
        # A cross rod has no inner end.
        rod_inner=point("steering", "rod_inner_mm") if "rod_inner_mm" in left["steering"] else None,
        rod_outer=point("steering", "rod_outer_mm"),
        centre=point("front_wheels", "centre_mm"),
        axis=_spin_axis(side, np.radians(wheel["toe_in_deg"]), np.radians(wheel["camber_deg"])),
        radius=float(wheel["radius_mm"]),
        section=float(wheel["section_radius_mm"]),
    )


def _spin_axis(side, toe_in, camber):
    outward = np.array(
        [np.sin(toe_in) * np.cos(camber), np.cos(toe_in) * np.cos(camber), -np.sin(camber)]
    )
    return -(outward * MIRROR) if side else outward


def _rocker(left, right):
    if left["kind"] == "mean_travel":
        return None
    foot = np.array(left["link_foot_mm"], float)
    other = np.array(right["link_foot_mm"], float) if "link_foot_mm" in right else foot * MIRROR
    return Rocker(
        pivot=np.array(left["pivot_mm"], float),
        axis=_unit(left["axis"]),
        arm=float(left["arm_mm"]),
        feet=np.array([foot, other]),
    )
