"""Writes sheets.json for package convert: 30 positions with all 80 measures of
each side, and 60 sheets with the points that they stand for.

A measure is written down here as the table of the package documentation has it: a
difference of two points, or a place that is searched for. A sheet is solved as the
equations that its readings make, all unknown coordinates together, at 40 digits
(lsq.py); 20 of the sheets have more readings than needed, with errors. Where a tilt is
asked for and the sheet speaks of the nose, the nose lies on the straight line through the
reference at that tilt to 6 mm, unless no number would be more certain by 2 % for it, or
it is that which makes a sheet inconsistent at 99 %. Where a direct distance goes to one
side, saddle and clamp may lie 2 mm beside the mid-plane and the middle of a pair 3 mm.
All numbers are random. Made with Python 3.11, numpy 1.24.2, scipy 1.10.1, mpmath 1.2.1.

    /usr/bin/python3 sheets.py > sheets.json
"""

import mpmath
import numpy as np
from mpmath import mpf
from scipy.optimize import minimize_scalar
from scipy.stats import chi2

import golden
import lsq

rng = np.random.default_rng(2102)
beside = np.random.default_rng(1811)  # sizes and directions, drawn apart so that the points stay as they are
PAIRS = ["tops", "hoods", "drops", "grip", "pad", "extension", "pedal", "foot"]


def u(lo, hi, digits=3, of=rng):
    return round(float(of.uniform(lo, hi)), digits)


# from, to, direction, sign: straight, side, x, y or z
TABLE = {
    "saddle_height": ("bb", "saddle_reference", "straight", 1), "saddle_height_vertical": ("bb", "saddle_reference", "z", 1),
    "saddle_height_nose": ("bb", "saddle_nose", "z", 1), "saddle_height_ground": ("ground", "saddle_reference", "z", 1),
    "saddle_setback": ("bb", "saddle_reference", "x", -1), "saddle_setback_nose": ("bb", "saddle_nose", "x", -1),
    "saddle_length": ("saddle_nose", "saddle_rear", "side", 1), "saddle_station": ("saddle_nose", "saddle_reference", "side", 1),
    "crank_length": ("bb", "pedal", "side", 1), "foot_height": ("pedal", "foot", "z", 1),
    "reach_nose_extension_horizontal": ("saddle_nose", "extension", "x", 1), "extension_length": ("pad", "extension", "x", 1),
    "extension_rise": ("pad", "extension", "z", 1), "extension_reach": ("bb", "extension", "x", 1),
    "q_factor": ("pedal_right", "pedal_left", "y", 1), "stance_width": ("foot_right", "foot_left", "y", 1),
}
for name, site in ("clamp", "bar_clamp"), ("tops", "tops"), ("hoods", "hoods"), ("drops", "drops"), ("grips", "grip"), ("pads", "pad"):
    TABLE["bar_drop_" + name] = ("saddle_reference", site, "z", -1)
for name, site in ("clamp", "bar_clamp"), ("hoods", "hoods"), ("grips", "grip"):
    TABLE[f"bar_drop_{name}_highest"] = ("highest", site, "z", -1)
    for start, at in ("", "saddle_reference"), ("nose_", "saddle_nose"):
        TABLE[f"reach_{start}{name}"] = (at, site, "straight", 1)
        TABLE[f"reach_{start}{name}_horizontal"] = (at, site, "x", 1)
TABLE["reach_pads_horizontal"] = ("saddle_reference", "pad", "x", 1)
TABLE["reach_nose_pads_horizontal"] = ("saddle_nose", "pad", "x", 1)
for name, site in ("bar", "bar_clamp"), ("tops", "tops"), ("hoods", "hoods"), ("drops", "drops"), ("grip", "grip"), ("pad", "pad"):
    TABLE[name + "_stack"] = ("bb", site, "z", 1)
    TABLE[name + "_reach"] = ("bb", site, "x", 1)
for name, site in ("tops", "tops"), ("hoods", "hoods"), ("drops", "drops"), ("grips", "grip"), ("pads", "pad"), ("extensions", "extension"):
    TABLE[name + "_width"] = (site + "_right", site + "_left", "y", 1)
TABLE["reach_rear_clamp"] = ("saddle_rear", "bar_clamp", "straight", 1)
TABLE["reach_rear_clamp_horizontal"] = ("saddle_rear", "bar_clamp", "x", 1)
TABLE["cleat_setback"] = ("pedal", "foot", "x", 1)
TABLE["grip_distance"] = ("bb", "grip", "side", 1)
# from, to, and the direction that the line makes an angle with, in the side view
ANGLES = {
    "seat_angle_effective": ("bb", "saddle_reference", (-1, 0)), "grip_angle": ("bb", "grip", (1, 0)),
    "saddle_ends_angle": ("saddle_rear", "saddle_nose", (1, 0)),
}
# the width of points, the size beside them, and on how many sides of each width it counts
EDGES = {
    "hoods_width_inside": ("hoods", "hood", -1), "drops_width_outside": ("drops", "tube", 1), "grips_width_outside": ("grip", "grip", 1),
    "pads_width_inside": ("pad", "pad", -1), "pads_width_outside": ("pad", "pad", 1),
}
TURNS = {"hood_tilt": ("hoods", "tilts"), "pad_tilt": ("pad", "tilts"), "extension_tilt": ("extension", "tilts"), "stance_angle": ("foot", "yaws")}
MORE = sorted([*ANGLES, *EDGES, *TURNS, "saddle_height_sole", "saddle_height_rails", "seat_height_ground", "bar_stack_to_reach"])
MEASURES = sorted([*TABLE, "saddle_height_seat_tube", "saddle_height_pedal", "saddle_tilt"])


def end(sites, name, side, basis):
    if name == "bb":
        return [0, 0, 0]
    if name == "ground":
        return [0, 0, -basis["bb_height"]]
    if name == "highest":
        return max((sites[s] for s in ("saddle_reference", "saddle_nose", "saddle_rear")), key=lambda p: p[2])
    if name not in PAIRS:
        return sites[name]
    left, right = sites[name + "_left"], sites[name + "_right"]
    return {"left": left, "right": right, "centre": [(a + b) / 2 for a, b in zip(left, right)]}[side]


def take(measure, sites, tilt, side, basis):
    if measure == "saddle_tilt":
        return tilt
    if measure == "saddle_height_seat_tube":
        # h up the tube's line and t along the saddle's top end at one point.
        a, t = mpmath.radians(basis["seat_angle"]), mpmath.radians(tilt)
        ref = sites["saddle_reference"]
        m = mpmath.matrix([[-mpmath.cos(a), -mpmath.cos(t)], [mpmath.sin(a), -mpmath.sin(t)]])
        return mpmath.lu_solve(m, mpmath.matrix([ref[0], ref[2]]))[0]
    if measure == "saddle_height_pedal":
        ref, crank = sites["saddle_reference"], end(sites, "pedal", side, basis)[0]

        def squared(angle):  # of the crank
            return (ref[0] - crank * mpmath.cos(angle)) ** 2 + (ref[2] - crank * mpmath.sin(angle)) ** 2

        # Where it is longest: roughly by search, then where its slope is 0.
        rough = minimize_scalar(lambda c: -float(squared(mpf(c))), bounds=(-np.pi, 0.3), method="bounded", options={"xatol": 1e-7}).x
        h = mpf(10) ** -13
        return mpmath.sqrt(squared(mpmath.findroot(lambda c: (squared(c + h) - squared(c - h)) / h, mpf(rough), tol=1e-15, verify=False)))
    a, b, along, sign = TABLE[measure]
    a, b = end(sites, a, side, basis), end(sites, b, side, basis)
    if measure == "foot_height":
        a = [0, 0, 0]  # a foot's height is stored from its spindle
    d = [q - p for p, q in zip(a, b)]
    if along == "straight":
        return mpmath.sqrt(d[0] ** 2 + d[1] ** 2 + d[2] ** 2)
    if along == "side":
        return mpmath.sqrt(d[0] ** 2 + d[2] ** 2)
    return sign * d["xyz".index(along)]


def more(measure, sites, tilt, side, basis, sizes, turns):
    """Measures beside those of TABLE, of points, directions and sizes."""
    if measure in ANGLES:
        a, b, (x, z) = ANGLES[measure]
        a, b = end(sites, a, side, basis), end(sites, b, side, basis)
        d = (b[0] - a[0], b[2] - a[2])
        angle = mpmath.acos((d[0] * x + d[1] * z) / mpmath.sqrt(d[0] ** 2 + d[1] ** 2))
        return mpmath.degrees(angle if d[1] >= 0 else -angle)
    if measure in EDGES:
        site, size, out = EDGES[measure]
        # The edges themselves: half of the size beside each point.
        return (sites[site + "_left"][1] + out * mpf(sizes[size]) / 2) - (sites[site + "_right"][1] - out * mpf(sizes[size]) / 2)
    if measure in TURNS:
        site, kind = TURNS[measure]
        left, right = (mpf(turns[kind][f"{site}_{s}"]) for s in ("left", "right"))
        if kind == "yaws":
            right = -right  # to the right is outwards there
        return {"left": left, "right": right, "centre": (left + right) / 2}[side]
    if measure == "bar_stack_to_reach":
        return sites["bar_clamp"][2] / sites["bar_clamp"][0]
    if measure == "saddle_height_sole":
        ref, foot, crank = sites["saddle_reference"], end(sites, "foot", side, basis), end(sites, "pedal", side, basis)[0]

        def squared(angle):  # of the crank; the foot stays level
            return (ref[0] - crank * mpmath.cos(angle)) ** 2 + (ref[2] - crank * mpmath.sin(angle) - foot[2]) ** 2

        rough = minimize_scalar(lambda c: -float(squared(mpf(c))), bounds=(-np.pi, 0.3), method="bounded", options={"xatol": 1e-7}).x
        h = mpf(10) ** -13
        return mpmath.sqrt(squared(mpmath.findroot(lambda c: (squared(c + h) - squared(c - h)) / h, mpf(rough), tol=1e-15, verify=False)))
    # h up the tube's line meets a line along the saddle, at its top or through its rails.
    a, t = mpmath.radians(basis["seat_angle"]), mpmath.radians(tilt)
    along, down = (mpmath.cos(t), mpmath.sin(t)), (mpmath.sin(t), -mpmath.cos(t))
    drop = mpf(sizes["rail"]) if measure == "saddle_height_rails" else 0
    ref = sites["saddle_reference"]
    start = [ref[0] + drop * down[0], ref[2] + drop * down[1]]
    m = mpmath.matrix([[-mpmath.cos(a), -along[0]], [mpmath.sin(a), -along[1]]])
    h = mpmath.lu_solve(m, mpmath.matrix(start))[0]
    return h if measure == "saddle_height_rails" else h * mpmath.sin(a) + mpf(basis["bb_height"])


def mp(sites):
    return {k: [mpf(c) for c in v] for k, v in sites.items()}


def whole():
    sites = {
        "saddle_reference": [u(-240, -160), u(-3, 3), u(660, 780)], "saddle_nose": [u(-90, -30), u(-3, 3), u(640, 790)],
        "saddle_rear": [u(-330, -300), u(-3, 3), u(640, 790)], "bar_clamp": [u(430, 520), u(-2, 2), u(560, 680)],
    }
    for name, x, y, z in (
        ("tops", 450, 120, 620), ("hoods", 560, 200, 640), ("drops", 520, 215, 500), ("grip", 500, 340, 640), ("pad", 380, 100, 680),
        ("extension", 640, 60, 720),
    ):
        for side, sign in ("left", 1), ("right", -1):
            sites[f"{name}_{side}"] = [u(x - 40, x + 40), sign * u(y - 20, y + 20), u(z - 40, z + 40)]
    for side, sign in ("left", 1), ("right", -1):
        crank = u(140, 185)
        sites["pedal_" + side] = [crank, sign * u(65, 95), 0]
        sites["foot_" + side] = [crank, sign * u(110, 170), u(-5, 50)]
    return sites, u(-8, 5), {"seat_angle": u(70, 78), "bb_height": u(260, 340)}


def measured():
    sites, tilt, basis = whole()
    for side in "left", "right":
        sites["foot_" + side][0] = round(sites["foot_" + side][0] + u(-5, 25, of=beside), 3)
    m = mp(sites)
    sizes = {name: u(lo, hi, of=beside) for name, lo, hi in (("rail", 35, 60), ("hood", 25, 45), ("tube", 22, 32), ("grip", 90, 150), ("pad", 50, 120))}
    turns = {
        "tilts": {f"{s}_{side}": u(-10, 30, of=beside) for s in ("hoods", "pad", "extension") for side in ("left", "right")},
        "yaws": {f"foot_{side}": u(-15, 15, of=beside) for side in ("left", "right")},
    }
    sides = ("centre", "left", "right")
    return {
        "sites": sites, "tilt": tilt, **basis, "sizes": sizes, **turns,
        "measures": {n: {s: float(take(n, m, mpf(tilt), s, basis)) for s in sides} for n in MEASURES}
        | {n: {s: float(more(n, m, mpf(tilt), s, basis, sizes, turns)) for s in sides} for n in MORE},
    }


def pick(*of):
    return of[rng.integers(len(of))]


def sheet(i):
    """Takes measures of a random position in some mix, rounds them and lets the equations find the points."""
    many = i >= 40
    sites, tilt, basis = whole()
    mirrored = bool(i % 2) or many
    # What no sheet tells: saddle and clamp on the mid-plane, left as far beside it as right.
    for s in ("saddle_reference", "saddle_nose", "bar_clamp"):
        sites[s][1] = 0
    for s in PAIRS:
        sites[s + "_right"][1] = -sites[s + "_left"][1]
        if mirrored:
            sites[s + "_right"] = [sites[s + "_left"][0], -sites[s + "_left"][1], sites[s + "_left"][2]]
    ask, known, tilted = [], ["saddle_reference"], False

    def add(*measures, side="centre"):
        ask.extend((m, side) for m in measures)

    how = i % 6
    if how == 0:
        add("saddle_height", "saddle_setback")
    elif how == 1:
        add("saddle_height_seat_tube", "saddle_setback", "saddle_tilt")
        tilted = True
    elif how == 2:
        add("saddle_height_ground", "saddle_height")
    elif how == 3:
        add("saddle_height_pedal", "saddle_setback", "crank_length", "q_factor")
        known += ["pedal"]
    elif how == 4:
        add("saddle_height_seat_tube", "saddle_height_vertical", "saddle_tilt")
        tilted = True
    else:
        add("saddle_height_vertical", "saddle_setback")
    if many:
        add(*(["saddle_height"] if how not in (0, 2) else []), *(["saddle_height_vertical"] if how not in (4, 5) else []), "saddle_setback_nose", "saddle_height_nose", "saddle_station")
        known += ["saddle_nose"]
    elif i % 3 == 0:
        add("saddle_setback_nose", pick("saddle_height_nose", "saddle_station"))
        known += ["saddle_nose"]
        if ask[-1][0] == "saddle_station":
            sites["saddle_nose"][2] = sites["saddle_reference"][2] - u(8, 20)
    nose = "saddle_nose" in known
    if i % 4 != 3:
        known += ["bar_clamp"]
        add(*pick(("reach_clamp", "bar_stack"), ("reach_clamp_horizontal", "bar_drop_clamp"), ("bar_reach", "bar_drop_clamp"), ("reach_clamp", "bar_drop_clamp")))
        if many:
            add("reach_nose_clamp" if nose else "bar_reach", *(m for m in ("bar_stack", "bar_drop_clamp", "bar_reach") if (m, "centre") not in ask))
    group = pick("hoods", "grip", "pad", "tops", "drops")
    known += [group]
    plural = {"grip": "grips", "pad": "pads"}.get(group, group)
    add(plural + "_width")
    for side in ["centre", "left"][i // 2 % 2:][:1] if mirrored else ["left", "right"]:
        mixes = [(group + "_reach", group + "_stack"), (group + "_reach", "bar_drop_" + plural)]
        if group in ("hoods", "grip"):
            mixes = [("reach_" + plural, group + "_stack"), ("reach_" + plural, "bar_drop_" + plural), ("reach_" + plural + "_horizontal", group + "_stack")]
            if nose:
                mixes += [("reach_nose_" + plural, group + "_stack")]
        add(*pick(*mixes), side=side)
        if many:
            add(*(m for m in (group + "_reach", "bar_drop_" + plural) if (m, side) not in ask), side=side)
    if group == "pad":
        known += ["extension"]
        add("extensions_width")
        for side in ["centre"] if mirrored else ["left", "right"]:
            add(pick("extension_length", "extension_reach"), "extension_rise", side=side)
    if i % 5 == 0:
        known += ["foot"] if "pedal" in known else ["pedal", "foot"]
        add("stance_width", "foot_height" if mirrored else "stance_width")
        ask = list(dict.fromkeys(ask))
        if not mirrored:
            ask += [("foot_height", "left"), ("foot_height", "right")]
        ask += [(m, "centre") for m in ("crank_length", "q_factor") if (m, "centre") not in ask]
    if many and tilted:  # a nose that may lie there
        ref = sites["saddle_reference"]
        sites["saddle_nose"][2] = round(ref[2] + (sites["saddle_nose"][0] - ref[0]) * float(np.tan(np.radians(tilt))) + 7 * float(np.sin(i)), 3)
    if "pedal" in known and not mirrored:  # each crank by itself
        ask = [a for a in ask if a[0] != "crank_length"] + [("crank_length", "left"), ("crank_length", "right")]

    readings = []
    exact = mp(sites)
    for m, side in ask:
        v = float(take(m, exact, mpf(tilt), side, basis))
        sigma = u(0.3, 3, 2)
        readings.append({"measure": m, "side": side, "value": round(v + (float(rng.normal()) * sigma if many else 0), 2), "sigma": sigma})

    # The unknowns: x and z of each point, and y of pairs, shared between sides; a
    # pedal has no z, and a foot's x is the crank's.
    unknown = []
    for k in known:
        if k not in PAIRS:
            unknown += [(k, 0), (k, 2)]
            continue
        unknown += [(k + "_left", 1)]
        for side in ("_left",) if mirrored else ("_left", "_right"):
            unknown += [(k + side, 0)] if k != "foot" else []
            unknown += [(k + side, 2)] if k != "pedal" else []

    # Saddle, clamp and pairs lie beside their places, as far as a direct distance to one
    # side depends on it.
    aside = []
    for r in readings:
        a, b, along, _ = TABLE.get(r["measure"], ("", "", "", 0))
        if along == "straight" and b in PAIRS and r["side"] != "centre":
            aside += [g for g in (a, b) if g != "bb"]
    groups = {"saddle_reference": (("saddle_reference", "saddle_nose"), 2), "saddle_nose": (("saddle_reference", "saddle_nose"), 2)}
    groups |= {k: ((k + "_left", k + "_right"), 3) for k in PAIRS}
    aside = list(dict.fromkeys(groups[g] for g in aside))

    def fill(x):
        at = {k: list(v) for k, v in exact.items()}
        for (s, a), v in zip(unknown, x):
            at[s][a] = v
        for k in known:
            if k in PAIRS:
                if k == "foot":
                    at["foot_left"][0], at["foot_right"][0] = at["pedal_left"][0], at["pedal_right"][0]
                at[k + "_right"][1] = -at[k + "_left"][1]
                if mirrored:
                    at[k + "_right"][0], at[k + "_right"][2] = at[k + "_left"][0], at[k + "_left"][2]
        return at

    tilt_now = (lambda x: x[len(unknown)]) if tilted else (lambda x: mpf(tilt))

    def off(x):
        at, besides = fill(x), x[len(x) - len(aside) :]
        for (moved, _), v in zip(aside, besides):
            for s in moved:
                at[s][1] += v
        return [(take(r["measure"], at, tilt_now(x), r["side"], basis) - mpf(r["value"])) / mpf(r["sigma"]) for r in readings] + [v / s for (_, s), v in zip(aside, besides)]

    start = [float(exact[s][a]) for s, a in unknown] + ([tilt] if tilted else []) + [0] * len(aside)

    def above(x):
        """How far the nose lies above the line through the reference, in 6 mm."""
        at, t = fill(x), mpmath.radians(tilt_now(x))
        d = [a - b for a, b in zip(at["saddle_nose"], at["saddle_reference"])]
        return (d[2] * mpmath.cos(t) - d[0] * mpmath.sin(t)) / 6

    def consistent(left):
        freedom = len(left) - len(start)
        return freedom == 0 or chi2.cdf(float(sum(r * r for r in left)), freedom) <= 0.99

    rows = off
    x, inverse = lsq.solve(rows, start)
    if tilted and "saddle_nose" in known:
        with_line = lambda v: off(v) + [above(v)]
        y, better = lsq.solve(with_line, start)
        tells = max(float(inverse[j, j] / better[j, j]) for j in range(len(x)))
        assert abs(tells - 1.02**2) > 1e-3, "nearly as much either way"
        if tells > 1.02**2 and (consistent(with_line(y)) or not consistent(off(x))):
            x, inverse, rows = y, better, with_line
    at, left = fill(x), rows(x)
    return {
        "readings": readings, "mirrored": mirrored, **basis,
        "sites": {s: [float(c) for c in at[s]] for k in known for s in ([k + "_left", k + "_right"] if k in PAIRS else [k])},
        "tilt": float(tilt_now(x)) if tilted else None,
        "sigmas": [{"site": s, "axis": "xyz"[a], "sigma": float(mpmath.sqrt(inverse[j, j]))} for j, (s, a) in enumerate(unknown)],
        "chi2": float(sum(r * r for r in left)), "redundant": len(left) - len(x),
    }


golden.write("sheets", [{"measured": measured()} for _ in range(30)] + [{"solved": sheet(i)} for i in range(60)])
