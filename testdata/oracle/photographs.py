"""Writes photographs.json for package contact/survey/photo: where a camera of a general
vision library (OpenCV) sees points, what its pixels look at, where it stands by points that
are marked with errors, and where rays meet; and photographs of invented bikes, fitted with
a general least-squares routine (scipy, numerical derivatives) to all marks and to what the
package documents as known and usual; and where the plane of the bike is seen, as a
homography that is fitted to pixels. These numbers are random. Then a published calibration:
the camera, its places and its errors in left_intrinsics.yml, and the corners of the
chessboard in the pictures left01.jpg to left14.jpg that belong to it (Debian's package
opencv-doc 4.6.0+dfsg-12, examples/data). Made with Python 3.11, OpenCV 4.6.0, numpy 1.24.2,
scipy 1.10.1.

    OMP_NUM_THREADS=1 /usr/bin/python3 photographs.py [DATA] > photographs.json
"""

import json
import math
import sys

import cv2
import numpy as np
from scipy.optimize import least_squares
from scipy.spatial.transform import Rotation

rng = np.random.default_rng(26)


def camera():
    focal = rng.uniform(2500, 9000)
    reach = 2500 / focal
    return {
        "focal": focal, "x": 2000 + rng.normal(0, 40), "y": 1500 + rng.normal(0, 40),
        "k1": rng.normal(0, 0.02) / reach**2, "k2": rng.normal(0, 0.01) / reach**4, "k3": rng.normal(0, 0.003) / reach**6,
        "p1": rng.normal(0, 0.001) / reach, "p2": rng.normal(0, 0.001) / reach,
    }


def matrix(c):
    return np.array([[c["focal"], 0, c["x"]], [0, c["focal"], c["y"]], [0, 0, 1]]), np.array([c["k1"], c["k2"], c["p1"], c["p2"], c["k3"]])


def look(at, to):
    """Rows: right, down, ahead."""
    ahead = (to - at) / np.linalg.norm(to - at)
    right = np.cross(ahead, [0, 0, 1])
    right /= np.linalg.norm(right)
    turn = np.array([right, np.cross(ahead, right), ahead])
    return Rotation.from_rotvec(rng.normal(0, 0.05, 3)).as_matrix() @ turn


def stand(c, around):
    far = c["focal"] * rng.uniform(0.55, 0.8)
    a = math.radians(around)
    at = np.array([90 + far * math.cos(a), far * math.sin(a), rng.uniform(300, 1200)])
    return at, look(at, np.array([90.0, 0, 330]))


def view(at, turn):
    return {"at": at.tolist(), "right": turn[0].tolist(), "down": turn[1].tolist(), "ahead": turn[2].tolist()}


def cameras():
    cases = []
    for _ in range(20):
        c = camera()
        k, dist = matrix(c)
        at, turn = stand(c, rng.uniform(0, 360))
        points = np.array([[rng.uniform(-500, 700), rng.uniform(-300, 300), rng.uniform(-250, 900)] for _ in range(12)])
        rvec, _ = cv2.Rodrigues(turn)
        tvec = -turn @ at
        pixels = cv2.projectPoints(points, rvec, tvec, k, dist)[0][:, 0]
        inside = ((pixels > 0) & (pixels < [4000, 3000])).all(axis=1)
        points, pixels = points[inside], pixels[inside]
        criteria = (cv2.TERM_CRITERIA_COUNT | cv2.TERM_CRITERIA_EPS, 500, 1e-15)
        plane = cv2.undistortPointsIter(pixels[:, None], k, dist, np.eye(3), np.eye(3), criteria)[:, 0]
        rays = np.array([turn.T @ [x, y, 1] for x, y in plane])
        rays /= np.linalg.norm(rays, axis=1)[:, None]
        marks = pixels + rng.normal(0, 1.5, pixels.shape)
        _, r0, t0 = cv2.solvePnP(points, marks, k, dist)
        r0, t0 = cv2.solvePnPRefineLM(points, marks, k, dist, r0, t0, (cv2.TERM_CRITERIA_COUNT | cv2.TERM_CRITERIA_EPS, 2000, 1e-16))
        placed = cv2.Rodrigues(r0)[0]
        # A second camera, for where rays meet.
        at2, turn2 = stand(c, rng.uniform(0, 360))
        k4 = lambda a, t: np.hstack([t, (-t @ a)[:, None]])
        ideal = [cv2.projectPoints(points, cv2.Rodrigues(t)[0], -t @ a, np.eye(3), None)[0][:, 0].T for a, t in ((at, turn), (at2, turn2))]
        met = cv2.triangulatePoints(k4(at, turn), k4(at2, turn2), ideal[0], ideal[1])
        cases.append({
            "kind": "camera", "camera": c, "view": view(at, turn), "second": view(at2, turn2), "points": points.tolist(),
            "pixels": pixels.tolist(), "rays": rays.tolist(), "marks": marks.tolist(),
            "placed": view((-placed.T @ t0)[:, 0], placed), "met": (met[:3] / met[3]).T.tolist(),
        })
    return cases


# What is usual: X, Y, Z of left landmarks and how well Y is known.
USUAL = {
    "bottom_bracket": (0, 60, 0, 20), "rear_axle": (-410, 75, 70, 12), "front_axle": (590, 55, 70, 10),
    "head_tube_top": (385, 23, 560, 5), "head_tube_bottom": (430, 24, 430, 5), "saddle_edge": (-200, 40, 695, 2),
    "hoods": (570, 210, 640, 20), "pedal": (172, 74, 0, 6), "saddle_nose": (-60, 0, 694, 4), "bar_clamp": (460, 0, 620, 4),
    "front_ground": (590, 0, -270, 8), "rear_ground": (-410, 0, -270, 8), "mark_a": (100, 0, 300, 1000), "mark_b": (100, 0, 300, 1000),
}
STEERS = {"front_axle", "hoods", "bar_clamp"}
PAIRS = {"bottom_bracket": (1, 1), "rear_axle": (1, 8 * math.sqrt(2)), "front_axle": (1, 8 * math.sqrt(2)), "head_tube_top": (1, 1), "head_tube_bottom": (1, 1)}


def kind(name):
    return name.removesuffix("_left").removesuffix("_right")


class Bundle:
    """All unknowns in one vector, with what is known of them."""

    def __init__(self, s):
        self.s = s
        names = [f"{p}_{e}" for p in ("bottom_bracket", "rear_axle", "front_axle") for e in ("left", "right")]
        for p in s["photographs"]:
            for m in p:
                if "circle" not in m["landmark"]:
                    names.append(m["landmark"])
                    if "saddle_edge" in m["landmark"]:
                        names += ["saddle_edge_left", "saddle_edge_right"]
        self.names = sorted(set(names))
        self.at = {n: 3 * i for i, n in enumerate(self.names)}
        n = 3 * len(self.names)
        self.steer, self.wheel, self.lens, self.view = n, n + 3, n + 9, n + 16
        self.arc = self.view + 6 * len(s["photographs"])
        self.n = self.arc + sum("circle" in m["landmark"] for p in s["photographs"] for m in p)

    def point(self, x, name):
        return x[self.at[name]:self.at[name] + 3]

    def axle(self, x, wheel):
        m = (self.point(x, wheel + "_axle_left") + self.point(x, wheel + "_axle_right")) / 2
        return np.array([m[0], 0, m[2]])

    def axis(self, x):
        _, head, offset = x[self.steer:self.steer + 3]
        out, up = np.array([math.sin(head), 0, math.cos(head)]), np.array([-math.cos(head), 0, math.sin(head)])
        return self.axle(x, "front"), out, up, offset

    def turned(self, x, p):
        axle, out, up, offset = self.axis(x)
        on = axle - offset * out
        return on + Rotation.from_rotvec(x[self.steer] * up).apply(p - on)

    def residuals(self, x):
        s, r = self.s, []
        c, arc = s["camera"], self.arc
        f, dx, dy, a1, a2, b1, b2 = x[self.lens:self.lens + 7]
        focal = c["focal"] * math.exp(f)
        reach = math.hypot(4000, 3000) / 2 / focal
        k = np.array([[focal, 0, c["x"] + dx], [0, focal, c["y"] + dy], [0, 0, 1]])
        dist = np.array([c["k1"] + a1 / reach**2, c["k2"] + a2 / reach**4, c["p1"] + b1 / reach, c["p2"] + b2 / reach, c["k3"]])
        for i, marks in enumerate(s["photographs"]):
            v = x[self.view + 6 * i:self.view + 6 * i + 6]
            turn = Rotation.from_rotvec(v[3:]).as_matrix()
            places = []
            for m in marks:
                name = m["landmark"]
                if "circle" in name:
                    w = name.split("_")[0]
                    aside, half, radius = x[self.wheel + 3 * (w == "front"):][:3]
                    side = 1 if name.endswith("left") else -1
                    p = self.axle(x, w) + [radius * math.cos(x[arc]), aside + side * half, radius * math.sin(x[arc])]
                    arc += 1
                    steers = w == "front"
                else:
                    p, steers = self.point(x, name), kind(name) in STEERS
                places.append(self.turned(x, p) if steers else p)
            seen = cv2.projectPoints(np.array(places), cv2.Rodrigues(turn)[0], -turn @ v[:3], k, dist)[0][:, 0]
            r += ((seen - [[m["x"], m["y"]] for m in marks]) / s["sigma"]).ravel().tolist()
        self.known(x, r)
        return np.array(r)

    def known(self, x, r):
        s = self.s
        b = (self.point(x, "bottom_bracket_left") + self.point(x, "bottom_bracket_right")) / 2
        r += [b[0] / 0.01, b[2] / 0.01]
        for name in self.names:
            ux, uy, uz, aside = USUAL[kind(name)]
            p, far = self.point(x, name), 1000 if name.startswith("mark") else 200
            r += [(p[0] - ux) / far, (p[2] - uz) / far]
            if name in s["sideways"]:
                y, sigma = s["sideways"][name]
                r.append((p[1] - y) / sigma)
                continue
            side = 1 if name.endswith("_left") else -1 if name.endswith("_right") else 0
            mate = kind(name) + ("_right" if side == 1 else "_left")
            if side and mate in self.at and mate not in s["sideways"]:
                if side == 1:
                    r.append(((p[1] - self.point(x, mate)[1]) / 2 - uy) / aside)
            else:
                r.append((p[1] - (side if side else 1) * uy) / aside)
        for name in self.names:
            base = kind(name)
            if not name.endswith("_left") or base + "_right" not in self.at or base == "pedal":
                continue
            left, right = self.point(x, name), self.point(x, base + "_right")
            if base in PAIRS:
                t, m = PAIRS[base]
                line, middle = t * math.sqrt(2), m / math.sqrt(2)
            else:
                line = 3 if base == "saddle_edge" else 5
                middle = line / 2
            r += [(left[1] + right[1]) / 2 / middle, (left[0] - right[0]) / line, (left[2] - right[2]) / line]
        radius = {"front": s["front_radius"], "rear": s["rear_radius"]}
        if "front_ground" in self.at:
            r.append((self.point(x, "front_ground")[2] - self.point(x, "rear_ground")[2]) / 0.1)
            for w in radius:
                g = self.point(x, w + "_ground")
                r += [(self.axle(x, w)[2] - g[2] - radius[w]) / s["radius_sigma"], (self.axle(x, w)[0] - g[0]) / 12]
        else:
            r.append((self.axle(x, "front")[2] - self.axle(x, "rear")[2] - radius["front"] + radius["rear"]) / s["radius_sigma"] / math.sqrt(2))
        for i in range(2):
            aside, half, rim = x[self.wheel + 3 * i:][:3]
            r += [aside / 1.5, (half - 12) / 5, (rim - s["circle"]) / s["circle_sigma"] / math.sqrt(2)]  # one reading of both
        left, right = self.point(x, "pedal_left") if "pedal_left" in self.at else None, self.point(x, "pedal_right") if "pedal_right" in self.at else None
        if left is not None and right is not None:
            r += (left + right).tolist()
            apart = left - right
            r.append((math.hypot(apart[0], apart[2]) - 2 * s["crank"]) / math.hypot(2 * s["crank_sigma"], 1))
        else:
            one = left if left is not None else right
            r.append((math.hypot(one[0], one[2]) - s["crank"]) / math.hypot(s["crank_sigma"], math.sqrt(0.5)))
        for d in s["distances"]:
            r.append((np.linalg.norm(self.point(x, d["to"]) - self.point(x, d["from"])) - d["value"]) / d["sigma"])
        axle, out, _, offset = self.axis(x)
        for end in ("top", "bottom"):
            both = [self.point(x, n) for n in (f"head_tube_{end}_left", f"head_tube_{end}_right") if n in self.at]
            if both:
                r.append((out @ (sum(both) / len(both) - axle) + offset) * math.sqrt(2))
        steer, head, offset = x[self.steer:self.steer + 3]
        r += [math.degrees(steer) / 10, (math.degrees(head) - 71) / 4.7, (offset - 45) / 9.5]
        sigma = s["lens_sigma"]
        r += (x[self.lens:self.lens + 7] / sigma).tolist()


def bundles():
    cases = []
    for i, count in enumerate((1, 2, 3, 5)):
        cases.append(bundle(i, count))
    return cases


def bundle(number, count):
    c = camera()
    known = number % 2 == 0
    if not known:
        c = dict(c, k1=0, k2=0, k3=0, p1=0, p2=0, x=2000, y=1500)
    corner = 0.001 if known else 0.015
    off = 5000 / (1000 if known else 100)
    lens_sigma = np.array([0.01, off, off, corner, corner / 2, corner / 15, corner / 15])
    s = {
        "camera": c, "sigma": 1.5, "front_radius": 341.0, "rear_radius": 339.0, "radius_sigma": 1.0, "circle": 310.5, "circle_sigma": 0.7,
        "crank": 171.7, "crank_sigma": 0.5, "sideways": {"hoods_right": [-212.0, 4.0]} if number == 0 else {}, "lens_sigma": lens_sigma,
        "distances": [{"from": "mark_a", "to": "mark_b", "value": 400.5, "sigma": 1.0}] if count > 1 else [],
    }
    truth = {
        "bottom_bracket": (0, 57, 0), "rear_axle": (-412, 72, 71), "front_axle": (596, 53, 73), "head_tube_top": (390, 22, 556),
        "head_tube_bottom": (433, 25, 431), "saddle_edge": (-196, 40.5, 711), "hoods": (581, 214, 652), "saddle_nose": (-58, 1, 706), "bar_clamp": (478, -2, 624),
        "front_ground": (601, 3, -267), "rear_ground": (-407, -2, -268), "mark_a": (-100, 400, -268), "mark_b": (290, 480, -268),
    }
    ends = {}
    for name, p in truth.items():
        if name.endswith(("nose", "clamp", "ground", "_a", "_b")):
            ends[name] = np.array(p, float)
        else:
            ends[name + "_left"] = np.array(p) + rng.normal(0, 0.7, 3)
            ends[name + "_right"] = np.array(p) * [1, -1, 1] + rng.normal(0, 0.7, 3)
    ends["pedal_left"], ends["pedal_right"] = np.array([120, 73.5, 122.7]), np.array([-119.7, -74.2, -122.4])
    steer, head, offset = 0.05, math.radians(72.2), 46.0
    photographs, views, arcs = [], [], []
    real = dict(c, focal=c["focal"] * math.exp(rng.normal(0, 0.006)))
    k, dist = matrix(real)
    for around in (-92, 88, 47, -44, 130)[:count]:
        at, turn = stand(real, around)
        views.append(np.concatenate([at, Rotation.from_matrix(turn).as_rotvec()]))
        side = "left" if around > 0 else "right"
        marks = [n for n in ends if not (n.endswith("_left") and around < 0 or n.endswith("_right") and around > 0)]
        if count == 1:
            marks = [n for n in marks if not n.startswith("mark")]
        if number == 3: # without the feet of the wheels
            marks = [n for n in marks if "ground" not in n]
        photographs.append([{"landmark": n} for n in marks])
        for w in ("rear", "front"):
            for a in rng.uniform(0, 2 * math.pi, 5):
                photographs[-1].append({"landmark": f"{w}_circle_{side}"})
                arcs.append(a)
    s["photographs"] = photographs
    b = Bundle(s)
    x = np.zeros(b.n)
    for n in b.names:
        x[b.at[n]:b.at[n] + 3] = ends[n]
    x[b.steer:b.steer + 3] = steer, head, offset
    x[b.wheel:b.wheel + 6] = 0.5, 11, 310.5, -0.4, 13, 310.2
    x[b.view:b.arc] = np.concatenate(views)
    x[b.arc:] = arcs
    for p in photographs:
        for m in p:
            m["x"] = m["y"] = 0
    # Where all would be seen, and errors.
    s["camera"] = real
    r = b.residuals(x)[:2 * sum(len(p) for p in photographs)].reshape(-1, 2) * s["sigma"]
    s["camera"] = c
    r = np.round(r + rng.normal(0, 1.5, r.shape), 2)
    i = 0
    for p in photographs:
        for m in p:
            m["x"], m["y"] = r[i].tolist()
            i += 1
    fit = least_squares(b.residuals, x, method="trf", jac="3-point", x_scale="jac", xtol=1e-15, ftol=1e-15, gtol=1e-15, max_nfev=200)
    cov = np.linalg.inv(fit.jac.T @ fit.jac)
    x = fit.x
    del s["lens_sigma"]
    s.update(calibrated=known)
    return {
        "kind": "bundle", "survey": s, "places": {n: b.point(x, n).tolist() for n in b.names}, "steer": math.degrees(x[b.steer]),
        "sigma": {n: np.sqrt(np.diag(cov)[b.at[n]:b.at[n] + 3]).tolist() for n in b.names}, "chi2": 2 * fit.cost,
        "focal": c["focal"] * math.exp(x[b.lens]),
    }


def planes():
    """Homographies of planes beside the mid-plane, of cameras that do not distort."""
    cases = []
    for _ in range(10):
        c = camera()
        k, _ = matrix(c)
        at, turn = stand(c, rng.uniform(0, 360))
        aside = float(rng.integers(-300, 300))
        # The library takes single precision: whole mm, and many of them.
        plane = np.array([[rng.integers(-500, 700), rng.integers(-250, 900)] for _ in range(2000)], float)
        points = np.array([[x, aside, z] for x, z in plane])
        pixels = cv2.projectPoints(points, cv2.Rodrigues(turn)[0], -turn @ at, k, None)[0][:, 0]
        found, _ = cv2.findHomography(plane, pixels, 0)
        met = cv2.perspectiveTransform(plane[:12, None], found)[:, 0]
        cases.append({
            "kind": "plane", "camera": c, "view": view(at, turn), "aside": aside, "plane": plane[:12].tolist(), "pixels": met.tolist(),
        })
    return cases


def published(data):
    f = cv2.FileStorage(data + "/left_intrinsics.yml", cv2.FILE_STORAGE_READ)
    k, dist = f.getNode("camera_matrix").mat(), f.getNode("distortion_coefficients").mat().ravel()
    places, errors = f.getNode("extrinsic_parameters").mat(), f.getNode("per_view_reprojection_errors").mat().ravel()
    square = 1000 * f.getNode("square_size").real()
    board = np.array([[i * square, j * square, 0] for j in range(6) for i in range(9)])
    boards = []
    for number, place, error in zip([1, 2, 3, 4, 5, 6, 7, 8, 9, 11, 12, 13, 14], places, errors):
        picture = cv2.imread(f"{data}/left{number:02d}.jpg", cv2.IMREAD_GRAYSCALE)
        _, corners = cv2.findChessboardCorners(picture, (9, 6))
        corners = cv2.cornerSubPix(picture, corners, (11, 11), (-1, -1), (cv2.TERM_CRITERIA_COUNT | cv2.TERM_CRITERIA_EPS, 30, 0.1))[:, 0].astype(float).round(5)
        turn, t = cv2.Rodrigues(place[:3])[0], 1000 * place[3:]
        criteria = (cv2.TERM_CRITERIA_COUNT | cv2.TERM_CRITERIA_EPS, 2000, 1e-16)
        r0, t0 = cv2.solvePnPRefineLM(board, corners, k, dist, place[:3].reshape(3, 1).copy(), t.reshape(3, 1).copy(), criteria)
        placed = cv2.Rodrigues(r0)[0]
        boards.append({"view": view(-turn.T @ t, turn), "placed": view((-placed.T @ t0)[:, 0], placed), "marks": corners.tolist(), "error": float(error)})
    return [{
        "kind": "published", "points": board.tolist(), "boards": boards,
        "camera": {"width": 640, "height": 480, "focal": k[0, 0], "x": k[0, 2], "y": k[1, 2], **dict(zip(("k1", "k2", "p1", "p2", "k3"), dist))},
    }]


cases = [{"input": c} for c in cameras() + bundles()]
cases += [{"input": c} for c in planes() + published((sys.argv + ["/usr/share/doc/opencv-doc/examples/data"])[1])]
print(json.dumps({
    "made_with": "Python 3.11, OpenCV 4.6.0, numpy 1.24.2, scipy 1.10.1",
    "command": "OMP_NUM_THREADS=1 /usr/bin/python3 photographs.py > photographs.json", "cases": cases,
}))
