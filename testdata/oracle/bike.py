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
    clamp = place(seat_edge(frame, turn) @ move(-post["setback_mm"], 0, s["seatpost_extension_mm"] - s.get("lowered_mm", 0) - post.get("sag_mm", 0)))
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


def about(axis, degrees):
    m = np.eye(4)
    m[:3, :3] = Rotation.from_euler(axis, degrees, degrees=True).as_matrix()
    return m


def facing(body):
    """Tilt, yaw and roll: where the body's forward and left point, seen along the axes."""
    f, l = body[:3, 0], body[:3, 1]
    return np.degrees([np.arctan2(f[2], f[0]), np.arctan2(f[1], f[0]), np.arctan2(l[2], l[1])])


def swept(body, sign, start, half, back, up, short):
    """A tube that leaves start to one side, swept up and then back, to half of a width and
    then shorter by so much along it."""
    body = body @ move(start[0], sign * start[1], start[2]) @ about("z", sign * back) @ about("x", sign * up)
    left = (about("z", back) @ about("x", up))[:3, 1]
    end = brentq(lambda t: start[1] + t * left[1] - half, 0, 2000, xtol=1e-13)
    return body @ move(0, sign * (end - short), 0)


def hood(body, sign, d, lever, s):
    """A lever: out to where the bend's plane stands, over by its flare, forward to the bend's
    centre, up round it, out to the tube, in about that, and to the hood."""
    radius, below = d.get("bend_radius_mm", 0), d.get("bend_below_mm", 0)
    up = np.degrees(s.get("lever_up_mm", 0) / radius) if radius else 0
    body = body @ move(0, sign * d["width_mm"] / 2, 0) @ about("x", sign * d.get("flare_deg", 0))
    body = body @ move(d["reach_mm"] - radius, 0, -below) @ nose_up(up) @ move(radius)
    body = body @ about("z", -sign * s.get("lever_in_deg", 0))
    return body @ move(lever["reach_mm"], sign * lever.get("offset_mm", 0), lever["rise_mm"] + below) @ nose_up(lever.get("slope_deg", 0))


def bar_sites(bar, lever, aero, s, clamp, turned, faces=None):
    """clamp is the clamp's centre, turned by how much the bar is turned against level. Faces
    takes the directions of the sites."""
    body = move(*clamp) @ nose_up(turned)
    out = {"bar_clamp": place(body)}
    faces = {} if faces is None else faces

    def both(name, frame):
        for side, sign in ("left", 1), ("right", -1):
            at = frame(sign)
            out[f"{name}_{side}"], faces[f"{name}_{side}"] = place(at), facing(at)

    if "drop" in bar:
        d = bar["drop"]
        both("hoods", lambda sign: hood(body, sign, d, lever, s))
        half = None
        if "drops_width_mm" in d:
            half = d["drops_width_mm"] / 2
        elif "flare_deg" in d:
            lean = Rotation.from_euler("x", d["flare_deg"], degrees=True).apply([0, 0, -1])  # outwards on the left
            half = d["width_mm"] / 2 + lean[1] * d["drop_mm"] / -lean[2]
        if half is not None:
            both("drops", lambda sign: body @ move(d["reach_mm"] - d.get("hook_mm", 0), sign * half, -d["drop_mm"]) @ about("x", sign * d.get("flare_deg", 0)))
        if "tops_width_mm" in d:
            start = (0, d.get("tops_centre_mm", 0) / 2, d.get("tops_rise_mm", 0))
            both("tops", lambda sign: swept(body, sign, start, d["tops_width_mm"] / 2, d.get("tops_backsweep_deg", 0), d.get("tops_upsweep_deg", 0), 0))
    elif "flat" in bar:
        f = bar["flat"]
        start = (f.get("forward_mm", 0), f["centre_mm"] / 2, f.get("rise_mm", 0))
        both("grip", lambda sign: swept(body, sign, start, f["width_mm"] / 2, f["backsweep_deg"], f["upsweep_deg"], f["hand_mm"]))
    else:
        b = bar["base"]
        both("grip", lambda sign: body @ move(b["reach_mm"], sign * b["width_mm"] / 2, b.get("rise_mm", 0)) @ nose_up(b.get("slope_deg", 0)))
    if aero:
        body = move(*clamp) @ nose_up(s["aero_tilt_deg"])
        both("pad", lambda sign: body @ move(s["pad_forward_mm"], sign * s["pad_width_mm"] / 2, s["pad_rise_mm"]))
        line = body @ move(0, 0, s["pad_rise_mm"] - aero.get("extension_drop_mm", 0)) @ nose_up(aero.get("extension_angle_deg", 0))
        apart = s["extension_width_mm"] if "extension_widths_mm" in aero else aero["extension_width_mm"]
        both("extension", lambda sign: line @ move(s["extension_mm"], sign * apart / 2, 0))
    return out


def feet_sites(crank, pedal, s, faces):
    """Pedals and feet of both sides: from the crank's outer face out to the sole and up, and
    there the foot's own axes, turned, with the sole's slope as it is seen from behind."""
    out = {}
    for side, sign in ("left", 1), ("right", -1):
        length = crank.get("right_length_mm", crank["length_mm"]) if side == "right" else crank["length_mm"]
        body = move(length, sign * crank["q_factor_mm"] / 2, 0)
        out["pedal_" + side] = place(body)
        if not pedal:
            continue
        size = pedal.get("right", pedal) if side == "right" else pedal
        cleat = s.get("cleat_" + side, {})
        body = body @ move(cleat.get("back_mm", 0), sign * (size["foot_offset_mm"] + cleat.get("in_mm", 0)), size["foot_height_mm"] + s.get(f"lift_{side}_mm", 0))
        out["foot_" + side] = place(body)
        toes, slope = sign * cleat.get("toes_out_deg", 0), -sign * cleat.get("wedge_deg", 0)
        # The turn about the foot's length that shows this slope from behind.
        edge = brentq(lambda r: facing(about("z", toes) @ about("x", r))[2] - slope, -45, 45, xtol=1e-13)
        faces["foot_" + side] = facing(body @ about("z", toes) @ about("x", edge))
    return out


def bar_clamp(frame, turn, up, stem, s):
    """The bar's clamp; up is cap and spacers. A quill stem leaves the steerer's axis at a
    height of its own, any other at half of its own height; suspension sinks down the steerer."""
    g = frame["geometry"]
    head = nose_up(turn) @ move(g["reach_mm"], 0, g["stack_mm"]) @ nose_up(90 - g["head_angle_deg"])
    angle = s["stem_angle_deg"] if "angles_deg" in stem else stem["angle_deg"]
    leaves = head @ move(0, 0, up + (s["quill_mm"] if "quill_mm" in stem else stem["height_mm"] / 2)) @ move(0, 0, -stem.get("sag_mm", 0))
    return place(leaves @ nose_up(-angle if s.get("flipped", False) else angle), stem["length_mm"])


def position(build, faces=None):
    """Every site that a build offers. Faces takes the directions of the sites."""
    faces = {} if faces is None else faces
    s, frame = build["Settings"], build["Frame"]
    turn = pitch(frame["geometry"], build.get("Wheels", {}))
    bar = build["Handlebar"]
    one_piece = "stem" in bar
    stem = bar["stem"] if one_piece else build["Stem"]
    clamp = bar_clamp(frame, turn, build["Cap"]["height_mm"] + s.get("spacers_mm", 0), stem, s)
    turned = bar["drawn_at_deg"] - (frame["geometry"]["head_angle_deg"] - turn) if one_piece else s.get("bar_rotation_deg", 0)
    out = bar_sites(bar, build.get("Lever"), build.get("Aero"), s, clamp, turned, faces)
    out |= seat_sites(frame, turn, build["Seatpost"], build["Saddle"], s)
    faces["saddle_reference"] = facing(nose_up(s["saddle_tilt_deg"]))
    out |= feet_sites(build["Crank"], build.get("Pedal"), s, faces)
    return out, turn
