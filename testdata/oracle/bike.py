"""A bicycle as a tree of rigid bodies, for the generators beside it. It knows the
definitions of package fitgeom's documentation and none of its code: bodies are 4x4
matrices that scipy.spatial.transform makes, and how a frame stands is found as a
root. Made with Python 3.11, numpy 1.24.2, scipy 1.10.1."""

import numpy as np
from scipy.optimize import brentq
from scipy.spatial.transform import Rotation


def move(x=0.0, y=0.0, z=0.0):
    m = np.eye(4)
    m[:3, 3] = x, y, z
    return m


def nose_up(degrees):
    """X turns towards Z: against the right-hand turn about Y, which points left."""
    m = np.eye(4)
    m[:3, :3] = Rotation.from_euler("y", -degrees, degrees=True).as_matrix()
    return m


def place(body, x=0.0, y=0.0, z=0.0):
    return (body @ [x, y, z, 1.0])[:3]


def axles(geometry):
    """Rear and front axle as drawn: the front one slides down the steering axis
    until its height above the rear one is what the radii say."""
    a = geometry["axles"]
    rear = np.array([-brentq(lambda x: np.hypot(x, a["bb_drop_mm"]) - a["chainstay_mm"], 1, 700, xtol=1e-13), 0, a["bb_drop_mm"]])
    head = move(geometry["reach_mm"], 0, geometry["stack_mm"]) @ nose_up(90 - geometry["head_angle_deg"])
    want = rear[2] + a["front_radius_mm"] - a["rear_radius_mm"]
    down = brentq(lambda k: place(head, a["fork_offset_mm"], 0, -k)[2] - want, 100, 1200, xtol=1e-13)
    return rear, place(head, a["fork_offset_mm"], 0, -down), head


def pitch(geometry, wheels):
    """By how much the frame turns, nose up: sag moves the axles in the frame, and
    then it turns until the axles are as far above the ground as the tyres have it."""
    if not any(wheels.values()):
        return 0.0
    rear, front, head = axles(geometry)
    front = front + wheels.get("front_sag_mm", 0) * head[:3, 2]
    rear = rear + [0, 0, wheels.get("rear_sag_mm", 0)]
    a = geometry["axles"]
    rise = (wheels.get("front_radius_mm") or a["front_radius_mm"]) - (wheels.get("rear_radius_mm") or a["rear_radius_mm"])

    def off(turn):
        r, f = place(nose_up(turn), *rear), place(nose_up(turn), *front)
        return f[2] - r[2] - rise

    return brentq(off, -40, 40, xtol=1e-14)


def seat_edge(frame, turn):
    """The seat tube's upper edge; X of the body is forward and square to the axis, Z up it."""
    g = frame["geometry"]
    return nose_up(turn) @ nose_up(90 - g["seat_angle_deg"]) @ move(g.get("seat_offset_mm", 0), 0, frame["seat_tube_top_mm"])


def seat_sites(frame, turn, post, saddle, s):
    clamp = place(seat_edge(frame, turn) @ move(-post["setback_mm"], 0, s["seatpost_extension_mm"] - s.get("lowered_mm", 0)))
    # The saddle's own axes have their origin at the nose's station on the rails.
    body = move(*clamp) @ nose_up(s["saddle_tilt_deg"]) @ move(s["rail_clamp_mm"])
    up, dip = saddle["height_mm"], saddle.get("dip_mm", 0)
    # The reference is where the saddle is 80 mm wide, wherever its station was read.
    back = saddle["station_mm"] + saddle.get("widening", 0) * (80 - saddle.get("reference_width_mm", 80))
    return {
        "saddle_reference": place(body, -back, 0, up),
        "saddle_nose": place(body, 0, 0, up + dip - saddle.get("nose_droop_mm", 0)),
        "saddle_rear": place(body, -saddle["length_mm"], 0, up + dip - saddle.get("rear_droop_mm", 0)),
    }


def bar_sites(bar, lever, aero, s, clamp, turned):
    """clamp is the clamp's centre, turned by how much the bar is turned against level."""
    body = move(*clamp) @ nose_up(turned)
    out = {"bar_clamp": place(body)}

    def both(name, frame, x, half, z):
        out[name + "_left"], out[name + "_right"] = place(frame, x, half, z), place(frame, x, -half, z)

    if "drop" in bar:
        d = bar["drop"]
        both("hoods", body, d["reach_mm"] + lever["reach_mm"], d["width_mm"] / 2, lever["rise_mm"])
        if "drops_width_mm" in d:
            both("drops", body, d["reach_mm"] - d.get("hook_mm", 0), d["drops_width_mm"] / 2, -d["drop_mm"])
        elif "flare_deg" in d:
            lean = Rotation.from_euler("x", d["flare_deg"], degrees=True).apply([0, 0, -1])  # outwards on the left
            both("drops", body, d["reach_mm"] - d.get("hook_mm", 0), d["width_mm"] / 2 + lean[1] * d["drop_mm"] / -lean[2], -d["drop_mm"])
        if "tops_width_mm" in d:
            both("tops", body, 0, d["tops_width_mm"] / 2, 0)
    elif "flat" in bar:
        f = bar["flat"]
        # A tube that points left, swept up about X and then back about Z.
        along = (Rotation.from_euler("z", f["backsweep_deg"], degrees=True) * Rotation.from_euler("x", f["upsweep_deg"], degrees=True)).apply([0, 1, 0])
        start = np.array([f.get("forward_mm", 0), f["centre_mm"] / 2, f.get("rise_mm", 0)])
        end = brentq(lambda t: (start + t * along)[1] - f["width_mm"] / 2, 0, 2000, xtol=1e-13)
        at = start + (end - f["hand_mm"]) * along
        both("grip", body, at[0], at[1], at[2])
    else:
        b = bar["base"]
        both("grip", body, b["reach_mm"], b["width_mm"] / 2, b.get("rise_mm", 0))
    if aero:
        body = move(*clamp) @ nose_up(s["aero_tilt_deg"])
        both("pad", body, s["pad_forward_mm"], s["pad_width_mm"] / 2, s["pad_rise_mm"])
        line = body @ move(0, 0, s["pad_rise_mm"] - aero.get("extension_drop_mm", 0)) @ nose_up(aero.get("extension_angle_deg", 0))
        both("extension", line, s["extension_mm"], aero["extension_width_mm"] / 2, 0)
    return out


def bar_clamp(frame, turn, up, stem, flipped):
    """The bar's clamp and the stem's direction; up is cap and spacers."""
    g = frame["geometry"]
    head = nose_up(turn) @ move(g["reach_mm"], 0, g["stack_mm"]) @ nose_up(90 - g["head_angle_deg"])
    angle = -stem["angle_deg"] if flipped else stem["angle_deg"]
    return place(head @ move(0, 0, up + stem["height_mm"] / 2) @ nose_up(angle), stem["length_mm"])


def position(build):
    """Every site that a build offers."""
    s, frame = build["Settings"], build["Frame"]
    turn = pitch(frame["geometry"], build.get("Wheels", {}))
    bar = build["Handlebar"]
    one_piece = "stem" in bar
    stem = bar["stem"] if one_piece else build["Stem"]
    clamp = bar_clamp(frame, turn, build["Cap"]["height_mm"] + s.get("spacers_mm", 0), stem, s.get("flipped", False))
    turned = bar["drawn_at_deg"] - (frame["geometry"]["head_angle_deg"] - turn) if one_piece else s.get("bar_rotation_deg", 0)
    out = bar_sites(bar, build.get("Lever"), build.get("Aero"), s, clamp, turned)
    out |= seat_sites(frame, turn, build["Seatpost"], build["Saddle"], s)
    crank, pedal = build["Crank"], build.get("Pedal")
    for side, sign, lift in ("left", 1, "lift_left_mm"), ("right", -1, "lift_right_mm"):
        out["pedal_" + side] = np.array([crank["length_mm"], sign * crank["q_factor_mm"] / 2, 0])
        if pedal:
            out["foot_" + side] = out["pedal_" + side] + [0, sign * pedal["foot_offset_mm"], pedal["foot_height_mm"] + s.get(lift, 0)]
    return out, turn
