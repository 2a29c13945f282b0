"""Writes rider.json: postures of legs and arms as scipy solves them, for
contact/rider. Run with: python3 rider.py > rider.json

Nothing here uses the triangles of the package. A posture is the root of the
equations that the lengths of all segments and the angles given make (scipy's
fsolve); the far end of a stroke is found by minimize_scalar, and the answers of the
inverses by brentq. Bodies and positions are random."""

import json

import numpy as np
import scipy
from scipy.interpolate import CubicHermiteSpline
from scipy.optimize import brentq, fsolve, minimize_scalar

rng = np.random.default_rng(77)
deg = np.pi / 180


def solve(equations, guess):
    root, info, ok, message = fsolve(equations, guess, xtol=1e-13, full_output=True)
    if ok != 1 and np.abs(info["fvec"]).max() > 1e-9:
        raise ArithmeticError(message)
    return root


def flexion(a, joint, b):
    a, b = a - joint, b - joint
    return 180 - np.arccos(a @ b / np.linalg.norm(a) / np.linalg.norm(b)) / deg


def spline(profile):
    if len(profile) == 1:
        return lambda crank: profile[0]
    n = len(profile)
    p = np.array(profile + profile[:1])
    slope = (np.roll(profile, -1) - np.roll(profile, 1)) / 2 * n / 360
    curve = CubicHermiteSpline(np.linspace(0, 360, n + 1), p, np.append(slope, slope[0]))
    return lambda crank: float(curve(crank % 360))


class Leg:
    def __init__(self, case, hip):
        self.__dict__.update(case)
        self.hip = np.array(hip)
        self.curve = spline(case["profile"])

    def posture(self, crank_angle, crank=None, hip=None):
        crank = self.crank if crank is None else crank
        hip = self.hip if hip is None else hip
        pedal = crank * np.array([np.sin(crank_angle * deg), np.cos(crank_angle * deg)])
        angle = self.curve(crank_angle)

        def sole(pitch):
            return np.array([np.cos(pitch), np.sin(pitch)]), np.array([-np.sin(pitch), np.cos(pitch)])

        def equations(u):
            knee, ankle, pitch = u[:2], u[2:4], u[4]
            along, square = sole(pitch)
            shank = knee - ankle
            place = pedal - self.behind * along + (self.stack + self.height) * square - ankle
            given = pitch - angle * deg
            if self.given == "dorsiflexion":
                given = shank @ along / np.linalg.norm(shank) - np.sin(angle * deg)
            return [
                (np.linalg.norm(knee - hip) - self.thigh) / 100,
                (np.linalg.norm(shank) - self.shank) / 100,
                place[0] / 100, place[1] / 100, given,
            ]

        ankle = pedal + np.array([-self.behind, self.stack + self.height])
        middle = (hip + ankle) / 2 + np.array([250, 60])
        u = solve(equations, [*middle, *ankle, -0.2])
        knee, ankle, pitch = u[:2], u[2:4], u[4]
        along, _ = sole(pitch)
        shank = (knee - ankle) / np.linalg.norm(knee - ankle)
        thigh = knee - hip
        return {
            "knee": knee.tolist(), "ankle": ankle.tolist(),
            "knee_flexion": flexion(hip, knee, ankle),
            "dorsiflexion": float(np.arcsin(shank @ along) / deg),
            "sole_pitch": float(pitch / deg),
            "thigh_pitch": float(np.arctan2(thigh[1], thigh[0]) / deg),
        }

    def least(self, **kw):
        at = minimize_scalar(lambda c: self.posture(c, **kw)["knee_flexion"], bounds=(100, 250), method="bounded", options={"xatol": 1e-9})
        return at.fun, at.x


def upper(case, hip):
    wrist = np.array(case["wrist"])

    def equations(u):
        shoulder, elbow = u[:2], u[2:]
        trunk = shoulder - hip
        given = np.arctan2(trunk[1], trunk[0]) - case["angle"] * deg
        if case["keep"] == "keep_elbow":
            given = ((shoulder - elbow) @ (wrist - elbow) / case["upper_arm"] / case["forearm"] + np.cos(case["angle"] * deg))
        return [
            (np.linalg.norm(trunk) - case["trunk"]) / 100,
            (np.linalg.norm(elbow - shoulder) - case["upper_arm"]) / 100,
            (np.linalg.norm(wrist - elbow) - case["forearm"]) / 100, given,
        ]

    guess = hip + np.array([350, 400])
    u = solve(equations, [*guess, *((guess + wrist) / 2 + [-60, -60])])
    shoulder, elbow = u[:2], u[2:]
    trunk = shoulder - hip
    return {
        "shoulder": shoulder.tolist(), "elbow": elbow.tolist(),
        "trunk_lean": float(np.arctan2(trunk[1], trunk[0]) / deg),
        "elbow_flexion": flexion(shoulder, elbow, wrist),
        "shoulder_flexion": 180 - flexion(hip, shoulder, elbow),
    }


def uniform(lo, hi):
    return round(float(rng.uniform(lo, hi)), 3)


cases = []
while len(cases) < 50:
    i = len(cases)
    given = ["sole_pitch", "dorsiflexion"][i % 2]
    n = [1, 1, 8, 12, 24][i % 5]
    mean, swing, phase = uniform(-20, -5), uniform(0, 12), uniform(0, 360)
    case = {
        "thigh": uniform(370, 480), "shank": uniform(370, 480), "height": uniform(60, 110), "behind": uniform(80, 150),
        "given": given, "profile": [round(mean + swing * float(np.sin((360 * k / n + phase) * deg)), 3) for k in range(n)],
        "crank": uniform(140, 185), "stack": uniform(5, 40), "hip_forward": uniform(-40, 60), "hip_up": uniform(60, 110),
        "crank_angle": uniform(0, 360),
    }
    reach = case["thigh"] + case["shank"] + case["height"] + case["stack"] - case["crank"] - case["hip_up"]
    tilt = uniform(8, 22)
    distance = reach * uniform(0.90, 0.96)
    case["saddle"] = [round(-distance * np.sin(tilt * deg), 3), round(distance * np.cos(tilt * deg), 3)]
    hip = np.array(case["saddle"]) + [case["hip_forward"], case["hip_up"]]
    arm = {
        "trunk": uniform(430, 580), "upper_arm": uniform(280, 360), "forearm": uniform(230, 300),
        "wrist_back": uniform(0, 60), "wrist_up": uniform(0, 60),
        "keep": ["keep_elbow", "keep_trunk"][i // 2 % 2], "grip": [uniform(430, 620), uniform(580, 720)],
    }
    arm["angle"] = uniform(10, 40) if arm["keep"] == "keep_elbow" else uniform(35, 60)
    arm["wrist"] = [arm["grip"][0] - arm["wrist_back"], arm["grip"][1] + arm["wrist_up"]]
    try:
        leg = Leg(case, hip)
        case["posture"] = leg.posture(case["crank_angle"])
        case["far_flexion"], case["far_angle"] = leg.least()
        case["upper"] = arm | upper(arm, hip)
        want, line = round(case["far_flexion"] + uniform(-4, 8), 3), uniform(70, 78)
        up = np.array([-np.cos(line * deg), np.sin(line * deg)])
        case |= {"want": want, "line": line}
        case["raise"] = brentq(lambda t: leg.least(hip=hip + t * up)[0] - want, -60, 25, xtol=1e-11)
        case["crank_wanted"] = brentq(lambda r: leg.least(crank=r)[0] - want, case["crank"] - 60, case["crank"] + 25, xtol=1e-11)
    except (ArithmeticError, ValueError):
        continue
    if case["far_flexion"] > 15 and case["posture"]["knee"][0] > hip[0]:
        cases.append(case)

print(json.dumps({"made_with": "scipy " + scipy.__version__, "cases": cases}, indent=1))
