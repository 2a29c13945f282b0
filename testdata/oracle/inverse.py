"""Writes inverse.json for Problem.Solve of package fitgeom/solve: 72 targets on small
shelves, 30 of which nothing holds, and for every stem, bar and aero bar the best
build, found by trying everything.

The objective and the limits are those of fitgeom's documentation. Each way to put
parts and spacers together is tried. A bar's roll is scanned in steps and then
refined by brentq; post and rails are least squares with inequalities, by way of
scipy's nnls (Lawson and Hanson, Solving Least Squares Problems, chapter 23); the
aero bar's tilt and pad height are tried one by one. Builds are those of bike.py. All
numbers are invented. Made with Python 3.11, numpy 1.24.2, scipy 1.10.1.

    /usr/bin/python3 inverse.py > inverse.json
"""

import itertools

import numpy as np
from scipy.optimize import brentq, minimize_scalar, nnls
from scipy.spatial.transform import Rotation

import bike
import golden

rng = np.random.default_rng(2103)
LEEWAY = 1e-9  # of a tolerance: what rounding may do to one that is met exactly


def u(lo, hi, digits=2):
    return round(float(rng.uniform(lo, hi)), digits)


def constrained(a, b, g, h):
    """x with the least |a x - b| of those with g x >= h; None if there are none."""
    q, r = np.linalg.qr(a)
    back = np.linalg.inv(r)
    c = q.T @ b
    gz, hz = g @ back, h - g @ back @ c
    e = np.vstack([gz.T, hz])
    f = np.zeros(len(e))
    f[-1] = 1
    y, norm = nnls(e, f)
    if norm < 1e-9:
        return None
    residual = e @ y - f
    return back @ (c - residual[:-1] / residual[-1])


class Asked:
    """What is kept of some sites: rows of (site, axis, wanted, tolerance, weight)."""

    def __init__(self, keep, target, sites):
        self.rows = [
            (k["site"], a, target[k["site"]][a], k["tolerance"][a], k["weight"][a] or 1.0)
            for k in keep if k["site"] in sites for a in range(3) if k["tolerance"][a]
        ]

    def off(self, at):
        return np.array([at[s][a] - w for s, a, w, _, _ in self.rows])

    @property
    def tolerance(self):
        return np.array([t for *_, t, _ in self.rows])

    @property
    def scale(self):
        return np.array([np.sqrt(w) / t for *_, t, w in self.rows])

    def judge(self, at):
        off = self.off(at)
        return float(np.sum((self.scale * off) ** 2)), bool(np.all(np.abs(off) <= self.tolerance * (1 + LEEWAY)))


def linear(asked, sites, start, ranges):
    """Best settings of sites that move in a straight line with each setting, within ranges."""
    zero = asked.off(sites(start))
    columns = [asked.off(sites(np.array(start) + np.eye(len(start))[i])) - zero for i in range(len(start))]
    a = np.array(columns).T
    box = np.vstack([np.eye(len(start)), -np.eye(len(start))])
    edge = np.concatenate([[lo for lo, _ in ranges], [-hi for _, hi in ranges]]) - box @ start
    moved = np.any(np.abs(a) > 1e-12, axis=1)
    for tight in True, False:
        g, h = box, edge
        if tight:
            if np.any(np.abs(zero[~moved]) > asked.tolerance[~moved]):
                continue
            g = np.vstack([g, a[moved], -a[moved]])
            h = np.concatenate([h, (-zero - asked.tolerance)[moved], (zero - asked.tolerance)[moved]])
        x = constrained(asked.scale[:, None] * a, -asked.scale * zero, g, h)
        if x is not None:
            return np.array(start) + x, tight
    raise ArithmeticError("no settings")


def stacks(spacers):
    """Every height and what is left of the spacers."""
    for counts in itertools.product(*(range(s["count"] + 1) for s in spacers)):
        yield sum(c * s["height_mm"] for c, s in zip(counts, spacers)), [s["count"] - c for c, s in zip(counts, spacers)]


def far(saddle, length, height):
    """From the saddle to the far end of a foot's stroke, searched on its circle."""
    def slope(a):  # of the squared distance, by the foot's way round the circle
        foot = np.array([length * np.cos(a), height + length * np.sin(a)])
        return (foot - saddle) @ [-np.sin(a), np.cos(a)]

    def distance(a):
        return np.hypot(length * np.cos(a) - saddle[0], height + length * np.sin(a) - saddle[1])

    rough = minimize_scalar(lambda a: -distance(a), bounds=(-2.6, 0.4), method="bounded").x
    return distance(brentq(slope, rough - 0.1, rough + 0.1, xtol=1e-15))


def wanted_saddle(saddle, was, now, keep_saddle):
    """Where the policy has the saddle. was and now are the strokes, (crank, height of the foot)."""
    if keep_saddle or was == now:
        return saddle
    reach = far(saddle[[0, 2]], *was)
    way = saddle[[0, 2]] - [0, was[1]]
    way = way / np.linalg.norm(way)
    d = brentq(lambda d: far(np.array([0, now[1]]) + d * way, *now) - reach, 400, 1100, xtol=1e-13)
    return np.array([d * way[0], saddle[1], now[1] + d * way[1]])


GRIPS = {"bar_clamp"} | {f"{s}_{side}" for s in ("tops", "hoods", "drops", "grip") for side in ("left", "right")}
AERO = {f"{s}_{side}" for s in ("pad", "extension") for side in ("left", "right")}
SEAT = {"saddle_reference", "saddle_nose", "saddle_rear"}
PEDALS = {f"{s}_{side}" for s in ("pedal", "foot") for side in ("left", "right")}


def best_roll(asked, clamp, bar, lever, turned, span):
    """The roll with the least cost, of those that hold if there are any."""
    def at(roll):
        return bike.bar_sites(bar, lever, None, {}, clamp, turned + roll)

    flat = at(0)
    arms = np.array([flat[s] - clamp for s, *_ in asked.rows])
    axis = np.array([a for _, a, *_ in asked.rows])
    base = np.array([clamp[a] - w for _, a, w, _, _ in asked.rows])

    def off(rolls):
        turn = Rotation.from_euler("y", -np.atleast_1d(rolls), degrees=True).as_matrix()
        return np.einsum("nij,kj->nki", turn, arms)[:, np.arange(len(axis)), axis] + base

    def cost(rolls):
        return np.sum((asked.scale * off(rolls)) ** 2, axis=1)

    def slope(roll):  # a point that turns about Y moves along the cross product
        o = off(roll)[0]
        turn = Rotation.from_euler("y", -roll, degrees=True)
        speed = np.array([np.cross([0, -1, 0], turn.apply(v))[a] for v, a in zip(arms, axis)])
        return float(np.sum(asked.scale**2 * o * speed))

    if span == 0:
        return 0.0, *asked.judge(flat)
    grid = np.linspace(-span, span, 801)
    here = cost(grid)
    slopes = [slope(r) for r in (grid[0], grid[-1])]
    i = int(np.argmin(here))
    lo, hi = grid[max(0, i - 1)], grid[min(800, i + 1)]
    if i == 0 and slopes[0] >= 0:
        free = grid[0]
    elif i == 800 and slopes[1] <= 0:
        free = grid[800]
    else:
        free = brentq(slope, lo, hi, xtol=1e-13)
    if asked.judge(at(free))[1]:
        return float(free), *asked.judge(at(free))

    def beyond(roll):  # how far the worst coordinate is out of tolerance
        return float(np.max(np.abs(off(roll)[0]) - asked.tolerance))

    fine = np.linspace(-span, span, 6001)
    out = np.max(np.abs(off(fine)) - asked.tolerance, axis=1)
    edges = [brentq(beyond, fine[k], fine[k + 1], xtol=1e-13) for k in range(6000) if (out[k] > 0) != (out[k + 1] > 0)]
    edges += [r for r, o in ((fine[0], out[0]), (fine[-1], out[-1])) if o <= 0]
    if edges:
        roll = min(edges, key=lambda r: cost(r)[0])
        return float(roll), float(cost(roll)[0]), True
    return float(free), *asked.judge(at(free))


def best_aero(asked, aero, clamp):
    tilts = np.arange(aero["tilt_deg"]["from"], aero["tilt_deg"]["to"] + 1e-6, aero["tilt_deg"]["step"])
    heights = np.arange(aero["pad_rise_mm"]["from"], aero["pad_rise_mm"]["to"] + 1e-6, aero["pad_rise_mm"]["step"])
    parts = ("pad_forward_mm", "pad_width_mm", "extension_mm")
    ranges = [(aero[p]["from"], aero[p]["to"]) for p in parts]
    best = None
    for tilt, height in itertools.product(tilts, heights):
        def settings(x):
            return {"aero_tilt_deg": float(tilt), "pad_rise_mm": float(height), "pad_forward_mm": x[0], "pad_width_mm": x[1], "extension_mm": x[2]}

        def sites(x):
            return bike.bar_sites({"base": {"width_mm": 400, "reach_mm": 100}}, None, aero, settings(x), clamp, 0)

        x, holds = linear(asked, sites, [lo for lo, _ in ranges], ranges)
        c = asked.judge(sites(x))[0]
        if best is None or (not holds, c) < (not best[2], best[1]):
            best = settings([float(v) for v in x]), c, holds
    return best


def solve(p):
    frame, shelf, target, keep = p["frame"], p["shelf"], {k: np.array(v) for k, v in p["target"].items()}, p["keep"]
    turn = bike.pitch(frame["geometry"], p["wheels"])
    bars, aeros = Asked(keep, target, GRIPS), Asked(keep, target, AERO)
    fronts = []
    for cap, bar in itertools.product(shelf["caps"], shelf["handlebars"]):
        one = "stem" in bar
        for stem, lever, aero in itertools.product([bar["stem"]] if one else shelf["stems"], shelf["levers"] if "drop" in bar else [None], shelf.get("aero_bars") or [None]):
            seen = {}
            for height, left in stacks(shelf["spacers"]):
                room = frame["max_under_stem_mm"] - cap["height_mm"] - height
                above = 0.0
                if frame.get("steerer_cut_mm"):
                    top = cap["height_mm"] + height + stem["height_mm"]
                    room = min(room, frame["steerer_cut_mm"] + 5 - top)
                    fill = [a for a, _ in stacks([s | {"count": n} for s, n in zip(shelf["spacers"], left)]) if top + a >= frame["steerer_cut_mm"] + 2 - 1e-9]
                    if not fill:
                        continue
                    above = min(fill)
                if room < -1e-9:
                    continue
                seen[round(height, 6)] = min(above, seen.get(round(height, 6), np.inf))
            for (height, above), flipped in itertools.product(seen.items(), [False, True] if stem["flippable"] and stem["angle_deg"] else [False]):
                clamp = bike.bar_clamp(frame, turn, cap["height_mm"] + height, stem, {"flipped": flipped})
                turned = bar["drawn_at_deg"] - (frame["geometry"]["head_angle_deg"] - turn) if one else 0
                roll, cost, holds = best_roll(bars, clamp, bar, lever, turned, 0 if one else bar["rotation_range_deg"]) if bars.rows else (0.0, 0.0, True)
                settings = {"spacers_mm": height, "spacers_above_mm": above, "flipped": flipped, "bar_rotation_deg": roll}
                if aero:
                    set_aero, c, h = best_aero(aeros, aero, clamp)
                    settings, cost, holds = settings | set_aero, cost + c, holds and h
                fronts.append((not holds, cost, {
                    "cap": cap["name"], "stem": "" if one else stem["name"], "handlebar": bar["name"], "lever": lever["name"] if lever else "",
                    "aero": aero["name"] if aero else "",
                }, settings, tuple(c.index(v) for c, v in (
                    (shelf["caps"], cap), ([stem] if one else shelf["stems"], stem), (shelf["handlebars"], bar), (shelf["levers"] or [None], lever), (shelf.get("aero_bars") or [None], aero),
                ) if v)))

    seats = []
    feet = Asked(keep, target, PEDALS)
    for crank, pedal, post, saddle in itertools.product(shelf["cranks"], shelf.get("pedals") or [None], shelf["seatposts"], shelf["saddles"]):
        at, lifts = {}, {"lift_left_mm": 0.0, "lift_right_mm": 0.0}
        for side, sign, name in ("left", 1, "lift_left_mm"), ("right", -1, "lift_right_mm"):
            at["pedal_" + side] = np.array([crank["length_mm"], sign * crank["q_factor_mm"] / 2, 0])
            if pedal:
                lifts[name] = min((h for h, _ in stacks(shelf["cleat_shims"])), key=lambda h: (round(abs(pedal["foot_height_mm"] + h - target["foot_" + side][2]), 9), h))
                at["foot_" + side] = at["pedal_" + side] + [0, sign * pedal["foot_offset_mm"], pedal["foot_height_mm"] + lifts[name]]
        cost, holds = feet.judge(at) if feet.rows else (0.0, True)

        def stroke(of):
            if pedal:
                return float(of["foot_left"][0] + of["foot_right"][0]) / 2, float(of["foot_left"][2] + of["foot_right"][2]) / 2
            return float(of["pedal_left"][0]), 0.0

        ref = target["saddle_reference"]
        shift = wanted_saddle(ref, stroke(target), stroke(at), p["keep_saddle"]) - ref
        moved = target | {s: target[s] + shift for s in SEAT if s in target}
        asked = Asked(keep, moved, SEAT)
        lo, hi = post["min_extension_mm"], post["length_mm"] - max(post["min_insertion_mm"], frame["seatpost_insertion_mm"])
        if frame.get("seatpost_depth_mm"):
            lo = max(lo, post["length_mm"] - frame["seatpost_depth_mm"])
        if post.get("max_extension_mm"):
            hi = min(hi, post["max_extension_mm"])
        if hi < lo:
            continue

        def settings(x):
            return {"seatpost_extension_mm": float(x[0]), "rail_clamp_mm": float(x[1]), "saddle_tilt_deg": p["tilt"]}

        def sites(x):
            return bike.seat_sites(frame, turn, post, saddle, settings(x))

        ranges = [(lo, hi), (saddle["rails_from_mm"], saddle["rails_to_mm"])]
        x, ok = linear(asked, sites, [lo, saddle["rails_from_mm"]], ranges)
        seats.append((not (holds and ok), cost + asked.judge(sites(x))[0], {
            "crank": crank["name"], "pedal": pedal["name"] if pedal else "", "seatpost": post["name"], "saddle": saddle["name"],
        }, settings(x) | lifts, {s: v.tolist() for s, v in moved.items() if s in SEAT},
            (abs(crank["length_mm"] - stroke(target)[0]), abs(x[1] - (saddle["rails_from_mm"] + saddle["rails_to_mm"]) / 2)),
            (shelf["seatposts"].index(post), shelf["saddles"].index(saddle), shelf["cranks"].index(crank))))

    best = {}
    for f, s in itertools.product(fronts, seats):
        key = (f[2]["stem"], f[3]["flipped"], f[2]["handlebar"], f[2]["aero"])
        rank = (
            f[0] or s[0], round((f[1] + s[1]) / 1e-8), f[3]["spacers_mm"], f[3]["flipped"], round(abs(f[3]["bar_rotation_deg"]), 9), *f[4], *(round(v, 9) for v in s[5]), *s[6],
        )
        if key not in best or rank < best[key][0]:
            best[key] = rank, f, s
    answer = []
    for rank, f, s in sorted(best.values(), key=lambda b: b[0]):
        build = {
            "Frame": frame, "Wheels": p["wheels"], "Settings": f[3] | s[3],
            "Cap": next(c for c in shelf["caps"] if c["name"] == f[2]["cap"]), "Handlebar": next(b for b in shelf["handlebars"] if b["name"] == f[2]["handlebar"]),
            "Seatpost": next(c for c in shelf["seatposts"] if c["name"] == s[2]["seatpost"]), "Saddle": next(c for c in shelf["saddles"] if c["name"] == s[2]["saddle"]),
            "Crank": next(c for c in shelf["cranks"] if c["name"] == s[2]["crank"]),
        }
        for part, many in ("stem", "stems"), ("lever", "levers"), ("aero", "aero_bars"), ("pedal", "pedals"):
            name = f[2].get(part) or s[2].get(part)
            if name:
                build[part.capitalize()] = next(c for c in shelf[many] if c["name"] == name)
        at, _ = bike.position(build)
        wanted = target | {k: np.array(v) for k, v in s[4].items()}
        answer.append({
            "holds": not rank[0], "score": float(np.sqrt(f[1] + s[1])), "parts": f[2] | s[2], "settings": f[3] | s[3],
            "residuals": {k["site"]: (at[k["site"]] - wanted[k["site"]]).tolist() for k in keep},
        })
    return answer, len(fronts), len(seats)


def stem(length, angle, flippable=True):
    return {
        "name": f"stem {length} {angle}", "length_mm": length, "angle_deg": angle, "height_mm": 40, "steerer_diameter_mm": 28.6, "bar_diameter_mm": 31.8,
        "flippable": flippable,
    }


def bar(kind, width, i):
    b = {"name": f"bar {kind} {i}", "clamp_diameter_mm": 31.8, "aero_diameter_mm": 31.8, "rotation_range_deg": u(3, 12)}
    if kind == "drop":
        b["drop"] = {"width_mm": width, "reach_mm": u(68, 92), "drop_mm": u(115, 140), "hook_mm": u(10, 40), "flare_deg": u(2, 15), "tops_width_mm": 220}
    elif kind == "flat":
        b["flat"] = {
            "width_mm": width, "centre_mm": u(50, 200), "rise_mm": u(-10, 30), "forward_mm": u(-10, 20), "backsweep_deg": u(2, 14), "upsweep_deg": u(0, 7), "hand_mm": 65,
        }
    else:
        b["base"] = {"width_mm": width, "reach_mm": u(90, 120), "rise_mm": u(-40, 10)}
    return b


def problem(i):
    kind = ("drop", "flat", "drop", "base", "one", "drop")[i % 6]
    far_off = i % 3 == 2
    frame = {
        "name": "frame", "geometry": {"stack_mm": u(530, 600), "reach_mm": u(370, 410), "head_angle_deg": u(70, 74), "seat_angle_deg": u(72, 76), "axles": {
            "chainstay_mm": u(405, 440), "bb_drop_mm": u(50, 75), "fork_offset_mm": u(42, 52), "front_radius_mm": u(330, 345), "rear_radius_mm": u(330, 345),
        }}, "steerer_diameter_mm": 28.6, "max_under_stem_mm": u(35, 55), "seat_tube_top_mm": u(460, 520), "seatpost_diameter_mm": 27.2, "seatpost_insertion_mm": pick(0, 110),
    }
    if i % 4 == 1:
        frame["geometry"]["seat_offset_mm"] = u(-10, 40)
        frame["seatpost_depth_mm"] = u(180, 320)
    wheels = {}
    if i % 4 == 2:
        wheels = {"front_radius_mm": u(325, 355), "rear_sag_mm": u(0, 12), "front_sag_mm": u(0, 12)}
    shelf = {
        "caps": [{"name": "cap", "height_mm": u(5, 15), "steerer_diameter_mm": 28.6}], "spacers": [{"height_mm": 5, "count": 2}, {"height_mm": 10, "count": 2}],
        "stems": [] if kind == "one" else [stem(*s) for s in pick(((90, -6), (110, -6)), ((80, 7), (100, -17)), ((70, 0), (120, -8), (100, 6, False)))],
        "seatposts": [{"name": f"post {k}", "diameter_mm": 27.2, "length_mm": u(330, 380), "setback_mm": k, "min_insertion_mm": u(70, 100), "min_extension_mm": u(40, 60)} for k in pick((0, 20), (-5, 15), (20,))],
        "saddles": [{
            "name": f"saddle {k}", "length_mm": u(245, 280), "station_mm": u(100, 135), "height_mm": u(42, 52), "rails_from_mm": u(95, 112), "rails_to_mm": u(150, 172), "dip_mm": u(-3, 8),
        } for k in range(pick(1, 2))],
        "cranks": [{"name": f"crank {k}", "length_mm": k, "q_factor_mm": 146} for k in pick((170,), (165, 172.5), (168, 170))],
    }
    if i % 5 == 4:
        shelf["seatposts"][0]["max_extension_mm"] = u(150, 250)
    if kind == "drop":
        shelf["levers"] = [{"name": f"lever {k}", "reach_mm": u(30, 45), "rise_mm": u(15, 40)} for k in range(pick(1, 2))]
        shelf["handlebars"] = [bar("drop", w, k) for k, w in enumerate(pick((400, 420), (400, 440)))]
    elif kind == "one":
        shelf["levers"] = [{"name": "lever", "reach_mm": u(30, 45), "rise_mm": u(15, 40)}]
        shelf["handlebars"] = []
        for k, s in enumerate(((100, -8), (110, -8), (90, -10))):
            b = bar("drop", 420, k)
            del b["clamp_diameter_mm"], b["rotation_range_deg"], b["aero_diameter_mm"]
            b["stem"] = stem(*s) | {"bar_diameter_mm": 0, "flippable": False}
            b["drawn_at_deg"] = u(71, 74)
            shelf["handlebars"].append(b)
    else:
        shelf["levers"] = []
        shelf["handlebars"] = [bar(kind, w, k) for k, w in enumerate((700, 720) if kind == "flat" else (400, 420))]
    if kind == "base":
        shelf["stems"] = shelf["stems"][:2]
        shelf["aero_bars"] = [{
            "name": f"aero {k}", "bar_diameter_mm": 31.8, "tilt_deg": {"from": -2, "to": 12, "step": 2}, "pad_rise_mm": {"from": 40, "to": 70, "step": 10},
            "pad_forward_mm": {"from": -40, "to": 20}, "pad_width_mm": {"from": 160, "to": 240}, "extension_mm": {"from": 280, "to": 360},
            "extension_drop_mm": u(10, 40), "extension_angle_deg": u(0, 20), "extension_width_mm": u(80, 120),
        } for k in range(1)]
    if i % 6 == 0 and kind == "drop":
        frame["steerer_cut_mm"] = round(shelf["caps"][0]["height_mm"] + 40 + pick(8, 15, 18))
    feet = i % 6 in (1, 5)
    shelf["cleat_shims"] = []
    if feet:
        shelf["pedals"] = [{"name": "pedal", "foot_height_mm": u(10, 25), "foot_offset_mm": u(50, 60)}]
        shelf["cleat_shims"] = [{"height_mm": 1.5, "count": 3}]

    # A rider on some bike of like parts, with other cranks, whom these parts suit more or less.
    one = shelf["handlebars"][-1]
    s = {
        "spacers_mm": pick(0, 10, 20), "flipped": False, "seatpost_extension_mm": u(130, 210), "rail_clamp_mm": u(115, 150), "saddle_tilt_deg": u(-4, 2, 1),
        "bar_rotation_deg": 0 if kind == "one" else round(u(-1, 1) * one["rotation_range_deg"], 2),
    }
    build = {
        "Frame": frame, "Wheels": wheels, "Cap": shelf["caps"][0], "Handlebar": one, "Seatpost": shelf["seatposts"][-1], "Saddle": shelf["saddles"][0],
        "Crank": {"length_mm": pick(167.5, 170, 172), "q_factor_mm": 146}, "Settings": s,
    }
    if shelf["stems"]:
        build["Stem"] = shelf["stems"][0]
    if shelf["levers"]:
        build["Lever"] = shelf["levers"][0]
    if shelf.get("aero_bars"):
        build["Aero"] = shelf["aero_bars"][0]
        s |= {"aero_tilt_deg": u(-2, 12), "pad_rise_mm": u(40, 70), "pad_forward_mm": u(-40, 20), "pad_width_mm": u(160, 240), "extension_mm": u(280, 360)}
    if feet:
        build["Pedal"] = shelf["pedals"][0]
        s |= {"lift_left_mm": u(0, 5), "lift_right_mm": u(0, 5)}
    at, _ = bike.position(build)
    site = {"drop": "hoods", "one": "hoods", "flat": "grip", "base": "grip"}[kind]
    names = ["saddle_reference", site + "_left", site + "_right", "pedal_left", "pedal_right"]
    if kind in ("drop", "one") and i % 4 == 3:
        names += ["drops_left", "drops_right"]
    if kind == "base":
        names += ["pad_left", "pad_right", "extension_left", "extension_right"]
    if feet:
        names += ["foot_left", "foot_right"]
    if i % 7 == 3:
        names += ["saddle_nose"]
    spread = 22 if far_off else 0.7
    target = {}
    for n in names:
        by = rng.normal(size=3) * spread * ([1, 0.3, 1] if "pedal" not in n and "foot" not in n else [0, 0.02, 0])
        if n.endswith("_right") and far_off:
            by = target[n[:-5] + "left"] - at[n[:-5] + "left"]
            by = by * [1, -1, 1] + rng.normal(size=3)
            if "pedal" in n or "foot" in n:
                by = np.zeros(3)
        target[n] = at[n] + by
    for n in ("saddle_reference", "saddle_nose"):
        if n in target:
            target[n][1] = 0
    if "saddle_nose" in target:
        target["saddle_nose"][[0, 2]] = at["saddle_nose"][[0, 2]] + target["saddle_reference"][[0, 2]] - at["saddle_reference"][[0, 2]] + rng.normal(size=2)
    for n in ("pedal_left", "pedal_right"):
        target[n][2] = 0
    keep = []
    for n in names:
        t = [2.0, 5.0, 2.0]
        if n.startswith("saddle"):
            t = [2.0, 0, 2.0] if n == "saddle_reference" else [4.0, 0, 0]
        elif n.startswith("pedal"):
            t = [3.0, 0, 0]
        elif n.startswith("foot"):
            t = [0, 6.0, 1.0]
        elif n.startswith(("drops", "extension")):
            t = [6.0, 8.0, 8.0]
        keep.append({"site": n, "tolerance": t, "weight": [pick(0, 1, 2.5) if v and i % 2 else 0 for v in t]})
    return {
        "frame": frame, "wheels": wheels, "shelf": shelf, "target": {n: [round(float(c), 3) for c in v] for n, v in target.items()}, "tilt": s["saddle_tilt_deg"], "keep": keep,
        "keep_saddle": i % 8 == 5,
    }


def pick(*of):
    return of[rng.integers(len(of))]


cases = []
for i in range(72):
    p = problem(i)
    answer, fronts, seats = solve(p)
    cases.append({"input": p, "expected": answer, "combinations": fronts * seats})
golden.write("inverse", cases)
