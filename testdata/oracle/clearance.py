"""Writes clearance.json for package fitgeom/clearance: clearances of random bikes from
the numbers of their documents, by surfaces that are sampled.

Every body is put into its place by rotation matrices: the front wheel is turned about the
steering axis angle by angle, a tyre is a circle of centres of which points are taken, a
shoe a line of centres with radii. What is nearest is looked for on a grid of points, and
then on finer and finer grids around the nearest ones, to 0.001 mm. Arcs that standards speak
of are the points of the turned tyre's surface that lie beside the pedal's centre. The
ground is where both tyres' lowest points are, found as a root. Nothing here knows how
a swept surface looks, nor any closed form.

500 bikes have all quantities; 1000 for each limit have the one that it limits,
moved so that it lies within 0.3 mm or degrees of the limit, on either side. All numbers are
random. The file has every tenth; with "all", everything is written. Made with Python
3.11, numpy 1.24.2, scipy 1.10.1, mpmath 1.2.1.

    /usr/bin/python3 clearance.py > clearance.json
    /usr/bin/python3 clearance.py all > elsewhere
"""

import sys
from multiprocessing import Pool

import numpy as np
from scipy.optimize import brentq

import bike
import golden

SHARE = 1 if sys.argv[1:] == ["all"] else 10
BIKES, AROUND = 500, 1000
USUAL = {
    "front_tyre_mm": 28, "rear_tyre_mm": 28, "bar_radius_mm": 16, "pad_radius_mm": 45, "knee_radius_mm": 65, "elbow_radius_mm": 45,
    "pedal": {"middle_mm": 55, "outer_mm": 100, "below_mm": 15, "length_mm": 90, "sole_mm": 15},
    "shoe": {"toe_mm": 85, "ball_mm": 0, "heel_mm": 211, "toe_radius_mm": 32, "ball_radius_mm": 50, "heel_radius_mm": 35, "axis_mm": 35},
    "stay": {"at_bracket_mm": 40, "at_axle_mm": 68, "radius_mm": 9},
}
DEG = np.pi / 180


def zoom(f, lo, hi, counts, fine=7, stop=3e-5):
    """Where f, which takes arrays that broadcast, is least on finer and finer grids."""
    lo, hi = np.array(lo, float), np.array(hi, float)
    n = len(lo)

    def on(low, high, counts):
        axes = [np.linspace(low[i], high[i], counts[i]).reshape([-1 if j == i else 1 for j in range(n)]) for i in range(n)]
        v = np.broadcast_to(f(*axes), counts)
        k = np.unravel_index(np.argmin(v), counts)
        return np.array([axes[i].ravel()[k[i]] for i in range(n)]), float(v[k])

    at, value = on(lo, hi, counts)
    size = (hi - lo) / np.maximum(np.array(counts) - 1, 1)
    while np.max(size / np.maximum(hi - lo, 1e-300)) > stop:
        a, v = on(np.maximum(at - size, lo), np.minimum(at + size, hi), (fine,) * n)
        if v <= value:
            at, value = a, v
        size = size * 0.6
    return at, value


def turned(v, axis, angle):
    """v about a unit vector by angles in radians, in arrays that broadcast (v's last axis is x, y, z)."""
    c, s, (a, b, d) = np.cos(angle), np.sin(angle), axis
    x, y, z = v[..., 0], v[..., 1], v[..., 2]
    along = (a * x + b * y + d * z) * (1 - c)
    return np.stack([x * c + (b * z - d * y) * s + a * along, y * c + (d * x - a * z) * s + b * along, z * c + (a * y - b * x) * s + d * along], -1)


class Bike:
    def __init__(self, doc):
        self.doc = doc
        g, w = doc["geometry"], doc.get("wheels", {})
        self.o = {k: v.copy() if isinstance(v, dict) else v for k, v in USUAL.items()} | doc.get("bulk", {})
        turn = bike.pitch(g, w)
        rear, front, head = bike.axles(g)
        stand = bike.nose_up(turn)
        up = (stand @ head)[:3, 2]
        front = front + w.get("front_sag_mm", 0) * head[:3, 2]
        rear = rear + [0, 0, w.get("rear_sag_mm", 0)]
        self.turn, self.up, self.head = turn, up, bike.place(stand @ head)
        self.front, self.rear = bike.place(stand, *front), bike.place(stand, *rear)
        a = g["axles"]
        self.rf = w.get("front_radius_mm") or a["front_radius_mm"]
        self.rr = w.get("rear_radius_mm") or a["rear_radius_mm"]
        # Circles of centres with the radius of the section, of tyre and mudguard.
        self.rings = [(self.rf - self.o["front_tyre_mm"] / 2, self.o["front_tyre_mm"] / 2)]
        if "mudguard" in self.o:
            m = self.o["mudguard"]
            self.rings.append((self.rf + m["gap_mm"] - m["width_mm"] / 2, m["width_mm"] / 2))

    def wheel(self, ring, steer, phi, share=np.ones(1), theta=None):
        """Points of a ring's circle of centres, or of a smaller circle, or of its surface, in arrays."""
        core, tube = ring
        steer, phi, share = np.broadcast_arrays(np.asarray(steer, float), np.asarray(phi, float), np.asarray(share, float))
        r = core * share
        y = np.zeros_like(r)
        if theta is not None:
            r, y = r + tube * np.cos(theta), y + tube * np.sin(theta)
        p = np.stack([r * np.cos(phi), y + 0 * phi, r * np.sin(phi)], -1) + (self.front - self.head)
        return self.head + turned(p, self.up, steer)

    def site(self, name):
        s = self.doc["position"]["sites"].get(name)
        return (np.array(s["at_mm"], float), s.get("attitude", {})) if s else (None, {})

    def limb(self, side):
        pedal, _ = self.site("pedal_" + side)
        foot, att = self.site("foot_" + side)
        sign = 1 if side == "left" else -1
        p = self.o["pedal"]
        if foot is None:
            foot = np.array([pedal[0], pedal[1] + sign * p["middle_mm"], p["sole_mm"]])
        edge = pedal[1] + sign * p["outer_mm"] if pedal is not None else foot[1] + sign * (p["outer_mm"] - p["middle_mm"])
        return foot[0], foot[1], edge, foot[2], att

    def shoe(self, side):
        """Centres along the shoe at a share from heel to toe, with the crank's end at the bottom bracket; and radii."""
        _, y, _, sole, att = self.limb(side)
        s = self.o["shoe"]
        tilt, yaw = att.get("tilt_deg", 0) * DEG, att.get("yaw_deg", 0) * DEG
        way = np.array([1, np.tan(yaw), np.tan(tilt)])
        way /= np.linalg.norm(way)
        base = np.array([0, y, sole]) + s["axis_mm"] * np.array([-np.sin(tilt), 0, np.cos(tilt)])
        heel, ball, toe = -s["heel_mm"] + s["heel_radius_mm"], s.get("ball_mm", 0), s["toe_mm"] - s["toe_radius_mm"]

        self.ball = (ball - heel) / (toe - heel)

        def at(t):
            # Of all balls between the three, the largest at each place.
            x = heel + t * (toe - heel)
            r = np.maximum(np.interp(x, [heel, toe], [s["heel_radius_mm"], s["toe_radius_mm"]]),
                           np.interp(x, [heel, ball, toe], [s["heel_radius_mm"], s["ball_radius_mm"], s["toe_radius_mm"]]))
            return base + x[..., None] * way, r

        return at

    def carried(self, side, crank):
        length = self.limb(side)[0]
        return length * np.stack([np.sin(crank), 0 * crank, np.cos(crank)], -1)

    def shoe_to_wheel(self, side):
        shoe = self.shoe(side)
        best = np.inf
        for ring in self.rings:
            def room(steer, crank, t, phi):
                c, r = shoe(t)
                return np.linalg.norm(c + self.carried(side, crank) - self.wheel(ring, steer, phi), axis=-1) - r - ring[1]
            at, v = zoom(room, [-1.6, 0, 0.3, 0.5 * np.pi], [1.6, np.pi, 1, 1.5 * np.pi], (17, 13, 5, 25))
            if v < best:
                best, self.nearest = v, (at, ring)
        return best

    def shoe_steering(self, side):
        """The least angle at which something of shoe and wheel is in one place, if that is ever so."""
        if self.shoe_to_wheel(side) > 0:
            return None
        turn_to = -1 if side == "left" else 1
        shoe = self.shoe(side)
        best = np.inf
        for ring in self.rings:
            def room(angle, finer):
                def f(crank, t, phi, share):
                    c, r = shoe(t)
                    return np.linalg.norm(c + self.carried(side, crank) - self.wheel(ring, np.array(turn_to * angle), phi, share), axis=-1) - r - ring[1]
                return zoom(f, [0.1, 0.3, 0.5 * np.pi, 0.6], [np.pi - 0.1, 1, 1.5 * np.pi, 1], (13, 5, 17, 3), stop=finer)[1]
            meets = np.inf
            seen = abs(self.nearest[0][0])  # they meet there, if this ring is the one
            last = 0.0
            for angle in sorted([*np.linspace(0, 1.2, 33), seen]):
                if room(angle, 1e-3) <= 0:
                    meets = angle
                    break
                last = angle
            if np.isfinite(meets):
                if meets == 0:
                    return 0.0
                out, into = last, meets
                while into - out > 2e-5:
                    mid = (out + into) / 2
                    if room(mid, 1e-4) <= 0:
                        into = mid
                    else:
                        out = mid
                best = min(best, (out + into) / 2)
        return best / DEG

    def beside(self, side, score):
        """The least score of the points of the wheel's surface that come to lie beside the pedal's centre."""
        _, y, _, _, _ = self.limb(side)
        best = np.inf
        for ring in self.rings:
            def f(phi, theta):
                lo, hi = np.zeros(np.broadcast(phi, theta).shape), np.full(np.broadcast(phi, theta).shape, 1.5)
                sign = -1 if y > 0 else 1
                for _ in range(45):  # the steering angle that brings the point to y
                    mid = (lo + hi) / 2
                    p = self.wheel(ring, sign * mid, phi, theta=theta)
                    out = abs(y) - p[..., 1] * np.sign(y) > 0
                    lo, hi = np.where(out, mid, lo), np.where(out, hi, mid)
                p = self.wheel(ring, sign * hi, phi, theta=theta)
                miss = abs(p[..., 1] - y) > 1e-6
                return np.where(miss, np.inf, score(p[..., 0], p[..., 2]))
            best = min(best, zoom(f, [0.5 * np.pi, -np.pi], [1.5 * np.pi, np.pi], (31, 25))[1])
        return best

    def toe_level(self, side):
        length = self.limb(side)[0]
        with np.errstate(invalid="ignore"):
            return self.beside(side, lambda x, z: np.where(abs(z) <= length, x - np.sqrt(np.maximum(length**2 - z**2, 0)), np.inf))

    def toe_plan(self, side):
        length = self.limb(side)[0]
        return self.beside(side, lambda x, z: x - length)

    def toe_parallel(self, side):
        length = self.limb(side)[0]
        return self.beside(side, lambda x, z: np.hypot(x, z) - length)

    def pedal_lean(self, side):
        length, _, edge, _, _ = self.limb(side)
        p = self.o["pedal"]
        corners = np.array([[x, edge, -length - p["below_mm"]] for x in (-p["length_mm"] / 2, p["length_mm"] / 2)])
        sign = -1 if edge > 0 else 1  # towards the pedal's side: about X against Y to Z
        tyres = [(self.front, self.rings[0]), (self.rear, (self.rr - self.o["rear_tyre_mm"] / 2, self.o["rear_tyre_mm"] / 2))]
        phi = np.linspace(1.25 * np.pi, 1.75 * np.pi, 2001)

        def stand(lean, nose):
            m = bike.Rotation.from_euler("yx", [-nose, sign * lean], degrees=True).as_matrix()
            low = []
            for axle, (core, tube) in tyres:
                z = ((axle + core * np.stack([np.cos(phi), 0 * phi, np.sin(phi)], -1)) @ m.T)[:, 2]
                k = np.argmin(z)
                a, b, c = z[k - 1], z[k], z[k + 1]  # the lowest point of a parabola through three
                low.append(b - (a - c) ** 2 / 8 / (a - 2 * b + c) - tube)
            return low, (corners @ m.T)[:, 2].min()

        def room(lean):
            nose = brentq(lambda n: stand(lean, n)[0][0] - stand(lean, n)[0][1], -12, 12, xtol=1e-10)
            low, pedal = stand(lean, nose)
            return pedal - low[1]

        return brentq(room, -50, 70, xtol=1e-8)

    def heel_to_stay(self, side):
        shoe = self.shoe(side)
        s = self.o["stay"]
        sign = 1 if side == "left" else -1
        a = np.array([0, sign * s["at_bracket_mm"], 0.0])
        b = np.array([self.rear[0], sign * s["at_axle_mm"], self.rear[2]])

        def room(crank, t):
            c, r = shoe(t)
            x = c + self.carried(side, crank) - a
            mu = np.clip(x @ (b - a) / ((b - a) @ (b - a)), 0, 1)
            return np.linalg.norm(x - mu[..., None] * (b - a), axis=-1) - r - s["radius_mm"]

        # Two valleys, of which either may be the deeper: each eighth of the circle by itself, and before and behind the ball.
        return min(zoom(room, [q * np.pi / 4, lo], [(q + 1) * np.pi / 4, hi], (17, 17))[1]
                   for q in range(8) for lo, hi in ((0, self.ball), (self.ball, 1)))

    def knee(self, side, crank):
        """Places of the knee, which lies in front of the line from hip to ankle, above the foot."""
        body = self.doc["body"]
        leg = body[side]
        saddle, _ = self.site("saddle_reference")
        length, y, _, sole, _ = self.limb(side)
        hip = np.array([saddle[0] + body["hip_forward_mm"], saddle[2] + body["hip_up_mm"]])
        pitch = leg["ankle"]["profile_deg"][0] * DEG
        rise = sole + leg["ankle_height_mm"]
        ankle = np.stack([length * np.sin(crank) - leg["ankle_behind_mm"] * np.cos(pitch) - rise * np.sin(pitch),
                          length * np.cos(crank) - leg["ankle_behind_mm"] * np.sin(pitch) + rise * np.cos(pitch)], -1)
        way = ankle - hip
        d = np.linalg.norm(way, axis=-1)
        cos = (d**2 + leg["thigh_mm"] ** 2 - leg["shank_mm"] ** 2) / (2 * d * leg["thigh_mm"])
        bend = np.arccos(cos)
        slope = np.arctan2(way[..., 1], way[..., 0]) + bend
        return np.stack([hip[0] + leg["thigh_mm"] * np.cos(slope), 0 * d + y, hip[1] + leg["thigh_mm"] * np.sin(slope)], -1)

    def knee_to(self, side, ends, radius):
        best = np.inf
        for a, b in ends:
            def room(crank, mu):
                return np.linalg.norm(self.knee(side, crank) - (a + mu[..., None] * (b - a)), axis=-1)
            best = min(best, *(zoom(room, [q * np.pi / 2, 0], [(q + 1) * np.pi / 2, 1], (25, 9))[1] for q in range(4)))
        return best - radius - self.o["knee_radius_mm"]

    def knee_to_bar(self, side):
        known = [self.site(n)[0] for n in ("bar_clamp", "tops_" + side, "hoods_" + side, "drops_" + side)]
        known = [k for k in known if k is not None]
        ends = list(zip(known, known[1:]))
        grip = self.site("grip_" + side)[0]
        if grip is not None:
            ends.append((self.site("bar_clamp")[0], grip))
        return self.knee_to(side, ends, self.o["bar_radius_mm"])

    def knee_to_pad(self, side):
        pad = self.site("pad_" + side)[0]
        return None if pad is None else self.knee_to(side, [(pad, pad)], self.o["pad_radius_mm"])

    def standover(self, _):
        t = self.doc["bulk"]["top_tube"]
        g = self.doc["geometry"]
        stand = bike.nose_up(self.turn)
        seat = bike.place(stand @ bike.nose_up(90 - g["seat_angle_deg"]), g.get("seat_offset_mm", 0), 0, t["seat_mm"])
        head = self.head - t["head_mm"] * self.up
        mu = brentq(lambda m: (seat + m * (head - seat))[0] - t["at_mm"], 0, 1, xtol=1e-14)
        return (seat + mu * (head - seat))[2] - (self.rear[2] - self.rr)

    def standover_room(self, _):
        return self.doc["inseam_mm"] - self.standover(None)


QUANTITIES = ["shoe_to_wheel", "shoe_steering", "toe_level", "toe_plan", "toe_parallel", "pedal_lean", "heel_to_stay",
              "knee_to_bar", "knee_to_pad", "standover", "standover_room"]
CENTRE = ["standover", "standover_room"]


def draw(rng):
    def u(lo, hi, digits=2):
        return round(float(rng.uniform(lo, hi)), digits)

    def maybe(share):
        return rng.uniform() < share

    small = maybe(0.15)
    rf = u(180, 300) if small else u(310, 375)
    rr = u(rf - 12, rf + 12) if maybe(0.3) else rf
    doc = {"geometry": {
        "stack_mm": u(460, 660), "reach_mm": u(330, 480), "head_angle_deg": u(64, 77), "seat_angle_deg": u(70, 78),
        "axles": {"chainstay_mm": u(390, 480), "bb_drop_mm": u(-40, 20) if small else u(20, 85), "fork_offset_mm": u(-20, 80) if maybe(0.2) else u(35, 60),
                  "front_radius_mm": rf, "rear_radius_mm": rr}}}
    if maybe(0.3):
        doc["geometry"]["seat_offset_mm"] = u(-10, 20)
    if maybe(0.4):
        doc["wheels"] = {"front_sag_mm": u(0, 40), "rear_sag_mm": u(0, 40), "front_radius_mm": round(rf + u(-8, 12), 2), "rear_radius_mm": round(rr + u(-8, 12), 2)}
    length, q = u(135, 185), u(130, 185)
    sites = {}
    feet = maybe(0.8)
    for side, sign in ("left", 1), ("right", -1):
        if not feet or maybe(0.8):
            sites["pedal_" + side] = {"at_mm": [length, sign * q / 2, 0]}
        if feet:
            sites["foot_" + side] = {"at_mm": [length, round(sign * (q / 2 + u(42, 70)), 2), u(5, 35)]}
            if maybe(0.6):
                sites["foot_" + side]["attitude"] = {"tilt_deg": u(-20, 10), "yaw_deg": u(-10, 10), "roll_deg": 0}
    o = {}
    if maybe(0.7):
        o |= {"front_tyre_mm": u(20, 65), "rear_tyre_mm": u(20, 65)}
    if maybe(0.3):
        o["mudguard"] = {"gap_mm": u(5, 25), "width_mm": u(35, 70)}
    if maybe(0.5):
        o["pedal"] = {"middle_mm": u(45, 65), "outer_mm": u(75, 115), "below_mm": u(6, 25), "length_mm": u(50, 110), "sole_mm": u(5, 30)}
    if maybe(0.7):
        o["shoe"] = {"toe_mm": u(60, 140), "ball_mm": u(-10, 25), "heel_mm": u(140, 230), "toe_radius_mm": u(20, 38), "ball_radius_mm": u(30, 55), "heel_radius_mm": u(28, 40), "axis_mm": u(15, 45)}
    if maybe(0.5):
        o["stay"] = {"at_bracket_mm": u(30, 60), "at_axle_mm": u(60, 95), "radius_mm": u(6, 14)}
    doc["bulk"] = o
    doc["position"] = {"sites": sites}
    return doc


def with_rider(doc, rng):
    """Adds a rider, whose legs reach, with a bar of one kind, and a top tube."""
    def u(lo, hi, digits=2):
        return round(float(rng.uniform(lo, hi)), digits)

    sites = doc["position"]["sites"]
    length = next(s["at_mm"][0] for s in sites.values())
    for side, sign in ("left", 1), ("right", -1):
        if "foot_" + side not in sites:
            sites["foot_" + side] = {"at_mm": [length, sign * u(105, 150), u(5, 35)]}
    sites["saddle_reference"] = {"at_mm": [-u(150, 240), 0, u(640, 760)]}
    sites["bar_clamp"] = {"at_mm": [u(380, 520), 0, u(480, 720)]}
    x, _, z = sites["bar_clamp"]["at_mm"]
    half, pads = u(180, 230), rng.uniform() < 0.4
    flat = rng.uniform() < 0.4
    for side, sign in ("left", 1), ("right", -1):
        if flat:
            sites["grip_" + side] = {"at_mm": [round(x - u(0, 60), 2), sign * u(250, 380), round(z + u(-10, 40), 2)]}
        else:
            sites["tops_" + side] = {"at_mm": [x, sign * u(60, 120), z]}
            sites["hoods_" + side] = {"at_mm": [round(x + u(80, 130), 2), sign * half, round(z + u(0, 40), 2)]}
            sites["drops_" + side] = {"at_mm": [round(x + u(0, 60), 2), sign * (half + 10), round(z - u(100, 140), 2)]}
        if pads:
            sites["pad_" + side] = {"at_mm": [round(x - u(20, 120), 2), sign * u(70, 120), round(z + u(20, 90), 2)]}
    legs = {side: {"thigh_mm": u(400, 470), "shank_mm": u(400, 460), "ankle_height_mm": u(60, 110), "ankle_behind_mm": u(90, 150),
                   "ankle": {"given": "sole_pitch", "profile_deg": [u(-25, 0)]}} for side in ("left", "right")}
    doc["body"] = {**legs, "hip_forward_mm": u(-30, 30), "hip_up_mm": u(60, 100)}
    o = doc["bulk"]
    if rng.uniform() < 0.5:
        o |= {"bar_radius_mm": u(11, 20), "pad_radius_mm": u(30, 60), "knee_radius_mm": u(50, 80)}
    o["top_tube"] = {"head_mm": u(20, 120), "seat_mm": u(350, 520), "at_mm": u(-80, 250)}
    doc["inseam_mm"] = u(700, 900)


def whole(seed):
    rng = np.random.default_rng([2106, seed])
    while True:
        doc = draw(rng)
        with_rider(doc, rng)
        crank = np.linspace(0, 2 * np.pi, 721)
        with np.errstate(invalid="ignore"):
            b = Bike(doc)
            if not all(np.all(np.isfinite(b.knee(s, crank))) for s in ("left", "right")):
                continue
        if seed % 2:  # near to touching: the frame is made shorter or longer
            gap = Bike(doc).shoe_to_wheel("left")
            doc["geometry"]["reach_mm"] = round(doc["geometry"]["reach_mm"] + float(rng.uniform(-22, 15)) - gap, 2)
        b = Bike(doc)
        if not 280 < doc["geometry"]["reach_mm"] < 590 or not 430 < bike.axles(doc["geometry"])[1][0] < 1000:
            continue
        want = {}
        for q in QUANTITIES:
            got = [getattr(b, q)(side) for side in ([None] if q in CENTRE else ["left", "right"])]
            want[q] = [None if v is None or not np.isfinite(v) else round(float(v), 5) for v in got]
        # Where the shoe's middle line is in the wheel, distances to surfaces no longer say how deep.
        if min(want["shoe_to_wheel"]) < -24:
            continue
        return {"bike": doc, "want": want}


LIMITS = [("toe_level", 89), ("toe_plan", 89), ("toe_parallel", 100), ("pedal_lean", 25), ("shoe_to_wheel", 0), ("heel_to_stay", 0)]


def judged(doc, name, side):
    """The quantity, of a bike whose numbers are in their ranges."""
    o = doc["bulk"]
    pedal, stay = o.get("pedal", USUAL["pedal"]), o.get("stay", USUAL["stay"])
    if not 210 < doc["geometry"]["reach_mm"] < 590 or not 405 < bike.axles(doc["geometry"])[1][0] < 1000:
        return None
    if not pedal["middle_mm"] < pedal["outer_mm"] < 195 or not 12 < stay["at_bracket_mm"] < 118 or not 32 < stay["at_axle_mm"] < 148:
        return None
    value = getattr(Bike(doc), name)(side)
    return value if np.isfinite(value) else None  # a small wheel may not come out to the pedal


def near(job):
    """A bike that a limit nearly passes or fails: one number of it is moved until it does."""
    name, limit, seed = job
    rng = np.random.default_rng([2107, [q for q, _ in LIMITS].index(name), seed])
    while True:
        doc = draw(rng)
        side = "left" if rng.uniform() < 0.5 else "right"
        goal = limit + float(rng.uniform(-0.3, 0.3))

        def move(by):
            g = doc["geometry"]
            if name == "pedal_lean":
                o = doc["bulk"].setdefault("pedal", USUAL["pedal"].copy())
                o["outer_mm"] = round(o["outer_mm"] - 6 * by, 3)
            elif name == "heel_to_stay":
                o = doc["bulk"].setdefault("stay", USUAL["stay"].copy())
                o["at_axle_mm"], o["at_bracket_mm"] = round(o["at_axle_mm"] - by, 3), round(o["at_bracket_mm"] - by, 3)
            else:
                g["reach_mm"] = round(g["reach_mm"] + by, 3)

        for _ in range(6):
            value = judged(doc, name, side)
            if value is None or abs(value - goal) < 0.05:
                break
            move(goal - value)
            value = None
        if value is not None and 2e-3 < abs(value - limit) < 0.35:
            return {"bike": doc, "limit": {"quantity": name, "side": side, "at": limit, "value": round(float(value), 5)}}


if __name__ == "__main__":
    with Pool() as pool:
        cases = pool.map(whole, range(0, BIKES, SHARE), chunksize=1)
        cases += pool.map(near, [(q, v, s) for q, v in LIMITS for s in range(0, AROUND, SHARE)], chunksize=4)
    golden.write("clearance", cases)
