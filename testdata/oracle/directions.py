"""Writes directions.json: 500 builds with flared and swept bars, levers moved and turned,
cleats, wedges and cranks and pedals that differ from side to side, and where each puts hands
and feet and which way they lie, by a tree of rigid bodies (bike.py), for package fitgeom. Each
input says what is other than in the first one. All numbers are random and invented. Made with
Python 3.11, numpy 1.24.2, scipy 1.10.1.

    /usr/bin/python3 directions.py > directions.json
"""

import numpy as np

import bike
import golden

rng = np.random.default_rng(2103)


def u(lo, hi, digits=2):
    return round(float(rng.uniform(lo, hi)), digits)


def some(chance=0.5):
    return rng.uniform() < chance


BASE = {
    "Frame": {
        "name": "frame", "geometry": {"stack_mm": 571.5, "reach_mm": 388.25, "head_angle_deg": 72.25, "seat_angle_deg": 73.75},
        "steerer_diameter_mm": 28.6, "max_under_stem_mm": 60, "seat_tube_top_mm": 480, "seatpost_diameter_mm": 27.2, "seatpost_insertion_mm": 0,
    },
    "Cap": {"name": "cap", "height_mm": 12, "steerer_diameter_mm": 28.6},
    "Stem": {"name": "stem", "length_mm": 95, "angle_deg": -7, "height_mm": 40, "steerer_diameter_mm": 28.6, "bar_diameter_mm": 31.8, "flippable": True},
    "Seatpost": {"name": "post", "diameter_mm": 27.2, "length_mm": 380, "setback_mm": 15, "min_insertion_mm": 90, "min_extension_mm": 45},
    "Saddle": {"name": "saddle", "length_mm": 262, "station_mm": 128, "height_mm": 47, "rails_from_mm": 80, "rails_to_mm": 200},
}
BASE_SETTINGS = {"spacers_mm": 15, "seatpost_extension_mm": 170, "rail_clamp_mm": 140}


def optional(to, chance, **ranges):
    for name, (lo, hi) in ranges.items():
        if some(chance):
            to[name] = u(lo, hi)


def case(i):
    s = {"saddle_tilt_deg": u(-8, 6), "bar_rotation_deg": u(-25, 25)}
    b = {"Settings": s, "Crank": {"length_mm": u(140, 185), "q_factor_mm": u(130, 190)}, "Handlebar": {"name": "bar", "clamp_diameter_mm": 31.8}}
    bar = b["Handlebar"]
    if i % 5 < 3:
        d = bar["drop"] = {"width_mm": u(340, 480), "reach_mm": u(60, 100), "drop_mm": u(100, 160)}
        optional(d, 0.8, flare_deg=(0.5, 35), hook_mm=(0, 60))
        if some(0.7):
            d["tops_width_mm"] = u(180, 340)
            optional(d, 0.6, tops_centre_mm=(20, 150), tops_rise_mm=(-20, 40), tops_backsweep_deg=(-15, 25), tops_upsweep_deg=(-10, 15))
        lever = b["Lever"] = {"name": "lever", "reach_mm": u(20, 60), "rise_mm": u(-10, 60)}
        optional(lever, 0.5, offset_mm=(-15, 15), slope_deg=(-20, 30))
        optional(s, 0.6, lever_in_deg=(-25, 25))
        if some(0.6):
            d["bend_radius_mm"], s["lever_up_mm"] = u(35, 120), u(-35, 35)
            optional(d, 0.7, bend_below_mm=(-10, 80))
    elif i % 5 == 3:
        bar["flat"] = {
            "width_mm": u(600, 800), "centre_mm": u(0, 300), "rise_mm": u(-40, 60), "forward_mm": u(-40, 60), "backsweep_deg": u(-5, 45),
            "upsweep_deg": u(-8, 15), "hand_mm": u(40, 90),
        }
    else:
        base = bar["base"] = {"width_mm": u(360, 460), "reach_mm": u(60, 160), "rise_mm": u(-60, 40)}
        optional(base, 0.7, slope_deg=(-20, 40))
    optional(b["Crank"], 0.5, right_length_mm=(110, 185))
    if some(0.9):
        pedal = b["Pedal"] = {"name": "pedal", "foot_height_mm": u(-5, 40), "foot_offset_mm": u(40, 80)}
        if some(0.4):
            pedal["right"] = {"foot_height_mm": u(-5, 60), "foot_offset_mm": u(40, 95)}
        optional(s, 0.4, lift_left_mm=(0, 12), lift_right_mm=(0, 12))
        for side in "left", "right":
            if some(0.8):
                cleat = s["cleat_" + side] = {}
                optional(cleat, 0.7, back_mm=(-20, 50), in_mm=(-12, 12), toes_out_deg=(-20, 25), wedge_deg=(-12, 12))
    return b


cases = []
for i in range(500):
    b = case(i)
    if i == 0:
        b = BASE | b
        b["Settings"] |= BASE_SETTINGS
    full = BASE | b
    full["Settings"] = BASE_SETTINGS | b["Settings"]
    faces = {}
    sites, _ = bike.position(full, faces)
    cases.append({"input": b, "expected": {
        "sites": {k: [round(x, 11) for x in v.tolist()] for k, v in sorted(sites.items()) if "saddle" not in k},
        "faces": {k: [round(x, 11) for x in v.tolist()] for k, v in sorted(faces.items()) if "saddle" not in k},
    }})
golden.write("directions", cases)
