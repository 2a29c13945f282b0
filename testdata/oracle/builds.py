"""Writes builds.json: 120 builds of every kind and where each puts its contact
sites, by a tree of rigid bodies (bike.py), for package fitgeom. All numbers are
random and invented. Made with Python 3.11, numpy 1.24.2, scipy 1.10.1.

    /usr/bin/python3 builds.py > builds.json
"""

import numpy as np

import bike
import golden

rng = np.random.default_rng(2101)
shapes = np.random.default_rng(2102)  # of saddles


def u(lo, hi, digits=3):
    return round(float(rng.uniform(lo, hi)), digits)


def some(chance=0.5):
    return rng.uniform() < chance


def build(i):
    kind = i % 8
    geometry = {
        "stack_mm": u(480, 680), "reach_mm": u(340, 500), "head_angle_deg": u(62, 76), "seat_angle_deg": u(68, 79),
        "axles": {
            "chainstay_mm": u(400, 470), "bb_drop_mm": u(-20, 85), "fork_offset_mm": u(-10, 60),
            "front_radius_mm": u(300, 380), "rear_radius_mm": u(300, 380),
        },
    }
    if some():
        geometry["seat_offset_mm"] = u(-60, 90)
    b = {
        "Frame": {
            "name": "frame", "geometry": geometry, "steerer_diameter_mm": 28.6, "max_under_stem_mm": 100, "seat_tube_top_mm": u(350, 550),
            "seatpost_diameter_mm": 27.2, "seatpost_insertion_mm": 0,
        },
        "Cap": {"name": "cap", "height_mm": u(0, 30), "steerer_diameter_mm": 28.6},
        "Seatpost": {
            "name": "post", "diameter_mm": 27.2, "length_mm": u(300, 420), "setback_mm": u(-30, 35), "min_insertion_mm": 90, "min_extension_mm": 45,
        },
        "Saddle": {
            "name": "saddle", "length_mm": u(235, 290), "station_mm": u(80, 160), "height_mm": u(38, 60), "rails_from_mm": 60, "rails_to_mm": 230,
        },
        "Crank": {"name": "crank", "length_mm": u(140, 185), "q_factor_mm": u(130, 190)},
    }
    s = b["Settings"] = {
        "spacers_mm": u(0, 45), "seatpost_extension_mm": u(80, 250), "rail_clamp_mm": u(90, 180), "saddle_tilt_deg": u(-12, 8),
    }
    if some():
        b["Saddle"]["dip_mm"] = u(-8, 20)
    if i % 2:
        of = [round(float(v), 3) for v in shapes.uniform([0, 0, 50, 0.4], [25, 15, 120, 1.6])]
        b["Saddle"] |= dict(zip(("nose_droop_mm", "rear_droop_mm", "reference_width_mm", "widening"), of))
    if some():
        s["spacers_above_mm"] = u(0, 20)
    if some(0.6):
        b["Pedal"] = {"name": "pedal", "foot_height_mm": u(-5, 40), "foot_offset_mm": u(40, 80)}
        if some():
            s["lift_left_mm"], s["lift_right_mm"] = u(0, 12), u(0, 12)
    if kind in (2, 5) or some(0.3):
        b["Seatpost"]["travel_mm"] = u(80, 200)
        s["lowered_mm"] = u(0, b["Seatpost"]["travel_mm"])
    if i % 3 != 0:
        wheels = b["Wheels"] = {}
        for name, lo, hi in ("front_sag_mm", 0, 40), ("rear_sag_mm", 0, 50), ("front_radius_mm", 300, 380), ("rear_radius_mm", 300, 380):
            if some():
                wheels[name] = u(lo, hi)

    stem = {
        "name": "stem", "length_mm": u(35, 140), "angle_deg": u(-40, 40), "height_mm": u(30, 50), "steerer_diameter_mm": 28.6,
        "bar_diameter_mm": 31.8, "flippable": True,
    }
    bar = b["Handlebar"] = {"name": "bar"}
    if kind in (1, 4):  # in one piece with its stem
        bar["stem"] = {k: stem[k] for k in ("name", "length_mm", "angle_deg", "height_mm", "steerer_diameter_mm")} | {"bar_diameter_mm": 0, "flippable": False}
        bar["drawn_at_deg"] = u(66, 76)
    else:
        b["Stem"] = stem
        bar["clamp_diameter_mm"], bar["rotation_range_deg"] = 31.8, 30
        s["flipped"] = some()
        s["bar_rotation_deg"] = u(-20, 20)
    bar["aero_diameter_mm"] = 31.8
    if kind in (0, 1, 6):
        d = bar["drop"] = {"width_mm": u(340, 480), "reach_mm": u(60, 100), "drop_mm": u(100, 160)}
        if kind == 1 or some():
            d["flare_deg"] = u(0.5, 30)
        else:
            d["drops_width_mm"] = u(380, 600)
        if some(0.7):
            d["hook_mm"], d["tops_width_mm"] = u(0, 60), u(150, 340)
        b["Lever"] = {"name": "lever", "reach_mm": u(20, 60), "rise_mm": u(-10, 60)}
    elif kind in (2, 4, 5):
        bar["flat"] = {
            "width_mm": u(600, 800), "centre_mm": u(0, 300), "rise_mm": u(-40, 60), "forward_mm": u(-40, 60), "backsweep_deg": u(-5, 45),
            "upsweep_deg": u(-8, 15), "hand_mm": u(40, 90),
        }
    else:
        bar["base"] = {"width_mm": u(360, 460), "reach_mm": u(60, 160), "rise_mm": u(-60, 40)}
    if kind in (3, 6, 7):
        a = b["Aero"] = {
            "name": "aero", "bar_diameter_mm": 31.8, "extension_drop_mm": u(-20, 60), "extension_angle_deg": u(-10, 40), "extension_width_mm": u(60, 200),
        }
        for part, setting, lo, hi in (
            ("tilt_deg", "aero_tilt_deg", -10, 30), ("pad_rise_mm", "pad_rise_mm", 20, 150), ("pad_forward_mm", "pad_forward_mm", -100, 60),
            ("pad_width_mm", "pad_width_mm", 120, 280), ("extension_mm", "extension_mm", 220, 420),
        ):
            a[part], s[setting] = {"from": lo, "to": hi}, u(lo, hi)
            if part in ("tilt_deg", "pad_rise_mm"):
                a[part]["step"], s[setting] = 0.5, round(s[setting] * 2) / 2
    return b


cases = []
while len(cases) < 120:
    b = build(len(cases))
    sites, turn = bike.position(b)
    if abs(turn) > 14:
        continue  # wheels that the documentation refuses
    cases.append({"input": b, "expected": {"pitch_deg": turn, "sites": {k: v.tolist() for k, v in sorted(sites.items())}}})
golden.write("builds", cases)
