"""The form in which every reference returns a pose, and how two poses are compared.

The form is that of `leanwright pose --json`, so that all of them lie side by side.
"""

import numpy as np

SIDES = ("left", "right")
POINTS = ("wheel_centre_mm", "lower_ball_joint_mm", "upper_ball_joint_mm", "rod_outer_mm")


def drives(target):
    """Lean in radians, and steer in radians or (a slider's) mm of rail."""
    steer = target["steer_mm"] if "steer_mm" in target else np.radians(target["steer_deg"])
    return np.radians(target["lean_deg"]), steer


def ground_rotation(lean, pitch):
    """Frame axes to ground axes for zero yaw: pitch about y, then lean (roll) about x."""
    cl, sl, cp, sp = np.cos(lean), np.sin(lean), np.cos(pitch), np.sin(pitch)
    about_y = np.array([[cp, 0, sp], [0, 1, 0], [-sp, 0, cp]])
    about_x = np.array([[1, 0, 0], [0, cl, -sl], [0, sl, cl]])
    return about_y @ about_x


def contact(centre, axis, radius, section):
    """Lowest point of a torus tyre; `centre` and the unit `axis` in ground axes."""
    up = np.array([0.0, 0.0, 1.0])
    down = (axis[2] * axis - up) / np.sqrt(1.0 - axis[2] ** 2)
    return centre + (radius - section) * down - section * up


def describe(vehicle, lean, pitch, height, sides):
    """The pose as a nested dict; `sides` holds per side a dict of points and the spin axis
    in frame axes (keys as in `POINTS` and "axis")."""
    rotation = ground_rotation(lean, pitch)
    lift = np.array([0.0, 0.0, height])
    rear_heading = np.cross(rotation @ [0.0, 1.0, 0.0], [0.0, 0.0, 1.0])
    yaw = np.arctan2(rear_heading[1], rear_heading[0])
    turn = np.array([[np.cos(yaw), np.sin(yaw), 0], [-np.sin(yaw), np.cos(yaw), 0], [0, 0, 1]])

    def grounded(centre, axis, radius, section):
        return turn @ contact(rotation @ centre + lift, rotation @ axis, radius, section)

    out = {"frame": {"height_change_mm": float(height), "pitch_deg": float(np.degrees(pitch))}}
    for name, corner, side in zip(SIDES, vehicle.corners, sides):
        axis = rotation @ side["axis"]
        heading = turn @ np.cross(axis, [0.0, 0.0, 1.0])
        out[name] = {
            "contact_mm": list(
                grounded(side["wheel_centre_mm"], side["axis"], corner.radius, corner.section)
            ),
            "heading_deg": float(np.degrees(np.arctan2(heading[1], heading[0]))),
            "inclination_deg": float(np.degrees(np.arcsin(axis[2]))),
            **{key: list(side[key]) for key in POINTS},
        }
    out["rear"] = {
        "contact_mm": list(
            grounded(
                vehicle.rear_centre,
                np.array([0.0, 1.0, 0.0]),
                vehicle.rear_radius,
                vehicle.rear_section,
            )
        )
    }
    return out


def differences(a, b):
    """Largest difference of two poses: (mm, degrees)."""
    mm = [abs(a["frame"]["height_change_mm"] - b["frame"]["height_change_mm"])]
    deg = [abs(a["frame"]["pitch_deg"] - b["frame"]["pitch_deg"])]
    mm += list(np.abs(np.subtract(a["rear"]["contact_mm"], b["rear"]["contact_mm"])))
    for side in SIDES:
        for key in POINTS + ("contact_mm",):
            mm += list(np.abs(np.subtract(a[side][key], b[side][key])))
        for key in ("heading_deg", "inclination_deg"):
            deg.append(abs(a[side][key] - b[side][key]))
    return float(max(mm)), float(max(deg))
