"""Writes parts.json: 500 builds with adjustable stems, quill stems in threaded steerers,
stems and seatposts with suspension, seatposts that are offset forward, and extensions whose
width is set, and where each puts saddle, hands and pads, by a tree of rigid bodies (bike.py),
for package fitgeom. Each input says what is other than in the first one. All numbers are
random and invented. Made with Python 3.11, numpy 1.24.2, scipy 1.10.1.

    /usr/bin/python3 parts.py > parts.json
"""

import numpy as np

import bike
import golden

rng = np.random.default_rng(1818)


def u(lo, hi, digits=2):
    return round(float(rng.uniform(lo, hi)), digits)


def some(chance=0.5):
    return rng.uniform() < chance


BASE = {
    "Crank": {"name": "crank", "length_mm": 172.5, "q_factor_mm": 146},
    "Saddle": {"name": "saddle", "length_mm": 262, "station_mm": 128, "height_mm": 47, "rails_from_mm": 80, "rails_to_mm": 200},
    "Handlebar": {"name": "bar", "clamp_diameter_mm": 31.8, "aero_diameter_mm": 31.8, "base": {"width_mm": 400, "reach_mm": 120, "rise_mm": -20}},
}


def case():
    threaded = some(0.4)
    name = {"steerer_interface": "threaded 25.4"} if threaded else {}
    s = {"saddle_tilt_deg": u(-8, 6), "bar_rotation_deg": u(-25, 25), "seatpost_extension_mm": u(60, 220), "rail_clamp_mm": u(80, 200)}
    stem = {"name": "stem", "length_mm": u(40, 140), "angle_deg": u(-20, 40), "height_mm": u(30, 60), "steerer_diameter_mm": 28.6, "bar_diameter_mm": 31.8, "flippable": True} | name
    if some():
        stem["angles_deg"], s["stem_angle_deg"] = {"from": -60, "to": 60, "step": 1}, u(-60, 60)
    if threaded:
        stem["quill_mm"], s["quill_mm"] = {"from": 10, "to": 130, "step": 1}, u(10, 130)
    else:
        s["spacers_mm"] = u(0, 40)
    if some():
        stem["sag_mm"] = u(1, 40)
    s["flipped"] = some(0.4)
    post = {"name": "post", "diameter_mm": 27.2, "length_mm": 400, "setback_mm": u(-60, 60), "min_insertion_mm": 90, "min_extension_mm": 45}
    if some():
        post["sag_mm"] = u(1, 50)
    if some(0.3):
        post["interface"] = "blade"
    aero = {
        "name": "aero bar", "bar_diameter_mm": 31.8, "tilt_deg": {"from": 0, "to": 20, "step": 1}, "pad_rise_mm": {"from": 20, "to": 120, "step": 1},
        "pad_forward_mm": {"from": -90, "to": 60}, "pad_width_mm": {"from": 120, "to": 300}, "extension_mm": {"from": 200, "to": 400},
        "extension_drop_mm": u(0, 40), "extension_angle_deg": u(-10, 40), "extension_width_mm": u(60, 140),
    }
    s |= {"aero_tilt_deg": u(0, 20), "pad_rise_mm": u(20, 120), "pad_forward_mm": u(-90, 60), "pad_width_mm": u(120, 300), "extension_mm": u(200, 400)}
    if some():
        aero["extension_widths_mm"], s["extension_width_mm"] = {"from": 40, "to": 260}, u(40, 260)
    frame = {
        "name": "frame", "geometry": {"stack_mm": u(480, 640), "reach_mm": u(350, 480), "head_angle_deg": u(63, 75), "seat_angle_deg": u(70, 79), "seat_offset_mm": u(-20, 20)},
        "steerer_diameter_mm": 28.6, "max_under_stem_mm": 80, "seat_tube_top_mm": u(400, 560), "seatpost_diameter_mm": 27.2, "seatpost_insertion_mm": 0,
    } | name
    if "interface" in post:
        frame["seatpost_interface"] = "blade"
    cap = {"name": "cap", "height_mm": u(0, 30), "steerer_diameter_mm": 28.6} | name
    return {"Frame": frame, "Cap": cap, "Stem": stem, "Seatpost": post, "Aero": aero, "Settings": s}


cases = []
for i in range(500):
    b = case()
    sites, _ = bike.position(BASE | b)
    if i == 0:
        b = BASE | b
    cases.append({"input": b, "expected": {k: [round(x, 11) for x in v.tolist()] for k, v in sorted(sites.items())}})
golden.write("parts", cases)
