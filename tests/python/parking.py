"""Wheel loads of a standing and parked machine against MuJoCo's rigid bodies.

    parking.py LEANWRIGHT VEHICLE

A rigid body of the machine's mass rests with three small balls on a plane, gravity tilted by the
slope in each of four directions; MuJoCo's own contacts carry it until it stands still. Compared
with the `standing` rows that `LEANWRIGHT assess VEHICLE --json` prints. Contacts of MuJoCo give a
little, hence the tolerance of 1e-3 of the weight.
"""

import json
import subprocess
import sys

import mujoco
import numpy as np

BALL = 0.001  # m
RELATIVE = 1e-3
G = 9.80665


def loads(contacts_mm, centre_mm, mass, gravity):
    """Normal forces of the three contacts, N, when the body stands still."""
    points = np.array(contacts_mm) / 1000
    centre = np.array(centre_mm) / 1000
    balls = "".join(
        f'<geom type="sphere" size="{BALL}" pos="{x} {y} {BALL}" mass="0" name="c{i}"/>'
        for i, (x, y) in enumerate(points)
    )
    model = mujoco.MjModel.from_xml_string(
        f"""<mujoco><option gravity="{gravity[0]} {gravity[1]} {gravity[2]}" timestep="0.001"
        cone="elliptic" impratio="100"/>
        <default><geom friction="5 0 0" solref="0.005 1" condim="3"/></default>
        <worldbody><geom type="plane" size="9 9 1" name="ground"/>
        <body><freejoint/>{balls}
        <inertial pos="{centre[0]} {centre[1]} {centre[2]}" mass="{mass}"
        diaginertia="20 20 20"/></body></worldbody></mujoco>"""
    )
    data = mujoco.MjData(model)
    for _ in range(6000):
        mujoco.mj_step(model, data)
    found, force = np.zeros(3), np.zeros(6)
    for i in range(data.ncon):
        name = max(data.contact[i].geom)
        mujoco.mj_contactForce(model, data, i, force)
        found[name - 1] += force[0]
    return found


def main(program, path):
    with open(path, encoding="utf-8") as file:
        vehicle = json.load(file)
    run = subprocess.run([program, "assess", path, "--json"], capture_output=True, check=True)
    rows = json.loads(run.stdout)["strength"]["standing"]
    side = vehicle["front_wheels"]["centre_mm"]
    rear = vehicle["rear_wheel"]["centre_mm"]
    contacts = [[side[0], side[1]], [side[0], -side[1]], [rear[0], rear[1]]]
    masses = [vehicle["masses"], *vehicle.get("loadings", [])]
    worst = 0.0
    for row, masses in zip(rows, masses, strict=True):
        s, c = (f(np.radians(row["slope_deg"])) * G for f in (np.sin, np.cos))
        tilted = {
            "level_n": (0, 0, -G),
            "nose_up_n": (-s, 0, -c),
            "nose_down_n": (s, 0, -c),
            "left_up_n": (0, -s, -c),
            "right_up_n": (0, s, -c),
        }
        weight = masses["total_kg"] * G
        for name, gravity in tilted.items():
            theirs = loads(contacts, masses["centre_of_gravity_mm"], masses["total_kg"], gravity)
            gap = np.max(np.abs(theirs - row[name])) / weight
            worst = max(worst, gap)
            if gap > RELATIVE:
                print(f"{row['loading']}, {name}: {row[name]} against {theirs}")
    print(f"{len(rows)} states of loading, largest difference {worst:.1e} of the weight")
    return worst <= RELATIVE


if __name__ == "__main__":
    sys.exit(not main(*sys.argv[1:]))
