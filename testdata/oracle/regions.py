"""Writes regions.json for package fitgeom/region: where a head tube's top may be.

Three regions are polygons with known corners: a rectangle of tolerances that spacers
move along the steerer and stems along themselves is swept by two vectors, and its
corners follow at 40 digits (mpmath). Five, with a bar that rolls, stems in steps or upside
down and a range of head angles, are brute force: every stem, spacers, roll and angle in
fine steps makes a rectangle of places that hold, which is painted on a grid of 0.1 mm. Of these
the file has the area with the grid's error, and places well inside and well
outside. All numbers are invented. Made with Python 3.11, numpy 1.24.2, mpmath 1.2.1.

    /usr/bin/python3 regions.py > regions.json
"""

import itertools

import mpmath
import numpy as np
from mpmath import mpf

import bike
import golden

rng = np.random.default_rng(2107)
GRID = 0.1


def u(lo, hi, digits=2):
    return round(float(rng.uniform(lo, hi)), digits)


def steps(lo, hi, step=0.0):
    return {"from": lo, "to": hi} | ({"step": step} if step else {})


def values(s, fine):
    if s["from"] == s["to"]:
        return [s["from"]]
    step = s.get("step") or fine
    n = int(np.floor((s["to"] - s["from"]) / step + 1e-9))
    all_ = [s["from"] + step * k for k in range(n + 1)]
    return all_ if s.get("step") else [*all_, s["to"]]


def window(p, roll):
    """Where the bar's clamp may be: every kept site within its tolerance. Low and high, x and z."""
    at = bike.bar_sites(p["bounds"]["handlebar"], p["bounds"].get("lever"), None, {}, np.zeros(3), roll)
    lo = np.max([np.array(p["target"][k["site"]]) - k["tolerance"] - at[k["site"]] for k in p["keep"]], axis=0)
    hi = np.min([np.array(p["target"][k["site"]]) + k["tolerance"] - at[k["site"]] for k in p["keep"]], axis=0)
    return lo, hi, bool(np.all(lo <= hi))


def problem(**bounds):
    drop = bounds.pop("drop", True)
    b = {"head_from": 73, "head_to": 73, "flip": False, "stem_height": 40} | bounds
    if drop:
        b["handlebar"] = {"name": "bar", "clamp_diameter_mm": 31.8, "rotation_range_deg": b.pop("roll"), "drop": {"width_mm": 420, "reach_mm": 78, "drop_mm": 125}}
        b["lever"] = {"name": "lever", "reach_mm": 38, "rise_mm": 28}
        names, tolerance = ("hoods_left", "hoods_right"), [u(2, 4), 6.0, u(2, 4)]
        y = 210
    else:
        b["handlebar"] = {"name": "bar", "clamp_diameter_mm": 31.8, "rotation_range_deg": b.pop("roll"), "flat": {
            "width_mm": 740, "centre_mm": 120, "rise_mm": 15, "forward_mm": 5, "backsweep_deg": 8, "upsweep_deg": 5, "hand_mm": 65}}
        names, tolerance = ("grip_left", "grip_right"), [u(2, 5), 8.0, u(2, 5)]
        y = abs(bike.bar_sites(b["handlebar"], None, None, {}, np.zeros(3), 0)["grip_left"][1])
    x, z = u(560, 600), u(640, 680)
    return {
        "bounds": b, "target": {n: [x + u(-0.5, 0.5), s * (y + u(0, 3)), z + u(-0.5, 0.5)] for n, s in zip(names, (1, -1))},
        "keep": [{"site": n, "tolerance": tolerance} for n in names],
    }


def corners(p):
    """The rectangle of the clamp, less everything that spacers and stem may be."""
    b = p["bounds"]
    lo, hi, _ = window(p, 0)
    head, stem = mpmath.radians(b["head_from"]), mpmath.radians(mpf(90) - b["head_from"] + mpf(b["stem_angle"]["from"]))
    up, along = (-mpmath.cos(head), mpmath.sin(head)), (mpmath.cos(stem), mpmath.sin(stem))
    points = [
        (mpf(float(x)) - (h + mpf(b["stem_height"]) / 2) * up[0] - length * along[0], mpf(float(z)) - (h + mpf(b["stem_height"]) / 2) * up[1] - length * along[1])
        for x, z, h, length in itertools.product((lo[0], hi[0]), (lo[2], hi[2]), *({mpf(b[k]["from"]), mpf(b[k]["to"])} for k in ("up", "stem_length")))
    ]
    # Their hull is the region, since what moves are straight lines.
    points = sorted(points)

    def chain(of):
        out = []
        for q in of:
            while len(out) >= 2 and (out[-1][0] - out[-2][0]) * (q[1] - out[-2][1]) - (out[-1][1] - out[-2][1]) * (q[0] - out[-2][0]) <= mpf(10) ** -12:
                out.pop()
            out.append(q)
        return out[:-1]

    hull = chain(points) + chain(points[::-1])
    area = sum(a[0] * b[1] - a[1] * b[0] for a, b in zip(hull, hull[1:] + hull[:1])) / 2
    return {"corners": [[float(a), float(b)] for a, b in hull], "area": float(area), "area_error": 1e-6 * float(area)}


def painted(p):
    b = p["bounds"]
    span = b["handlebar"]["rotation_range_deg"]
    windows = [w for w in (window(p, r) for r in np.linspace(-span, span, max(1, int(span * 40) + 1 if span else 1))) if w[2]]
    heads = [b["head_from"]] if b["head_from"] == b["head_to"] else np.linspace(b["head_from"], b["head_to"], 61)
    boxes = []
    for head in heads:
        for length, angle, flip in itertools.product(values(b["stem_length"], 0.4), values(b["stem_angle"], 0.05), (1, -1) if b["flip"] else (1,)):
            for h in values(b["up"], 0.4):
                c = bike.bar_clamp({"geometry": {"reach_mm": 0, "stack_mm": 0, "head_angle_deg": head}}, 0, h, {"height_mm": b["stem_height"], "angle_deg": angle * flip, "length_mm": length}, {})
                boxes.append((c[0], c[2]))
    boxes = np.array(boxes)
    lo, hi = np.array([w[0] for w in windows])[:, [0, 2]], np.array([w[1] for w in windows])[:, [0, 2]]
    origin = lo.min(axis=0) - boxes.max(axis=0) - 3
    size = np.ceil((hi.max(axis=0) - boxes.min(axis=0) + 3 - origin) / GRID).astype(int)
    grid = np.zeros(size, dtype=bool)
    # A cell belongs to it if its middle does.
    for at in boxes:
        first = np.ceil((lo - at - origin) / GRID - 0.5).astype(int)
        last = np.floor((hi - at - origin) / GRID - 0.5).astype(int) + 1
        for (x0, z0), (x1, z1) in zip(first, last):
            grid[x0:x1, z0:z1] = True
    edge = int(np.sum(grid[1:] != grid[:-1]) + np.sum(grid[:, 1:] != grid[:, :-1]))
    area = float(grid.sum()) * GRID**2
    margin = 6
    full, empty = grid.copy(), ~grid
    for _ in range(margin):
        for g in full, empty:
            g[1:-1, 1:-1] = g[1:-1, 1:-1] & g[2:, 1:-1] & g[:-2, 1:-1] & g[1:-1, 2:] & g[1:-1, :-2]
    inside = np.argwhere(full)
    outside = np.argwhere(empty)
    take = lambda cells: [[round(float(v), 4) for v in origin + (cells[k] + 0.5) * GRID] for k in np.random.default_rng(5).choice(len(cells), 120, replace=False)]
    # Each cell of the edge may be half in and half out.
    return {"area": area, "area_error": 0.5 * edge * GRID * GRID + 0.02 * edge * GRID, "inside": take(inside), "outside": take(outside)}


cases = []
for p in (
    problem(stem_length=steps(100, 100), stem_angle=steps(-6, -6), up=steps(20, 20), roll=0),
    problem(stem_length=steps(100, 100), stem_angle=steps(-6, -6), up=steps(10, 45), roll=0),
    problem(stem_length=steps(80, 120), stem_angle=steps(7, 7), up=steps(5, 40), roll=0, drop=False),
):
    cases.append({"input": p, "expected": corners(p)})
for p in (
    problem(stem_length=steps(80, 120, 10), stem_angle=steps(-6, -6), up=steps(10, 40, 5), roll=6, flip=True),
    problem(stem_length=steps(90, 110, 10), stem_angle=steps(-17, 0, 17), up=steps(10, 30, 2.5), roll=8),
    problem(stem_length=steps(40, 60, 10), stem_angle=steps(0, 0), up=steps(10, 45), roll=5, drop=False),
    problem(stem_length=steps(100, 110, 10), stem_angle=steps(-6, -6), up=steps(15, 35, 10), roll=0, head_from=71, head_to=74),
    problem(stem_length=steps(90, 120), stem_angle=steps(-8, -8), up=steps(10, 40, 10), roll=4, head_from=72, head_to=72),
):
    cases.append({"input": p, "expected": painted(p)})
golden.write("regions", cases)
