"""Draws bikes and what an instrument reads on them, for the proof of the intervals of
contact/survey: one JSON object a line, bike and readings both drawn anew.

    python3 points.py SEED DRAWS > points.jsonl

Not the solver's model: a bike is made of parts that sit askew in one another. The rear
end and the fork are bent sideways and twisted, hubs sit in them askew, rims are out of
dish, axles stick out unequally, the head tube is out of the plane, faces are filed
unevenly, and what people read by eye they read at slightly other places left and right.
How far all that is out has a width that is 0.7 or 1.5 of the 1 mm that the package
takes for usual, a bike at a time; and so have fork offset and head angle about their
usual values where the head tube is not read. Readings have noise along the
instrument's own axes, are rounded as the instrument shows them, and one in a hundred
is wrong by 5 to 80 mm, but of a landmark never so many that the right ones are no
majority: nothing could tell then.

Sizes are invented ("common practice, no source"). No library but Python's own.
"""

import json
import math
import random
import sys

KINDS = ("road", "time_trial", "trail", "city", "small_wheels", "odd_fork")
LEFT, RIGHT = "_left", "_right"


def add(*vs):
    return [sum(c) for c in zip(*vs)]


def times(k, v):
    return [k * c for c in v]


def rotate(v, axis, deg):
    """Rodrigues' formula; axis of length 1."""
    s, c = math.sin(math.radians(deg)), math.cos(math.radians(deg))
    d = sum(a * b for a, b in zip(axis, v))
    x = [axis[1] * v[2] - axis[2] * v[1], axis[2] * v[0] - axis[0] * v[2], axis[0] * v[1] - axis[1] * v[0]]
    return [c * v[i] + s * x[i] + (1 - c) * d * axis[i] for i in range(3)]


class Draw:
    def __init__(self, rng, kind):
        self.rng, self.kind = rng, kind
        self.out = rng.choice((0.7, 1.5))  # of the usual 1 mm
        self.points = {}  # landmark: place on the bike, wheel straight
        self.front = set()  # what turns with the wheel

    def u(self, lo, hi):
        return self.rng.uniform(lo, hi)

    def n(self, sigma):
        return self.rng.gauss(0, sigma)

    def both(self, name, left, right, front=False):
        self.points[name + LEFT], self.points[name + RIGHT] = left, right
        if front:
            self.front |= {name + LEFT, name + RIGHT}

    def sides(self, name, at, half, front=False, skew=(0.0, 0.0), share=1.0):
        """Two places that would mirror each other. What each is off is its own; sideways
        that is a share of the square, and the rest is the part's, which sits askew."""
        e, w = math.sqrt(share) * self.out, self.out
        self.both(
            name,
            add(at, [skew[0], half, skew[1]], [self.n(w), self.n(e), self.n(w)]),
            add(at, [-skew[0], -half, -skew[1]], [self.n(w), self.n(e), self.n(w)]),
            front,
        )

    def frame(self):
        u, n, w = self.u, self.n, self.out
        kind = self.kind
        wheel = {"small_wheels": u(190, 260)}.get(kind, u(325, 370))
        self.radius = (wheel + u(-4, 4), wheel + u(-4, 4))
        drop = wheel - u(265, 300) if kind != "small_wheels" else wheel - u(270, 300)
        rear = [-math.sqrt(u(400, 470) ** 2 - drop**2), 0, drop]
        front = [u(*{"city": (600, 700), "trail": (680, 820)}.get(kind, (570, 640))), 0, drop + self.radius[0] - self.radius[1]]
        self.head = kind == "odd_fork" or self.rng.random() < 0.5
        spread = self.rng.choice((0.7, 1.5))
        angle, offset = 71 + n(4 * spread), 45 + n(8 * spread)
        if self.head:
            angle, offset = u(62, 76), u(35, 65)
        if kind == "odd_fork":
            offset = u(-60, 110)
        angle = min(max(angle, 50), 85)
        s, c = math.sin(math.radians(angle)), math.cos(math.radians(angle))
        fore, self.up = [s, 0, c], [-c, 0, s]
        self.foot = add(front, times(-offset, fore))

        def end(name, at, half, turns):
            # The part is bent sideways and twisted; the wheel sits in it askew.
            aside, skew = n(0.5 * w), [n(0.0025 * w) * half for _ in range(2)]
            at = add(at, [0, aside, 0])
            if self.rng.random() < 0.4:
                self.sides(name + "_dropout", at, half, turns, skew, 0.5)
            wheel_at = add(at, [0, n(0.3 * w), 0])
            longer = u(2, 15) * self.rng.choice((-1, 1)) if self.rng.random() < 0.6 else 0
            left, right = u(3, 6), u(3, 6)
            turn = [k + n(0.001 * w) * half for k in skew]
            ends = [n(0.65 * w), 0, n(0.65 * w)]  # bent, or nuts that are no centres
            end_left, end_right = half + left + max(longer, 0), half + right + max(-longer, 0)
            self.both(
                name + "_axle",
                add(wheel_at, [turn[0] * end_left / half, end_left, turn[1] * end_left / half], ends),
                add(wheel_at, [-turn[0] * end_right / half, -end_right, -turn[1] * end_right / half], times(-1, ends)),
                turns,
            )
            if self.rng.random() < 0.5:
                # Both sides of a rim, read across from each other by eye, anywhere round it
                # where nothing is in the way. The wheel's plane is square to its axle.
                a, r = u(0, 2 * math.pi), u(0.80, 0.9) * wheel
                spot = [r * math.cos(a), 0, r * math.sin(a)]
                spot[1] = -(turn[0] * spot[0] + turn[1] * spot[2]) / half + n(0.3 * w)
                wide = u(10, 16)
                self.both(name + "_rim", add(wheel_at, spot, [n(1), wide, n(1)]), add(wheel_at, spot, [n(1), -wide, n(1)]), turns)

        # The shell's faces. Its axis is where it is: the origin is midway.
        half = u(34, 46)
        skew, aside = (n(0.7 * w), n(0.7 * w)), n(0.7 * w)
        self.both("bottom_bracket", [skew[0], half + aside, skew[1]], [-skew[0], -half + aside, -skew[1]])
        end("rear", rear, u(60, 72), False)
        end("front", front, u(48, 56), True)
        if self.head:
            low = u(370, 480) if kind != "small_wheels" else u(240, 300)
            aside, twist = n(0.3 * w), n(0.3 * w)
            self.sides("head_tube_bottom", add(self.foot, times(low, self.up), [0, aside - twist, 0]), u(18, 25), share=0.64)
            self.sides("head_tube_top", add(self.foot, times(low + u(100, 190), self.up), [0, aside + twist, 0]), u(16, 22), share=0.64)
        if self.rng.random() < 0.5:
            self.sides("mark_seat_tube", [u(-140, -80), 0, u(250, 420)], u(14, 18))
        if self.rng.random() < 0.3:
            self.sides("mark_down_tube", [u(150, 260), 0, u(150, 260)], u(15, 30))

    def contacts(self):
        u, n, p = self.u, self.n, self.points
        saddle = [u(-260, -150), n(2), u(640, 780)]
        tilt, yaw = math.radians(n(2.5)), math.radians(n(0.8))
        along = [math.cos(tilt) * math.cos(yaw), math.cos(tilt) * math.sin(yaw), math.sin(tilt)]
        if self.rng.random() < 0.6:
            roll = n(0.8)
            p["saddle_edge_left"], p["saddle_edge_right"] = add(saddle, [n(0.5), 40, roll]), add(saddle, [n(0.5), -40, -roll])
        else:
            p["saddle_reference"] = saddle
        # Nose and rear lie off the line along the saddle's top, by 0.7 or 1.5 of the usual 6 mm.
        droop = 6 * self.rng.choice((0.7, 1.5))
        p["saddle_nose"] = add(saddle, times(u(125, 155), along), [0, n(1), n(droop)])
        p["saddle_rear"] = add(saddle, times(-u(110, 140), along), [0, n(1), n(droop)])
        self.tilt = math.degrees(math.atan2(along[2], along[0]))
        if self.rng.random() < 0.5:
            high = u(3, 12)  # over the reference, along the top
            p["saddle_top_front"] = add(saddle, times(u(60, 110), along), [0, 0, high])
            p["saddle_top_rear"] = add(saddle, times(-u(70, 105), along), [0, 0, high])
        bar = {"road": ("tops", "hoods", "drops"), "time_trial": ("grip", "pad", "extension"), "odd_fork": ("hoods",)}.get(self.kind, ("grip",))
        clamp = [u(430, 520), n(1.5), u(560, 720)]
        if self.kind == "city":
            clamp = [u(360, 460), n(1.5), u(700, 900)]
        p["bar_clamp"] = clamp
        self.front.add("bar_clamp")
        where = {"tops": (0, 100, 0), "hoods": (95, 210, 25), "drops": (40, 220, -120), "grip": (-30, 300, 20), "pad": (-60, 90, 60), "extension": (260, 50, 80)}
        for name in bar:
            x, y, z = where[name]
            for side, sign in (LEFT, 1), (RIGHT, -1):
                p[name + side] = add(clamp, [x + n(8), sign * (y + n(8)), z + n(8)])
                self.front.add(name + side)
        turn, crank = u(0, 360), u(155, 180)
        for side, sign in (LEFT, 1), (RIGHT, -1):
            c = crank + n(0.8)
            p["pedal" + side] = [sign * c * math.cos(math.radians(turn)), sign * u(66, 82), sign * c * math.sin(math.radians(turn))]

    def truth(self):
        p = self.points
        at = {k: v for k, v in p.items() if k.split("_")[0] in ("saddle", "bar", "tops", "hoods", "drops", "grip", "pad", "extension") and "edge" not in k and "top_" not in k}
        degrees = {}
        if "saddle_edge_left" in p:
            left, right = p["saddle_edge_left"], p["saddle_edge_right"]
            at["saddle_reference"] = times(0.5, add(left, right))
            degrees["roll"] = math.degrees(math.atan2(left[2] - right[2], left[1] - right[1]))
        for side in (LEFT, RIGHT):
            v = p["pedal" + side]
            at["pedal" + side] = [math.hypot(v[0], v[2]), v[1], 0]
        d = add(p["saddle_nose"], times(-1, p["saddle_rear"]))
        degrees |= {"tilt": self.tilt, "yaw": math.degrees(math.atan2(d[1], d[0]))}
        return at, degrees

    def read(self):
        u, n, rng = self.u, self.n, self.rng
        steer = 0.0 if rng.random() < 0.5 else u(-10, 10)
        axis = times(1, [n(1), n(1), n(1)])
        axis = times(1 / math.sqrt(sum(c * c for c in axis)), axis)
        turn, shift = u(0, 360), [n(1500), n(1500), n(1500)]
        self.upward = rotate([0, 0, 1], axis, turn)  # in the instrument's axes
        shown = rng.choice((0.01, 0.1, 0.5))
        sigma = [max(shown, u(0.1, 0.6)) * u(0.8, 1.3) for _ in range(3)]
        count = rng.choice((3, 4, 5))
        readings, gross = [], []
        for name, v in self.points.items():
            if name in self.front:
                v = add(self.foot, rotate(add(v, times(-1, self.foot)), self.up, steer))
            v = add(rotate(v, axis, turn), shift)
            wrong = 0
            for _ in range(count):
                at = add(v, [n(s) for s in sigma])
                # Of three or four readings two that are wrong can outvote the right ones.
                if rng.random() < 0.01 and wrong < (count - 1) // 2:
                    wrong += 1
                    d = [n(1), n(1), n(1)]
                    at = add(at, times(u(5, 80) / math.sqrt(sum(c * c for c in d)), d))
                    gross.append(len(readings))
                readings.append({"landmark": name, "at": [round(round(c / shown) * shown, 6) for c in at]})
        # Rounding is part of what is stated of one reading.
        stated = [round(math.hypot(s, shown / math.sqrt(12)), 4) for s in sigma]
        level = rng.random() < 0.75
        survey = {"unit": "mm", "sigma": stated, "readings": readings}
        if level:
            s = u(0.5, 2)
            survey |= {"front_radius_mm": round(self.radius[0] + n(s), 1), "rear_radius_mm": round(self.radius[1] + n(s), 1), "radius_sigma_mm": round(s, 2)}
        else:
            s = u(0.05, 0.3)
            up = rotate([math.tan(math.radians(n(s))), math.sin(math.radians(u(-5, 5))), 1.0], axis, turn)
            survey |= {"up": up, "up_sigma_deg": round(s, 3)}
        return survey, steer, gross


def main():
    seed, draws = int(sys.argv[1]), int(sys.argv[2])
    for k, kind in enumerate(KINDS):
        rng = random.Random(f"{seed} {kind}")
        for _ in range(draws):
            d = Draw(rng, kind)
            d.frame()
            d.contacts()
            survey, steer, gross = d.read()
            at, degrees = d.truth()
            frame = {k: v for k, v in d.points.items() if k.split("_")[0] in ("bottom", "rear", "front", "head", "mark")}
            json.dump({"kind": kind, "input": "points", "out": d.out, "steer": steer, "survey": survey, "at": at, "degrees": degrees, "gross": gross, "frame": frame}, sys.stdout)
            print()


if __name__ == "__main__":
    main()
