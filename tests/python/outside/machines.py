"""Random machines near the example vehicle, and what is asked of them.

Each side is drawn anew (an asymmetric machine, "as built"), or one side is mirrored. All
draws come from one seeded generator, in a fixed order.
"""

import copy

import numpy as np

KINDS = (
    "drawn",
    "lean",
    "steer",
    "travel",
    "lean and steer",
    "lean, steer and travel",
    "rocker lean",
    "rocker steer",
    "rocker lean and steer",
    "rocker off, travel",
    "near dead centre",
)

HANDLEBAR_KINDS = (
    "centre_crank handlebar",
    "idler_parallelogram handlebar",
    "cross_rod handlebar",
    "cross_rod handlebar rocker",
)
# At the very end of what assembles, and beyond it.
END_KINDS = tuple(
    f"{layout} {place}"
    for place in ("near dead centre", "beyond assembly")
    for layout in (
        "centre_crank",
        "centre_crank rocker",
        "centre_crank handlebar",
        "slider",
        "slider rocker",
        "idler_parallelogram",
        "idler_parallelogram rocker",
        "idler_parallelogram handlebar",
        "cross_rod",
        "cross_rod rocker",
        "cross_rod handlebar",
    )
)

LAYOUTS = ("centre_crank", "slider", "idler_parallelogram", "cross_rod")
LAYOUT_KINDS = ("slider", "idler_parallelogram", "cross_rod", "slider rocker")

BASE = {
    "name": "drawn at random",
    "front_wheels": {
        "centre_mm": [0, 395, 250],
        "radius_mm": 250,
        "section_radius_mm": 23.5,
        "camber_deg": 0,
        "toe_in_deg": 0,
    },
    "rear_wheel": {"centre_mm": [-1150, 0, 250], "radius_mm": 250, "section_radius_mm": 23.5},
    "lower_wishbone": {
        "front_pivot_mm": [60, 75, 175],
        "rear_pivot_mm": [-60, 75, 175],
        "ball_joint_mm": [4, 345, 170],
    },
    "upper_wishbone": {
        "front_pivot_mm": [50, 95, 330],
        "rear_pivot_mm": [-50, 95, 330],
        "ball_joint_mm": [-8, 316, 330],
    },
    "steering": {
        "layout": "centre_crank",
        "crank": {"point_mm": [-120, 0, 222], "axis": [0, 0, 1]},
        "rod_inner_mm": [-80, 30, 222],
        "rod_outer_mm": [-80, 322, 222],
    },
    "lean_coupling": {"kind": "mean_travel"},
    "masses": {"total_kg": 170, "centre_of_gravity_mm": [-560, 0, 780]},
}
ROCKER = {
    "kind": "rocker",
    "pivot_mm": [0, 0, 420],
    "axis": [1, 0, 0],
    "arm_mm": 150,
    "link_foot_mm": [10, 190, 200],
}
SPREAD = {
    "front_pivot_mm": [15, 25, 12],
    "rear_pivot_mm": [15, 25, 12],
    "ball_joint_mm": [12, 12, 12],
    "rod_inner_mm": [15, 10, 25],
    "rod_outer_mm": [15, 10, 25],
}


def _near(rng, point, spread):
    return [round(float(p + rng.uniform(-s, s)), 2) for p, s in zip(point, spread)]


def _side(rng):
    """One front corner, drawn around the example's left one."""
    wheel = dict(BASE["front_wheels"])
    wheel["toe_in_deg"] = round(float(rng.uniform(-1, 1)), 2)
    wheel["camber_deg"] = round(float(rng.uniform(-3, 3)), 2)
    wheel["centre_mm"] = _near(rng, wheel["centre_mm"], [8, 8, 5])
    wheel["section_radius_mm"] = round(float(rng.uniform(10, 40)), 2)
    out = {"front_wheels": wheel}
    for block in ("lower_wishbone", "upper_wishbone"):
        out[block] = {k: _near(rng, BASE[block][k], SPREAD[k]) for k in BASE[block]}
    out["steering"] = {
        k: _near(rng, BASE["steering"][k], SPREAD[k]) for k in ("rod_inner_mm", "rod_outer_mm")
    }
    return out


def _mirrored(side):
    """The block `right` from a side drawn on the left: y changes its sign."""
    out = copy.deepcopy(side)
    for block in out.values():
        for value in block.values():
            if isinstance(value, list):
                value[1] = -value[1]
    return out


def vehicle(rng, with_rocker, symmetric):
    """A random vehicle file as a dict."""
    out = copy.deepcopy(BASE)
    left, right = _side(rng), _side(rng)
    for block, values in left.items():
        out[block].update(values)
    out["steering"]["crank"] = {
        "point_mm": _near(rng, [-120, 0, 222], [20, 0 if symmetric else 5, 10]),
        "axis": _near(rng, [0, 0, 1], [0.2, 0 if symmetric else 0.1, 0]),
    }
    rear = round(float(rng.uniform(200, 300)), 1)
    out["rear_wheel"] = {
        "centre_mm": [round(float(rng.uniform(-1400, -900)), 1), 0, rear],
        "radius_mm": rear,
        "section_radius_mm": round(float(rng.uniform(10, 40)), 2),
    }
    foot = _near(rng, ROCKER["link_foot_mm"], [20, 30, 15])
    other = _near(rng, ROCKER["link_foot_mm"], [20, 30, 15])
    if with_rocker:
        out["lean_coupling"] = {
            "kind": "rocker",
            "pivot_mm": _near(rng, ROCKER["pivot_mm"], [20, 0 if symmetric else 5, 20]),
            "axis": _near(rng, ROCKER["axis"], [0, 0, 0.2]),
            "arm_mm": round(float(rng.uniform(120, 180)), 1),
            "link_foot_mm": foot,
        }
    if not symmetric:
        out["right"] = _mirrored(right)
        if with_rocker:
            out["right"]["lean_coupling"] = {"link_foot_mm": [other[0], -other[1], other[2]]}
    return out


def other_layout(rng, kind, symmetric):
    """A random machine that is steered by something else than a centre crank."""
    layout = kind.split()[0]
    out = vehicle(rng, "rocker" in kind, symmetric)
    _with_layout(rng, out, layout)
    if "handlebar" in kind:
        out["steering"]["handlebar"] = _handlebar(rng, out["steering"]["crank"]["point_mm"])
    return out


def _handlebar(rng, crank):
    """A handlebar behind the crank, its arm and the crank's to the same side."""
    side = -1 if rng.integers(2) else 1
    x, y, z = crank
    return {
        "kind": "drag_link",
        "point_mm": _near(rng, [x - 300, y, z + 20], [20, 15, 10]),
        "axis": _near(rng, [-0.3, 0, 1], [0.2, 0.1, 0]),
        "arm_end_mm": _near(rng, [x - 300, y + 70 * side, z + 20], [10, 10, 10]),
        "crank_end_mm": _near(rng, [x, y + 60 * side, z], [10, 10, 10]),
    }


def _with_layout(rng, out, layout):
    """Puts the steering of a layout into a machine with a centre crank."""
    steering = out["steering"]
    steering["layout"] = layout
    if layout == "slider":
        del steering["crank"]
        axis = _near(rng, [0, 1, 0], [0.2, 0, 0.2])
        steering["rail"] = {"axis": axis, "travel_mm_per_handlebar_deg": 1}
    elif layout == "idler_parallelogram":
        steering["crank"]["point_mm"] = _near(rng, [-120, 60, 222], [10, 10, 10])
        steering["idler"] = {
            "point_mm": _near(rng, [-120, -60, 222], [10, 10, 10]),
            "axis": steering["crank"]["axis"],
        }
        steering["crank_end_mm"] = _near(rng, [-80, 60, 222], [10, 10, 10])
        steering["idler_end_mm"] = _near(rng, [-80, -60, 222], [10, 10, 10])
    elif layout == "cross_rod":
        side = -1 if rng.integers(2) else 1
        for block in (steering, out.get("right", {}).get("steering", {})):
            block.pop("rod_inner_mm", None)
        steering["crank"]["point_mm"] = _near(rng, [-300, 200 * side, 222], [10, 10, 10])
        steering["drag_link"] = {
            "side": "left" if side > 0 else "right",
            "inner_mm": _near(rng, [-300, 270 * side, 222], [10, 10, 15]),
            "outer_mm": _near(rng, [0, 270 * side, 222], [10, 10, 15]),
        }


def layout_target(rng, kind):
    """Lean, steer and (without a rocker) travel together."""
    out = {"lean_deg": round(float(rng.uniform(-12, 12)), 3)}
    if "slider" in kind:
        out["steer_mm"] = round(float(rng.uniform(-30, 30)), 3)
    else:
        out["steer_deg"] = round(float(rng.uniform(-25, 25)), 3)
    travel = round(float(rng.uniform(-30, 30)), 3)
    out["mean_travel_mm"] = None if "rocker" in kind else travel
    return out


def target(rng, kind):
    """What is asked of a machine of this kind; None lets the machine's coupling decide."""
    lean, steer = rng.uniform(-12, 12), rng.uniform(-28, 28)
    travel = rng.uniform(-40, 40)
    out = {
        "lean_deg": round(float(lean), 3) if "lean" in kind else 0.0,
        "steer_deg": round(float(steer), 3) if "steer" in kind else 0.0,
        "mean_travel_mm": round(float(travel), 3) if "travel" in kind else 0.0,
    }
    if kind.startswith("rocker ") and "travel" not in kind:
        out["mean_travel_mm"] = None
    return out
