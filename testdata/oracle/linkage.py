"""Writes linkage.json for package contact/rider: 60 bodies on bikes, each with
eight postures of both legs, what knee, hip and ankle do over the stroke, and trunk
and arms. In half of them a leg or an arm is too short or, folded together, too long.
(../rider.py has postures, far ends and inverses of chains that reach.)

A limb is two links and a given angle. Its joint angles are those that bring its end
nearest to where it has to be, by the method of Gauss and Newton with complex-step
slopes (numpy); the distance that is left is the gap. Extremes over the stroke are
searched: a grid, and scipy's minimize_scalar. All numbers are random. Made with
Python 3.11, numpy 1.24.2, scipy 1.10.1.

    /usr/bin/python3 linkage.py > linkage.json
"""

from multiprocessing import Pool

import numpy as np
from scipy.interpolate import CubicHermiteSpline
from scipy.optimize import minimize_scalar

import golden

rng = np.random.default_rng(2105)
deg = np.pi / 180


def u(lo, hi, digits=3):
    return round(float(rng.uniform(lo, hi)), digits)


def pick(*of):
    return of[rng.integers(len(of))]


def go(pitch):
    return np.array([np.cos(pitch), np.sin(pitch)])


def nearest(end, want, start):
    """The two angles with which end(angles) comes nearest to want, and what is left."""
    x = np.array(start, dtype=float)
    for _ in range(40):
        r = end(x) - want
        j = np.array([end(x + 1e-30j * np.eye(2)[i]).imag / 1e-30 for i in range(2)]).T
        # At a limb that is stretched out, slopes alone do not tell: use the whole
        # second derivative of the square, by differences of the exact slopes.
        def gradient(y):
            k = np.array([end(y + 1e-30j * np.eye(2)[i]).imag / 1e-30 for i in range(2)]).T
            return k.T @ (end(y) - want)

        step = np.linalg.lstsq(j, r, rcond=None)[0]
        if np.linalg.norm(r) > 1e-7 and abs(np.linalg.det(j)) < 3e4:
            h = np.array([(gradient(x + 1e-6 * np.eye(2)[i]) - gradient(x - 1e-6 * np.eye(2)[i])) / 2e-6 for i in range(2)]).T
            w, v = np.linalg.eigh((h + h.T) / 2)
            step = v @ ((v.T @ gradient(x)) / np.maximum(abs(w), 1.0))
        size = np.linalg.norm(step)
        x = x - step * min(1, 0.3 / size if size else 1)
        if size < 1e-11:
            break
    left = end(x) - want
    return x, float(np.linalg.norm(left))


def spline(profile):
    if len(profile) == 1:
        return lambda crank: profile[0]
    n = len(profile)
    slope = (np.roll(profile, -1) - np.roll(profile, 1)) / 2 * n / 360
    curve = CubicHermiteSpline(np.linspace(0, 360, n + 1), np.append(profile, profile[0]), np.append(slope, slope[0]))
    return lambda crank: float(curve(crank % 360))


class Leg:
    def __init__(self, leg, foot, hip):
        self.__dict__.update(leg)
        self.crank, self.stack = foot
        self.hip, self.curve, self.last = hip, spline(leg["profile"]), [-0.5, 1.4]

    def at(self, crank_angle):
        pedal = self.crank * np.array([np.sin(crank_angle * deg), np.cos(crank_angle * deg)])
        given = self.curve(crank_angle) * deg

        def sole(shank):
            return given if self.given == "sole_pitch" else shank - np.pi / 2 + given

        def joints(x):
            knee = self.hip + self.thigh * go(x[0])
            ankle = knee - self.shank * go(x[1])
            return knee, ankle

        def end(x):
            along = sole(x[1])
            return joints(x)[1] + self.behind * go(along) - (self.height + self.stack) * go(along + np.pi / 2)

        best = None
        for start in (self.last, [-0.3, 1.3], [-1.1, 1.5]):
            if best and best[0] < 1e-9:
                break
            x, gap = nearest(end, pedal, start)
            # Of the two ways to bend, the knee goes forward: left of hip to pedal and ankle.
            target = joints(x)[1] if self.given == "sole_pitch" else end(x)
            arm, way = joints(x)[0] - self.hip, target - self.hip
            forward = way[0] * arm[1] - way[1] * arm[0]
            if gap > 1e-9 or forward >= -1e-9:
                if best is None or gap < best[0] - 1e-9:
                    best = gap, x
        gap, self.last = best
        x = self.last
        knee, ankle = joints(x)
        reached = end(x)
        # Too short or too long: whether the limb's end lies on this side of the pedal or beyond it.
        shift = pedal - reached
        target = ankle if self.given == "sole_pitch" else reached
        short = (target - self.hip) @ shift > 0
        return {
            "knee": knee.tolist(), "ankle": ankle.tolist(), "knee_flexion": float(((x[0] - x[1] + np.pi) / deg + 360 + 90) % 360 - 90),
            "dorsiflexion": float((sole(x[1]) - x[1] + np.pi / 2) / deg + 180) % 360 - 180, "sole_pitch": float(sole(x[1]) / deg + 180) % 360 - 180,
            "thigh_pitch": float(x[0] / deg + 180) % 360 - 180, "gap": 0.0 if gap < 1e-9 else float(gap if short else -gap),
        }


def upper(case, hip):
    wrist = np.array(case["wrist"])
    kept = case["angle"] * deg

    def joints(x):
        if case["keep"] == "keep_elbow":
            shoulder = hip + case["trunk"] * go(x[0])
            return shoulder, shoulder + case["upper_arm"] * go(x[1]), x[0], x[1], x[1] + kept
        shoulder = hip + case["trunk"] * go(kept)
        return shoulder, shoulder + case["upper_arm"] * go(x[0]), kept, x[0], x[1]

    def end(x):
        _, elbow, _, _, forearm = joints(x)
        return elbow + case["forearm"] * go(forearm)

    best = None
    starts = ([0.9, -0.6], [0.4, -0.3], [1.2, -0.9], [1.6, 0.2], [0.7, -2.5]) if case["keep"] == "keep_elbow" else ([-1.2, 0.2], [-0.6, -0.2], [-2.2, 0.6], [0.2, 0.4], [-1.5, 1.6])
    for start in starts:
        x, gap = nearest(end, wrist, start)
        shoulder, elbow, lean, arm, forearm = joints(x)
        if case["keep"] == "keep_elbow":  # the shoulder lies above the line from hip to wrist
            right = (shoulder - hip)[1] * (wrist - hip)[0] - (shoulder - hip)[0] * (wrist - hip)[1] > 0
        else:  # the elbow below the line from shoulder to wrist
            right = (elbow - shoulder)[1] * (wrist - shoulder)[0] - (elbow - shoulder)[0] * (wrist - shoulder)[1] < 0
        if (gap > 1e-9 or right) and (best is None or gap < best[0] - 1e-9):
            best = gap, x
    gap, x = best
    shoulder, elbow, lean, arm, forearm = joints(x)
    base = hip if case["keep"] == "keep_elbow" else shoulder
    short = (end(x) - base) @ (wrist - end(x)) > 0

    def turn(angle):
        return float((angle / deg + 180) % 360 - 180)

    flexion = turn(forearm - arm)
    return {
        "shoulder": shoulder.tolist(), "elbow": elbow.tolist(), "trunk_lean": turn(lean), "elbow_flexion": abs(flexion),
        "shoulder_flexion": abs(turn(arm - lean - np.pi)), "gap": 0.0 if gap < 1e-9 else float(gap if short else -gap),
    }


def extremes(leg, lean, kinds):
    """Of a leg that reaches, the extremes; of one that does not, the worst gap, and extremes of
    72 postures, since at the places where it comes off the pedal a search is no good."""
    out = {}
    grid = np.arange(0, 360, 5.0)
    poses = [leg.at(c) for c in grid]
    gaps = np.array([p["gap"] for p in poses])

    def search(take, i, sign):
        return float(minimize_scalar(lambda c: sign * take(leg.at(c)), bounds=(grid[i] - 5, grid[i] + 5), method="bounded", options={"xatol": 1e-6}).fun) * sign

    i = int(np.argmax(abs(gaps)))
    out["gap"] = search(lambda p: p["gap"], i, -np.sign(gaps[i])) if gaps[i] else 0.0
    for name, take in kinds.items():
        values = np.array([take(p) for p in poses])
        for which, sign in ("least", 1), ("most", -1):
            i = int(np.argmin(sign * values))
            best = float(values[i])
            if not out["gap"]:
                best = sign * min(sign * best, sign * search(take, i, sign))
            out[f"{name}_{which}"] = best
    return out


def case(i):
    global rng
    rng = np.random.default_rng([2105, i])
    trouble = ("none", "short leg", "none", "short arm", "long leg", "none", "long arm", "short leg")[i % 8]
    saddle = [u(-240, -170), u(640, 760) if trouble != "long leg" else u(500, 560)]
    out = {"saddle": saddle, "hip_forward": u(-40, 60), "hip_up": u(50, 110), "legs": {}, "trouble": trouble}
    hip = np.array(saddle) + [out["hip_forward"], out["hip_up"]]
    arm = {
        "trunk": u(430, 560), "upper_arm": u(280, 350), "forearm": u(230, 290), "wrist_back": u(1, 60), "wrist_up": u(0, 60), "keep": pick("keep_elbow", "keep_trunk"),
        "grip": [u(430, 600), u(580, 720)],
    }
    arm["angle"] = u(10, 50) if arm["keep"] == "keep_elbow" else u(35, 55)
    if trouble == "short arm":
        arm["upper_arm"], arm["forearm"] = u(150, 190), u(150, 190)
        arm["angle"] = u(80, 120) if arm["keep"] == "keep_trunk" else arm["angle"]
        arm["trunk"] = u(300, 340) if arm["keep"] == "keep_elbow" else arm["trunk"]
    if trouble == "long arm":
        arm["upper_arm"], arm["forearm"] = (u(470, 500), u(150, 170))
        arm["keep"], arm["angle"], arm["trunk"] = "keep_trunk", u(2, 12), u(560, 640)
        arm["grip"] = [float(round(hip[0] + arm["trunk"] + u(60, 200), 3)), float(round(hip[1] + u(0, 100), 3))]
    arm["wrist"] = [arm["grip"][0] - arm["wrist_back"], arm["grip"][1] + arm["wrist_up"]]
    up = upper(arm, hip)
    out["upper"] = arm | {"expected": up}
    for side in "left", "right":
        n = pick(1, 8, 12)
        given = pick("sole_pitch", "dorsiflexion")
        mean, swing, phase = u(-18, -4), u(0, 12), u(0, 360)
        crank, stack = u(145, 180), u(5, 40)
        down = np.hypot(*hip) + crank
        thigh, shank = u(400, 470), u(400, 470)
        height, behind = u(60, 100), u(90, 150)
        want = down * (u(0.89, 0.95) if trouble == "short leg" and side == "right" else u(1.03, 1.09))
        if trouble == "long leg" and side == "right":
            thigh, shank = u(660, 695), u(205, 230)
        else:
            thigh, shank = (round(v * (want - height - stack) / (thigh + shank), 3) for v in (thigh, shank))
        leg = {
            "thigh": thigh, "shank": shank, "height": height, "behind": behind, "given": given,
            "profile": [round(mean + swing * float(np.sin((360 * k / n + phase) * deg)), 3) for k in range(n)],
        }
        model = Leg(leg, (crank, stack), hip)
        lean = up["trunk_lean"]
        kinds = {
            "knee_flexion": lambda p: p["knee_flexion"], "ankle_dorsiflexion": lambda p: p["dorsiflexion"], "hip_flexion": lambda p: 180 - (lean - p["thigh_pitch"]),
        }
        angles = [u(0, 360) for _ in range(8)]
        out["legs"][side] = leg | {
            "crank": crank, "stack": stack, "postures": [{"crank_angle": c} | model.at(c) | {"hip_flexion": kinds["hip_flexion"](model.at(c))} for c in angles],
            "span": extremes(model, lean, kinds),
        }
    return out


if __name__ == "__main__":
    with Pool(2) as pool:
        golden.write("linkage", pool.map(case, range(60), chunksize=1))
