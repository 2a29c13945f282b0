"""Writes surveys.json for package contact/survey: 24 bikes that lean, do not stand
level and have their wheel turned, read with errors by an instrument that stands
anywhere; where their contact points are; and 6 covariances.

How true each pair is, is stated, and that of axles the middle counts as well. 12 surveys
without the head tube are a bundle adjustment: all that is unknown of an ideal bike and of
the instrument's place and turn (16 numbers) at once, against all readings. With the head
tube, the conditions that the package documents count one by one, as independent, so there
the 7 numbers of the datum are adjusted to those, and nothing is supposed of fork and head
angle. A covariance is that of a survey without errors: it is adjusted again with each
input moved, both ways, and the inputs' variances go through the slopes. What a frame is
out of true moves the middle of a pair sideways, its ends against each other, and the head
tube off the steering axis. All by Gauss and Newton with numerical slopes at 40
digits (lsq.py), from scipy's answer. All numbers are random. Made with Python 3.11,
numpy 1.24.2, scipy 1.10.1, mpmath 1.2.1.

    /usr/bin/python3 surveys.py > surveys.json
"""

from multiprocessing import Pool

import mpmath
import numpy as np
from mpmath import mpf
from scipy.spatial.transform import Rotation

import golden
import lsq

TRUE = mpf("0.3")  # mm, how true each landmark of a frame is
OFFSET, ANGLE = 8 * mpmath.sqrt(mpf("1.37")), mpmath.radians(4) * mpmath.sqrt(mpf("1.37"))  # how far from usual
UNITS = [("mm", 1.0), ("cm", 10.0), ("m", 1000.0), ("in", 25.4)]
SADDLE = ["saddle_reference", "saddle_nose", "saddle_rear"]
BAR = ["bar_clamp", "hoods_left", "hoods_right", "drops_left", "drops_right"]
FRAME = [f"{p}_{s}" for p in ("bottom_bracket", "rear_axle", "front_axle") for s in ("left", "right")]
HEAD = [f"head_tube_{p}_{s}" for p in ("top", "bottom") for s in ("left", "right")]


def vec(v):
    return mpmath.matrix([mpf(float(c)) if not isinstance(c, mpf) else c for c in v])


def turn(w):
    """The rotation by the vector w, as the exponential of its cross product."""
    a = mpmath.sqrt(sum(c * c for c in w))
    k = mpmath.matrix([[0, -w[2], w[1]], [w[2], 0, -w[0]], [-w[1], w[0], 0]])
    if a == 0:
        return mpmath.eye(3) + k
    return mpmath.eye(3) + k * (mpmath.sin(a) / a) + k * k * ((1 - mpmath.cos(a)) / a**2)


def dot(a, b):
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def steering(angle):
    """Forward and square to the steering axis, and up it."""
    s, c = mpmath.sin(angle), mpmath.cos(angle)
    return mpmath.matrix([s, 0, c]), mpmath.matrix([-c, 0, s])


Y = mpmath.matrix([0, 1, 0])


class Survey:
    def __init__(self, case):
        self.case = case
        self.start = Rotation.from_matrix(case["turn"]).inv().as_matrix()  # near the truth: instrument to bike

    def axes(self, w):
        return turn(w) * mpmath.matrix(self.start.tolist())

    # The bundle: an ideal bike, mirrored on its mid-plane, in the instrument's axes.
    def bundle(self, points, extra):
        c = self.case
        read = mpf(c["sigma"]) ** 2 / c["times"]
        good, fair = mpmath.sqrt(read), mpmath.sqrt(read + TRUE**2)

        def ideal(x):
            w, t = x[0:3], mpmath.matrix(x[3:6])
            bb, rear, (fx, fz, fy), (steer, offset, angle) = x[6], x[7:10], x[10:13], x[13:16]
            out, along = steering(angle)
            # The wheel turns about the steering axis: its axle lies offset in front of it.
            foot = mpmath.matrix([fx, 0, fz]) - out * offset
            round_ = out * mpmath.cos(steer) + Y * mpmath.sin(steer)
            across = Y * mpmath.cos(steer) - out * mpmath.sin(steer)
            axle = foot + round_ * offset
            at = {
                "bottom_bracket_left": Y * bb, "bottom_bracket_right": -Y * bb,
                "rear_axle_left": mpmath.matrix(rear), "rear_axle_right": mpmath.matrix([rear[0], -rear[1], rear[2]]),
                "front_axle_left": axle + across * fy, "front_axle_right": axle - across * fy,
            }
            return self.axes(w), t, at, (round_, along, across)

        def off(x):
            r, t, at, wheel = ideal(x)
            rows = []
            for pair in PAIRS[:3]:
                left, right = (r * (points[pair + side] - t) - at[pair + side] for side in ("_left", "_right"))
                # Out of true are the middle sideways, and the ends against each other.
                middle, apart = (left + right) / mpmath.sqrt(2), (left - right) / mpmath.sqrt(2)
                rows += [middle[0] / good, middle[1] / fair, middle[2] / good]
                fore, up, across = wheel if pair == "front_axle" else (mpmath.matrix([1, 0, 0]), mpmath.matrix([0, 0, 1]), Y)
                rows += [dot(fore, apart) / fair, dot(up, apart) / fair, dot(across, apart) / good]
            if c["radii"]:
                level = x[11] - x[9] - extra["radii"]
                rows.append(level / (mpmath.sqrt(2) * mpf(c["radius_sigma"])))
            else:
                rows.append((r * extra["up"])[0] / mpmath.radians(mpf(c["up_sigma"])))
            return rows + [(x[14] - extra["offset"]) / OFFSET, (x[15] - extra["angle"]) / ANGLE]

        def start():
            b = c["bike"]
            return [0.0] * 3 + [float(v) for v in (points["bottom_bracket_left"] + points["bottom_bracket_right"]) / 2] + [
                b["bottom_bracket_left"][1], *b["rear_axle_left"], b["front_axle_left"][0], b["front_axle_left"][2], b["front_axle_left"][1],
                np.radians(c["steer"]), 45.0, np.radians(71),
            ]

        x, _ = lsq.solve(off, start())
        r, t, _, _ = ideal(x)
        out, along = steering(x[15])
        # The wheel is turned back about an axis that runs behind the axle as it was read.
        foot = r * ((points["front_axle_left"] + points["front_axle_right"]) / 2 - t) - out * (x[14] * mpmath.cos(x[13]))
        foot[1] = 0
        return r, t, foot, out, along, x[13]

    # The conditions: what is left of each on the bike's axes, over its own uncertainty.
    def conditions(self, points, extra, begin=None):
        c = self.case
        read = mpf(c["sigma"]) ** 2 / c["times"]
        v = read + TRUE**2
        centre = (points["bottom_bracket_left"] + points["bottom_bracket_right"]) / 2

        def parts(x):
            r = self.axes(x[0:3])
            at = {k: r * (p - centre) for k, p in points.items()}
            mid = {k[:-5]: (at[k] + at[k[:-5] + "_right"]) / 2 for k in at if k.endswith("_left")}
            apart = {k[:-5]: at[k] - at[k[:-5] + "_right"] for k in at if k.endswith("_left")}
            return r, mid, apart

        def off(x):
            aside, steer, offset, angle = x[3:7]
            r, mid, apart = parts(x)
            out, along = steering(angle)
            forward = out * mpmath.cos(steer) + Y * mpmath.sin(steer)
            rows = []
            for pair in mid:
                if pair not in PAIRS:
                    continue
                turned = pair == "front_axle"
                rows.append((mid[pair][1] - aside - (offset * mpmath.sin(steer) if turned else 0)) / mpmath.sqrt(v / 2))
                for e in (forward, along) if turned else (mpmath.matrix([1, 0, 0]), mpmath.matrix([0, 0, 1])):
                    rows.append(dot(e, apart[pair]) / mpmath.sqrt(2 * v))
            if "head_tube_top" in mid:
                rows.append(dot(out, mid["head_tube_top"] - mid["head_tube_bottom"]) / mpmath.sqrt(v))
                axis = mid["front_axle"] - forward * offset
                middle = (mid["head_tube_top"] + mid["head_tube_bottom"]) / 2
                rows.append(dot(out, middle - axis) / mpmath.sqrt((3 * read + TRUE**2) / 4))
            if c["radii"]:
                straight = mid["front_axle"] - forward * offset + out * offset
                rows.append((straight[2] - mid["rear_axle"][2] - extra["radii"]) / mpmath.sqrt(read + 2 * mpf(c["radius_sigma"]) ** 2))
            else:
                rows.append((r * extra["up"])[0] / mpmath.radians(mpf(c["up_sigma"])))
            if "head_tube_top" in mid:
                return rows
            return rows + [(offset - extra["offset"]) / OFFSET, (angle - extra["angle"]) / ANGLE]

        if begin is None:
            x, _ = lsq.solve(off, [0.0] * 4 + [np.radians(c["steer"]), 45.0, np.radians(71)])
        else:
            x = list(begin)
            for _ in range(12):
                j, r = lsq.slopes(off, x), mpmath.matrix(off(x))
                step = mpmath.lu_solve(j.T * j, j.T * r)
                x = [a - b for a, b in zip(x, step)]
                if max(abs(s) for s in step) < mpf(10) ** -24:
                    break
        r, mid, _ = parts(x)
        aside, steer, offset, angle = x[3:7]
        out, along = steering(angle)
        foot = mid["front_axle"] - out * (offset * mpmath.cos(steer))
        foot[1] = 0
        return (r, centre + r.T * (Y * aside), foot, out, along, steer), x

    def askew(self, points, x):
        """How what a frame is out of true moves each pair, and the variances."""
        r = self.axes(x[0:3])
        out, along = steering(x[6])
        forward = out * mpmath.cos(x[4]) + Y * mpmath.sin(x[4])
        for pair in PAIRS:
            if pair + "_left" not in points:
                continue
            left, right = pair + "_left", pair + "_right"
            aside = r.T * Y
            yield (left, aside), (right, aside), TRUE**2 / 2
            for e in (forward, along) if pair == "front_axle" else (mpmath.matrix([1, 0, 0]), mpmath.matrix([0, 0, 1])):
                e = r.T * e
                yield (left, e / 2), (right, -e / 2), 2 * TRUE**2
            if pair.startswith("head_tube"):
                e = r.T * out
                yield (left, e), (right, e), TRUE**2 / 2

    def place(self, fit, points):
        """Sites on the bike, wheel straight."""
        r, t, foot, out, along, steer = fit
        at = {k: r * (p - t) for k, p in points.items()}
        for k in BAR:
            if k in at:
                d = at[k] - foot
                a, b, h = dot(d, out), d[1], dot(d, along)  # on the axis' own axes, turned back about it
                s, c = mpmath.sin(steer), mpmath.cos(steer)
                a, b = a * c + b * s, b * c - a * s
                at[k] = foot + out * a + along * h
                at[k][1] = b
        for k in ("pedal_left", "pedal_right"):
            if k in at:
                at[k] = mpmath.matrix([mpmath.sqrt(at[k][0] ** 2 + at[k][2] ** 2), at[k][1], 0])
        return at


PAIRS = ("bottom_bracket", "rear_axle", "front_axle", "head_tube_top", "head_tube_bottom")


def make(i, noise, head, truth):
    rng = np.random.default_rng([2106, i])

    def u(lo, hi, digits=3):
        return round(float(rng.uniform(lo, hi)), digits)

    radii = i % 4 != 3
    rf, rr = u(330, 350), u(330, 350)
    angle, offset = (71.0, 45.0) if truth else (u(67, 74), u(38, 53))
    steer = u(-12, 12)
    drop = u(50, 80)
    rear = np.array([-np.sqrt(u(405, 440) ** 2 - drop**2), 0, drop])
    front = np.array([u(570, 680), 0, drop + rf - rr])
    bike = {}

    def both(name, x, y, z):
        bike[name + "_left"], bike[name + "_right"] = np.array([x, y, z]), np.array([x, -y, z])

    both("bottom_bracket", 0, u(55, 75), 0)
    both("rear_axle", rear[0], u(65, 75), rear[2])
    both("front_axle", front[0], u(45, 55), front[2])
    out = np.array([np.sin(np.radians(angle)), 0, np.cos(np.radians(angle))])
    along = np.array([-out[2], 0, out[0]])
    foot = front - offset * out
    if head:
        for name, k in ("head_tube_top", u(540, 580)), ("head_tube_bottom", u(400, 430)):
            p = foot + k * along
            both(name, p[0], u(15, 25), p[2])
    bike |= {
        "saddle_reference": np.array([u(-230, -170), u(-2, 2), u(680, 740)]), "bar_clamp": np.array([u(440, 500), u(-2, 2), u(590, 660)]),
    }
    tilt = np.radians(u(-4, 3))
    bike["saddle_nose"] = bike["saddle_reference"] + u(130, 150) * np.array([np.cos(tilt), 0.005, np.sin(tilt)])
    bike["saddle_rear"] = bike["saddle_reference"] - u(120, 135) * np.array([np.cos(tilt), 0.005, np.sin(tilt)])
    for name, x, y, z in ("hoods", 575, 205, 655), ("drops", 510, 215, 520):
        both(name, u(x - 30, x + 30), u(y - 15, y + 15), u(z - 30, z + 30))
        bike[name + "_left"] = bike[name + "_left"] + [u(-2, 2), 0, u(-2, 2)]
    crank, at = u(160, 178), np.radians(u(0, 360))
    both("pedal", crank * np.cos(at), u(70, 80), crank * np.sin(at))
    bike["pedal_right"] = bike["pedal_right"] * [-1, 1, -1]

    turned = dict(bike)
    about = Rotation.from_rotvec(np.radians(steer) * along)
    for k in (*BAR, "front_axle_left", "front_axle_right"):
        turned[k] = foot + about.apply(turned[k] - foot)
    r = Rotation.from_euler("zyx", [u(-180, 180), u(-40, 40), u(-40, 40)], degrees=True)
    shift = rng.normal(size=3) * 700
    unit, mm = UNITS[i % 4]
    sigma, times = (u(0.2, 0.8), 3) if noise else (0.5, 2)
    readings = []
    for k, p in turned.items():
        for _ in range(times):
            readings.append({"landmark": k, "at": ((r.apply(p) + shift + rng.normal(size=3) * (sigma if noise else 0)) / mm).tolist()})
    up = r.apply([0, 0, 1.0])  # the bike stood level against gravity but for its lean
    lean = Rotation.from_rotvec(np.radians(u(-6, 6)) * r.apply([1.0, 0, 0]))
    case = {
        "unit": unit, "mm": mm, "sigma": sigma, "times": times, "radii": [rf, rr] if radii else None, "radius_sigma": u(0.5, 2), "up": lean.apply(up).tolist(),
        "up_sigma": u(0.05, 0.3), "steer": steer, "bike": {k: v.tolist() for k, v in bike.items()}, "turn": r.as_matrix().tolist(), "readings": readings,
    }
    return case


def means(case):
    points = {}
    for r in case["readings"]:
        points.setdefault(r["landmark"], []).append(vec(r["at"]) * mpf(case["mm"]))
    return {k: sum(v[1:], v[0]) / len(v) for k, v in points.items()}


def extras(case):
    up = vec(case["up"])
    return {
        "radii": mpf(case["radii"][0]) - mpf(case["radii"][1]) if case["radii"] else None, "up": up / mpmath.sqrt(dot(up, up)), "offset": mpf(45), "angle": mpmath.radians(71),
    }


def output(case, extra):
    keep = ("unit", "times", "radii", "radius_sigma", "up", "up_sigma", "readings")
    return {"input": {k: case[k] for k in keep} | {"sigma": case["sigma"] / case["mm"]}, "expected": extra}


def solved(i):
    head = i % 2 == 1
    case = make(i, True, head, False)
    case["sigma"] = float(mpf(case["sigma"] / case["mm"]) * mpf(case["mm"]))
    s, points, extra = Survey(case), means(case), extras(case)
    by_conditions, _ = s.conditions(points, extra)
    fit = by_conditions if head else s.bundle(points, extra)
    at = s.place(fit, points)
    nose, rear = at["saddle_nose"], at["saddle_rear"]
    return output(case, {
        "way": "conditions" if head else "bundle", "sites": {k: [float(v) for v in p] for k, p in at.items() if k not in FRAME + HEAD}, "steer": float(mpmath.degrees(fit[5])),
        "tilt": float(mpmath.degrees(mpmath.atan2(nose[2] - rear[2], nose[0] - rear[0]))),  # in the side view
        "covariance": None,
    })


def covariance(i):
    case = make(100 + i, False, i % 2 == 1, True)
    s, points, extra = Survey(case), means(case), extras(case)
    sites = ["saddle_reference", "bar_clamp", "hoods_left"]
    _, begin = s.conditions(points, extra)

    def place(points, extra):
        fit, _ = s.conditions(points, extra, begin)
        at = s.place(fit, {k: points[k] for k in sites})
        return [at[k][a] for k in sites for a in range(3)]

    h = mpf(10) ** -10
    total = mpmath.zeros(9)

    def through(change, variance):
        up, down = place(*change(h)), place(*change(-h))
        j = mpmath.matrix([(a - b) / (2 * h) for a, b in zip(up, down)])
        return j * j.T * variance

    one = mpf(case["sigma"]) ** 2 / case["times"]
    for k in points:
        if k in FRAME + HEAD + sites:
            for a in range(3):
                def moved(by, k=k, a=a):
                    p = points[k].copy()
                    p[a] += by
                    return points | {k: p}, extra
                total += through(moved, one)
    for left, right, variance in s.askew(points, begin):
        total += through(lambda by, left=left, right=right: (points | {k: points[k] + v * by for k, v in (left, right)}, extra), variance)
    for name, variance in ("offset", OFFSET**2), ("angle", ANGLE**2), *([("radii", 2 * mpf(case["radius_sigma"]) ** 2)] if case["radii"] else []):
        total += through(lambda by, name=name: (points, extra | {name: extra[name] + by}), variance)
    if not case["radii"]:  # up turns along two tangents
        t = mpmath.matrix([extra["up"][1], -extra["up"][0], 0])
        t = t / mpmath.sqrt(dot(t, t))
        c = mpmath.matrix([extra["up"][1] * t[2] - extra["up"][2] * t[1], extra["up"][2] * t[0] - extra["up"][0] * t[2], extra["up"][0] * t[1] - extra["up"][1] * t[0]])
        for tangent in (t, c):
            total += through(lambda by, g=tangent: (points, extra | {"up": extra["up"] + g * by}), mpmath.radians(mpf(case["up_sigma"])) ** 2)
    at = s.place(s.conditions(points, extra, begin)[0], points)
    return output(case, {
        "way": "slopes", "sites": {k: [float(v) for v in p] for k, p in at.items() if k not in FRAME + HEAD}, "steer": case["steer"], "tilt": None,
        "covariance": {"sites": sites, "matrix": [[float(total[a, b]) for b in range(9)] for a in range(9)]},
    })


def one(job):
    return job[0](job[1])


if __name__ == "__main__":
    with Pool(2) as pool:
        golden.write("surveys", pool.map(one, [(solved, i) for i in range(24)] + [(covariance, i) for i in range(6)], chunksize=1))
