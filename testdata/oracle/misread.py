"""Draws what people get wrong with one reading of many, for the proof that it is named:
one JSON object a line.

    python3 misread.py sheet|tape|chart SEED CASES > misread.jsonl

misread_sheet.jsonl and its like are the first case with an oracle of each slip, of seed 1
and 150 cases.

Of each slip CASES times an input in which one reading has it, beside the same input
without, and CASES inputs without a slip ("none", ten times as many). Sheets and tape
surveys are of the bikes of readings.py, with what the solver is not told of them (a tape
that is too long, a bike that leans, a reference that was marked beside its place, a floor
that slopes, bars that sit askew); charts are of frames whose parts were made and drawn
with errors that their numbers are said to have, on tyres that are not alike. All is rounded
as instruments and charts show it.

design: in "twice" two loops of other readings or more check the reading that is wrong (in
sheets and surveys all); in "once" many
readings are checked by one, so that several could be the wrong one; "loops" is "once" with
few kinds of measures, and has the answer of an oracle: by least squares of its own, with
slopes by differences, all readings without which the others agree (allowed), and all slips
of a number that make all agree, by these rules. A sum of squares is what chance allows if
it, or a larger one, has a probability of 0.0001; a reading
without which the sum is larger by more than 10.8276 than without another one explains less,
and so does a slip with which it is larger by more than 15.1367 than without the reading; nobody is accused where the sum falls by less than 17.0746468, or than
what 1 of 4,000 inputs with as many readings reaches by chance. A case in which something
lies within 2 % of a rule has no answer. Sizes are invented ("common
practice, no source"). No library but Python's own.
"""

import json
import math
import random
import sys

from readings import KINDS, PLURAL, STACK, Bike

ALIKE, CLOSE, LEAST, CHANCE, ALARMS = 10.8276, 15.1367, 17.0746468, 1e-4, 2.5e-4

# Slips of a number, as somebody writes it


def text(v):
    return f"{abs(v):.3f}".rstrip("0").rstrip(".")


def sign(rng, v):
    return -v


def centimetres(rng, v):
    return round(v / 10, 2)


def metres(rng, v):
    return round(v / 1000, 3)


def inches(rng, v):
    return round(v / 25.4, 2)


def ten(rng, v):
    return v + rng.choice((-10, 10))


def hundred(rng, v):
    return v + rng.choice((-100, 100))


def exchanged(rng, v):
    t = text(v)
    pairs = [(i, j) for i in range(len(t)) for j in range(i + 1, len(t)) if "." not in (t[i], t[j]) and t[i] != t[j]]
    if not pairs:
        return v
    i, j = rng.choice(pairs)
    t = t[:i] + t[j] + t[i + 1 : j] + t[i] + t[j + 1 :]
    return math.copysign(float(t), v)


def doubled(rng, v):
    t = text(v)
    i = rng.choice([i for i in range(len(t)) if t[i] != "."])
    return math.copysign(float(t[: i + 1] + t[i:]), v)


def dropped(rng, v):
    t = text(v)
    whole = [i for i in range(len(t)) if t[i] != "."]
    if len(whole) < 2:
        return v
    i = rng.choice(whole)
    t = t[:i] + t[i + 1 :]
    return math.copysign(float(t), v)


def other_side(rng, v):
    return 180 - v if abs(v) > 45 else 90 - v


NUMBERS = {
    "sign_reversed": sign, "centimetres": centimetres, "metres": metres, "inches": inches, "ten_off": ten, "hundred_off": hundred,
    "digits_exchanged": exchanged, "digit_doubled": doubled, "digit_dropped": dropped, "other_side": other_side,
}
LENGTHS = ("centimetres", "metres", "inches", "hundred_off")

# All that a number may have been before a slip, for the oracle


def before(v, angle):
    yield "sign_reversed", -v
    for d in -10, 10:
        yield "ten_off", v + d
    if angle:
        yield "other_side", 180 - v
        yield "other_side", 90 - v
    else:
        for d in -100, 100:
            yield "hundred_off", v + d
        yield "centimetres", v * 10
        yield "metres", v * 1000
        yield "inches", v * 25.4
    t = text(v)
    seen = set()
    if "." not in t:
        for d in "123456789":
            seen.add(("digit_dropped", t + "." + d))
        for i in range(len(t)):
            seen.add(("digits_exchanged", t[:i] + "0" + t[i + 1 :] + "." + t[i]))
    t = "00" + t
    for i in range(len(t)):
        for j in range(i + 1, len(t)):
            if "." not in (t[i], t[j]):
                seen.add(("digits_exchanged", t[:i] + t[j] + t[i + 1 : j] + t[i] + t[j + 1 :]))
        if i > 2 and t[i] == t[i - 1]:
            seen.add(("digit_doubled", t[:i] + t[i + 1 :]))
    for i in range(len(t) + 1):
        for d in "0123456789":
            seen.add(("digit_dropped", t[:i] + d + t[i:]))
    done = set()
    for name, w in sorted(seen):
        for w in {math.copysign(float(w), v)} | ({-float(w)} if v == 0 else set()):
            if w != v and (name, w) not in done:
                done.add((name, w))
                yield name, w


# Least squares


def solve(a, b):
    n = len(b)
    m = [row[:] + [v] for row, v in zip(a, b)]
    for i in range(n):
        p = max(range(i, n), key=lambda k: abs(m[k][i]))
        if abs(m[p][i]) < 1e-12:
            raise ZeroDivisionError
        m[i], m[p] = m[p], m[i]
        for k in range(i + 1, n):
            f = m[k][i] / m[i][i]
            if f:
                m[k] = [x - f * y for x, y in zip(m[k], m[i])]
    x = [0.0] * n
    for i in reversed(range(n)):
        x[i] = (m[i][n] - sum(m[i][k] * x[k] for k in range(i + 1, n))) / m[i][i]
    return x


def fit(model, readings, x, out=-1):
    """The least sum of squares of readings (value, sigma) against model(x), but one."""
    x, last = list(x), None
    for _ in range(40):
        v = model(x)
        columns = []
        for j in range(len(x)):
            y = list(x)
            y[j] += 1e-3
            z = list(x)
            z[j] -= 1e-3
            columns.append([(p - q) / 2e-3 for p, q in zip(model(y), model(z))])
        r = [0 if i == out else (a - b) / s for i, (a, (b, s)) in enumerate(zip(v, readings))]
        chi2 = sum(e * e for e in r)
        rows = [[0 if i == out else c[i] / s for c in columns] for i, (_, s) in enumerate(readings)]
        normal = [[sum(row[j] * row[k] for row in rows) + (1e-12 if j == k else 0) for k in range(len(x))] for j in range(len(x))]
        step = solve(normal, [-sum(row[j] * e for row, e in zip(rows, r)) for j in range(len(x))])
        x = [a + b for a, b in zip(x, step)]
        if last is not None and abs(last - chi2) < 1e-10 * (1 + chi2) and max(map(abs, step)) < 1e-6:
            break
        last = chi2
    return chi2, x


def survival(chi2, freedom):
    """The probability that chi-squared is larger."""
    if freedom == 0:
        return 1.0 if chi2 < 1e-3 else 0.0
    h = chi2 / 2
    if freedom % 2 == 0:
        term, total = math.exp(-h), math.exp(-h)
        for k in range(1, freedom // 2):
            term *= h / k
            total += term
        return total
    total, term = math.erfc(math.sqrt(h)), math.exp(-h) * math.sqrt(h) / math.gamma(1.5)
    for k in range(1, freedom // 2 + 1):
        total += term
        term *= h / (k + 0.5)
    return total


def oracle(model, start, readings, angles):
    """All readings that could be wrong, and of each the slips of its number; None where a
    rule is near."""
    near = False

    def within(v, bound):
        nonlocal near
        near = near or abs(v - bound) < 0.02 * bound
        return v <= bound

    def allowed(chi2, freedom):
        nonlocal near
        p = survival(chi2, freedom)
        near = near or CHANCE / 1.1 < p < CHANCE * 1.1
        return p >= CHANCE

    freedom = len(readings) - len(start)
    chi2, x0 = fit(model, readings, start)
    without = []
    for i in range(len(readings)):
        try:
            without.append(min((fit(model, readings, x, i) for x in (start, x0)), key=lambda f: f[0]))
        except ZeroDivisionError:  # nothing else tells it
            without.append((chi2, x0))
    best = min(c for c, _ in without)
    least = LEAST
    while math.erfc(math.sqrt(least / 2)) > ALARMS / len(readings):
        least += 0.001
    if within(chi2 - best, least) or not allowed(best, freedom - 1):
        return None if near else []
    answer = []
    for i, (c, x) in enumerate(without):
        if not allowed(c, freedom - 1) or not within(c - best, ALIKE):
            continue
        slips = []
        told = model(x)[i]
        for name, v in before(readings[i][0], angles[i]):
            if abs(v - told) < 20 * readings[i][1]:
                other = list(readings)
                other[i] = (v, readings[i][1])
                d, _ = fit(model, other, x)
                if allowed(d, freedom) and within(d - c, CLOSE):
                    slips.append([name, v])
        answer.append({"reading": i, "slips": slips})
    return None if near else answer


def checked_twice(model, x, sigma):
    """Which readings the others tell to three times their uncertainty whatever other one is
    left out: two loops check each of these."""
    rows = []
    for j in range(len(x)):
        y, z = list(x), list(x)
        y[j] += 1e-3
        z[j] -= 1e-3
        rows.append([(p - q) / 2e-3 / s for p, q, s in zip(model(y), model(z), sigma)])
    rows = [list(r) for r in zip(*rows)]

    def told(i, without):
        n = len(x)
        left = [r for k, r in enumerate(rows) if k not in (i, without)]
        normal = [[sum(r[j] * r[k] for r in left) + (1e-9 if j == k else 0) for k in range(n)] for j in range(n)]
        return sum(a * b for a, b in zip(rows[i], solve(normal, rows[i])))

    return [all(told(i, k) < 9 for k in range(len(rows)) if k != i) for i in range(len(rows))]


# Sheets and tapes: a reading is (what it is called, how, from, to, sign, side)


class Shop(Bike):
    def __init__(self, rng):
        super().__init__(rng, rng.choice(("road", "gravel", "trail", "city", "small")))
        self.noseup_stated = 0.0
        self.build()
        if rng.random() < 0.5:  # one lever or grip elsewhere
            k = self.k["hands"]
            for side in ("left", "right"):
                name = f"{k}_{side}"
                off = (rng.uniform(-30, 30), 0, rng.uniform(-30, 30)) if side == "left" else (0, 0, 0)
                self.at[name] = self.held[name] = [a + b for a, b in zip(self.held[name], off)]

    def read(self, r):
        how, a, b, sgn = r[1:5]
        if how == "tilt":
            v, s = self.level(0.03)
            return round(v, 2), s
        v, s = self.take(how, a, b, 1.0, 1.0, 0.03)
        return sgn * v, s

    def twins(self, r):
        """What may be measured in place of a reading."""
        name, how, a, b, sgn, side = r
        swap = {"saddle_reference": "saddle_nose", "saddle_nose": "saddle_reference"}
        if how == "tilt" or how == "lateral":
            return
        for end in range(2):
            e = (a, b)[end]
            if e in swap and swap[e] not in (a, b):
                yield "nose_for_reference", (name, how, *((swap[a], b) if end == 0 else (a, swap[b])), sgn, side)
        if how == "vertical" and "bottom_bracket" in (a, b) and "ground" not in (a, b):
            yield "ground_for_bracket", (name, how, *["ground" if e == "bottom_bracket" else e for e in (a, b)], sgn, side)
        if how == "vertical" and "ground" in (a, b) and "bottom_bracket" not in (a, b):
            yield "ground_for_bracket", (name, how, *["bottom_bracket" if e == "ground" else e for e in (a, b)], sgn, side)
        if how == "direct":
            yield "straight_for_level", (name, "horizontal" if "reach" in name else "vertical", a, b, 1, side)
        if how in ("horizontal", "vertical") and "ground" not in (a, b):
            yield "straight_for_level", (name, "direct", a, b, 1, side)
        for end in range(2):
            e = (a, b)[end]
            for one, other in ("_left", "_right"), ("_right", "_left"):
                if e.endswith(one):
                    to = e[: -len(one)] + other
                    yield "left_for_right", (name, how, *((to, b) if end == 0 else (a, to)), sgn, side)


def sheet_design(bike, design):
    k = bike.k["hands"]
    bb, ref, nose, clamp, p, s = "bottom_bracket", "saddle_reference", "saddle_nose", "bar_clamp", PLURAL[k], STACK[k]
    few = [
        ("saddle_height", "direct", bb, ref, 1, ""), ("saddle_height_vertical", "vertical", bb, ref, 1, ""), ("saddle_setback", "horizontal", bb, ref, -1, ""),
        ("bar_stack", "vertical", bb, clamp, 1, ""), ("bar_reach", "horizontal", bb, clamp, 1, ""), ("bar_drop_clamp", "vertical", ref, clamp, -1, ""),
        ("reach_clamp_horizontal", "horizontal", ref, clamp, 1, ""), (f"{s}_stack", "vertical", bb, k, 1, ""), (f"{s}_reach", "horizontal", bb, k, 1, ""),
        (f"bar_drop_{p}", "vertical", ref, k, -1, ""), (f"reach_{p}_horizontal", "horizontal", ref, k, 1, ""),
    ]
    if design == "loops":
        return few, False
    if design == "once":
        return few + [
            ("saddle_setback_nose", "horizontal", bb, nose, -1, ""), ("saddle_station", "side", nose, ref, 1, ""), ("saddle_height_nose", "vertical", bb, nose, 1, ""),
            ("saddle_height_ground", "vertical", "ground", ref, 1, ""), ("reach_clamp", "direct", ref, clamp, 1, ""), ("reach_nose_clamp", "direct", nose, clamp, 1, ""),
            (f"{p}_width", "lateral", k + "_right", k + "_left", 1, ""), ("saddle_tilt", "tilt", "", "", 1, ""),
        ], False
    all_ = few[:7] + [
        ("saddle_height_ground", "vertical", "ground", ref, 1, ""), ("saddle_setback_nose", "horizontal", bb, nose, -1, ""),
        ("saddle_height_nose", "vertical", bb, nose, 1, ""), ("saddle_station", "side", nose, ref, 1, ""), ("reach_clamp", "direct", ref, clamp, 1, ""),
        ("reach_nose_clamp_horizontal", "horizontal", nose, clamp, 1, ""), ("reach_nose_clamp", "direct", nose, clamp, 1, ""),
    ]
    for side in "left", "right":
        h = f"{k}_{side}"
        all_ += [
            (f"{s}_stack", "vertical", bb, h, 1, side), (f"{s}_reach", "horizontal", bb, h, 1, side), (f"bar_drop_{p}", "vertical", ref, h, -1, side),
            (f"reach_{p}_horizontal", "horizontal", ref, h, 1, side), (f"reach_nose_{p}_horizontal", "horizontal", nose, h, 1, side),
        ]
    thrice = [(f"{p}_width", "lateral", k + "_right", k + "_left", 1, ""), ("saddle_tilt", "tilt", "", "", 1, "")]
    return all_ + all_ + 3 * thrice, True


def tape_design(bike, design):
    k = bike.k["hands"]
    bb, ground, ref, nose, clamp = "bottom_bracket", "ground", "saddle_reference", "saddle_nose", "bar_clamp"

    def of(how, *pairs):
        return [(how, how, a, b, 1, "") for a, b in pairs]

    few = (
        of("vertical", (ground, bb), (bb, ref), (ground, ref), (bb, clamp), (ground, clamp))
        + of("horizontal", (bb, ref), (bb, clamp), (ref, clamp)) + of("direct", (bb, ref), (ref, clamp))
    )
    if design == "loops":
        return few
    left, right, pl, pr = k + "_left", k + "_right", "pedal_left", "pedal_right"
    all_ = few + (
        of("horizontal", (bb, nose), (nose, ref), (nose, clamp)) + of("vertical", (ground, nose)) + of("direct", (nose, clamp))
        + of("horizontal", (bb, left), (bb, right), (clamp, left), (clamp, right)) + of("vertical", (ground, left), (ground, right), (clamp, left), (clamp, right))
        + of("lateral", (bb, left), (bb, right), (right, left), (pr, pl)) + of("horizontal", (bb, pl), (bb, pr))
    )
    if design == "once":
        return all_
    return all_ + (
        of("vertical", (ref, clamp), (bb, nose), (ground, bb), (bb, left), (bb, right)) + of("horizontal", (ref, left), (ref, right))
        + 2 * of("horizontal", (bb, pl), (bb, pr)) + of("lateral", (bb, left), (bb, right), (right, left), (pr, pl), (pr, pl))
        + of("direct", (bb, clamp), (bb, nose))
    )


def document(kind, bike, readings, values, mirrored, drawn):
    entries = []
    for r, (v, s) in zip(readings, values):
        e = {"measure": r[0]} if kind == "sheet" else {"kind": r[1], "from": r[2], "to": r[3]}
        if kind == "sheet" and r[5]:
            e["side"] = r[5]
        unit = "deg" if r[1] == "tilt" else "mm"
        entries.append(e | {f"value_{unit}": v, f"sigma_{unit}": s})
    if kind == "sheet":
        return {"bottom_bracket_height_mm": drawn["floor"], "mirrored": mirrored, "entries": entries}
    return {"readings": entries} | ({"nose_up_deg": drawn["shown"], "nose_up_sigma_deg": bike.slope_sigma} if drawn["shown"] is not None else {})


def flat_model(readings, tape):
    """The values of readings whose places are in x: reference and clamp, hands and floor."""
    points = sorted({e for r in readings for e in r[2:4]} - {"bottom_bracket", "ground"})

    def model(x):
        at = {"bottom_bracket": (0, 0), "ground": (0, x[-1] if tape else 0)} | {p: (x[2 * i], x[2 * i + 1]) for i, p in enumerate(points)}
        values = []
        for _, how, a, b, sgn, _ in readings:
            dx, dz = at[b][0] - at[a][0], at[b][1] - at[a][1]
            values.append({"direct": math.hypot(dx, dz), "horizontal": dx, "vertical": dz}[how] * sgn)
        return values

    return points, model


def shop(kind, rng, slip, design):
    """A case, or None if the slip does not apply."""
    bike = Shop(rng)
    bike.on_floor()
    drawn = {"floor": round(bike.floor), "shown": None}
    bike.floor = drawn["floor"] + rng.gauss(0, 0.3)
    mirrored = True
    if kind == "tape":
        if design != "loops":
            bike.noseup = rng.uniform(-1.5, 1.5)
            drawn["shown"] = round(bike.noseup + rng.gauss(0, bike.slope_sigma), 2)
        readings = tape_design(bike, design)
    else:
        readings, sided = sheet_design(bike, design)
        mirrored = not sided
    if design == "loops" and bike.k["hands"]:
        for side in ("left", "right"):  # alike
            h = f"{bike.k['hands']}_{side}"
            bike.held[h] = bike.at[h]
    values = [bike.read(r) for r in readings]
    clean = document(kind, bike, readings, values, mirrored, drawn)
    case = {"input": kind, "slip": slip, "design": design, "clean": clean, "reading": -1}
    if slip == "none":
        return case
    picks = [i for i, r in enumerate(readings) if slip not in LENGTHS or r[1] != "tilt"]
    if slip in NUMBERS:
        if slip == "other_side":
            picks = [i for i, r in enumerate(readings) if r[1] == "tilt"]
        if not picks:
            return None
        i = rng.choice(picks)
        v = NUMBERS[slip](rng, values[i][0])
        if v == values[i][0]:
            return None
        other = (v, values[i][1])
    else:
        twins = [(i, t) for i, r in enumerate(readings) for name, t in bike.twins(r) if name == slip]
        if not twins:
            return None
        i, t = rng.choice(twins)
        v = bike.read(t)[0]
        if readings[i][1] == "direct":
            v = abs(v)
        other = (v, values[i][1])
    values = list(values)
    case |= {"reading": i, "before": values[i][0]}
    values[i] = other
    case["slipped"] = document(kind, bike, readings, values, mirrored, drawn)
    if design == "loops":
        points, model = flat_model(readings, kind == "tape")
        start = [c for p in points for c in (bike.end(p)[0], bike.end(p)[2])] + ([-bike.floor] if kind == "tape" else [])
        answer = oracle(model, start, values, [False] * len(values))
        if answer is not None:
            case["oracle"] = answer
    return case


# Charts

DIMENSIONS = (
    "stack", "reach", "effective_top_tube", "head_angle", "seat_angle", "head_tube", "lower_headset", "axle_to_crown", "axle_to_crown_steerer", "fork_offset",
    "drop", "bottom_bracket_height", "chainstay", "rear_centre", "front_centre", "front_centre_horizontal", "wheelbase", "trail", "front_radius", "rear_radius",
)
USUAL = (
    "stack", "reach", "effective_top_tube", "head_angle", "seat_angle", "fork_offset", "drop", "bottom_bracket_height", "chainstay", "front_centre", "wheelbase",
    "trail", "rear_radius", "front_radius",
)
ANGLES = ("head_angle", "seat_angle")
STRAIGHT = (("chainstay", "rear_centre"), ("front_centre", "front_centre_horizontal"), ("axle_to_crown", "axle_to_crown_steerer"))


def frame(x):
    """All dimensions of a frame with a seat tube through the bottom bracket, drawn with its
    points: x is stack, reach, head and seat angle, fork offset, drop, chainstay, radii, lower
    headset and fork length."""
    stack, reach, head, seat, offset, drop, stay, front, rear, lower, fork = x
    h, s = math.radians(head), math.radians(seat)
    down = (math.cos(h), -math.sin(h))  # along the steering axis
    ahead = (math.sin(h), math.cos(h))
    z = drop + front - rear  # both wheels on the ground
    t = (z - stack - offset * ahead[1]) / down[1]
    axle = (reach + t * down[0] + offset * ahead[0], z)
    rc = math.sqrt(stay * stay - drop * drop)
    axial = math.sqrt(fork * fork - offset * offset)
    ground = drop - rear
    u = (ground - stack) / down[1]
    return {
        "stack": stack, "reach": reach, "effective_top_tube": reach + stack / math.tan(s), "head_angle": head, "seat_angle": seat, "fork_offset": offset,
        "head_tube": t - axial - lower, "lower_headset": lower, "axle_to_crown": fork, "axle_to_crown_steerer": axial, "drop": drop,
        "bottom_bracket_height": rear - drop, "chainstay": stay, "rear_centre": rc, "front_centre": math.hypot(*axle), "front_centre_horizontal": axle[0],
        "wheelbase": axle[0] + rc, "trail": reach + u * down[0] - axle[0], "front_radius": front, "rear_radius": rear,
    }


def chart(rng, slip, design):
    u = rng.uniform
    x = [u(500, 660), u(360, 480), u(65, 74), u(71, 77), u(38, 55), u(20, 80), u(400, 460), u(320, 370), 0, u(2, 12), u(365, 560)]
    x[8] = x[7] + u(-3, 3)
    true = frame(x)
    if not (60 < true["head_tube"] < 260):
        return None
    names = DIMENSIONS if design == "twice" else USUAL
    step = {True: rng.choice((0.1, 0.5)), False: rng.choice((0.5, 1))}
    entries, values = [], []
    for n in names:
        angle = n in ANGLES
        # Frames are built and drawn with errors of their own, which numbers are said to have.
        v = true[n] + rng.choice((rng.gauss(0, 0.03 if angle else 0.3), u(-0.05, 0.05) * (1 if angle else 10)))
        v = round(round(v / step[angle]) * step[angle], 2)
        values.append((v, math.hypot(step[angle] / math.sqrt(12), 0.05 if angle else 0.5)))
    mm = lambda n: "deg" if n in ANGLES else "mm"

    def document(names_, values_):
        return {"length_step_mm": step[False], "angle_step_deg": step[True], "seat_tube_centred": True, "equal_wheels": False, "entries": [
            {"dimension": n, f"value_{mm(n)}": v, f"sigma_{mm(n)}": 0.05 if n in ANGLES else 0.5} for n, (v, _) in zip(names_, values_)]}

    case = {"input": "chart", "slip": slip, "design": design, "clean": document(names, values), "reading": -1}
    if slip == "none":
        return case
    picks = [i for i, n in enumerate(names) if slip not in LENGTHS or n not in ANGLES]
    if design == "twice":
        well = checked_twice(lambda y: [frame(y)[n] for n in names], x, [s for _, s in values])
        picks = [i for i in picks if well[i]]
    if slip in NUMBERS:
        if slip == "other_side":
            picks = [i for i, n in enumerate(names) if n in ANGLES]
        if not picks:
            return None
        i = rng.choice(picks)
        v = NUMBERS[slip](rng, values[i][0])
        if v == values[i][0]:
            return None
    elif slip == "straight_for_level":
        a, b = rng.choice([p if rng.random() < 0.5 else p[::-1] for p in STRAIGHT])
        if a not in names:
            return None
        i = names.index(a)
        if i not in picks:
            return None
        v = round(round(true[b] / step[False]) * step[False], 2)
    else:
        return None
    values = list(values)
    case |= {"reading": i, "before": values[i][0]}
    values[i] = (v, values[i][1])
    case["slipped"] = document(names, values)
    if design == "loops":
        model = lambda y: [frame(list(y) + x[9:])[n] for n in names]
        try:
            answer = oracle(model, x[:9], values, [n in ANGLES for n in names])
        except ValueError:  # it left what frames are
            answer = None
        if answer is not None:
            case["oracle"] = answer
    return case


SLIPS = (*NUMBERS, "nose_for_reference", "ground_for_bracket", "straight_for_level", "left_for_right")
LEFT_OUT = {"chart": ("nose_for_reference", "ground_for_bracket", "left_for_right")}


def main():
    kind, seed, cases = sys.argv[1], int(sys.argv[2]), int(sys.argv[3])
    for slip in ("none", *SLIPS):
        if slip in LEFT_OUT.get(kind, ()):
            continue
        for design, count in ("twice", cases), ("once", cases), ("loops", max(1, cases // 20)):
            rng = random.Random(f"{seed} {kind} {slip} {design}")
            if slip == "none":
                count = 5 * count if design != "loops" else 0
            tries = made = 0
            while count > 0 and tries < 100000:
                tries += 1
                case = chart(rng, slip, design) if kind == "chart" else shop(kind, rng, slip, design)
                if case is None:
                    if tries > 200 and not made:
                        break  # it does not apply
                    continue
                count, made = count - 1, made + 1
                json.dump(case, sys.stdout)
                print()


if __name__ == "__main__":
    main()
