"""Draws bikes and what a shop reads on them with tape, plumb line and level, for the
proof of the intervals of convert and of contact/survey: one JSON object a line, bike and
readings both drawn anew.

    python3 readings.py SEED DRAWS > readings.jsonl

Not the solver's model: a bike is a saddle with a side profile, a bar that sits a little
crooked, and a rider's marks on it, and it stands on a floor. Readings are taken of that
as gravity and a tape show it, and rounded as the instrument shows them. The solver is
not told: that the tape is too long or too short, that the bike leans, that the wheel is
turned a little, that the widths of left and right differ, that the place where the
saddle is 80 mm wide was marked beside it, and for sheets that the floor slopes. What the
solver supposes (the saddle's shape, the mid-plane) has a true width that is 0.7 or 1.5
of the supposed, a bike and a supposition at a time, and is not normal. What a reading is
stated to be good to is the root of the sum of squares of all that is in it, as a shop
would add it up.

Where the height of the bar hangs on two distances that are nearly equal, the line has
how long the ranges are, together, that hold it in 95 % of a Monte Carlo of these readings
as they were noted down (JCGM 101): the height may lie on either side of the saddle's.

Each line has the kind of bike, the input, and which bike it is: 0 for one of its own, and
a number for some bikes that are measured again and again, with all but the place of
saddle and bar anew, so that the scatter of the answers shows what the readings can tell.

Sizes are invented ("common practice, no source"). No library but Python's own.
"""

import json
import math
import random
import sys

INPUTS = ("tape", "card", "reach", "frame")
AGAIN = 40  # bikes that are measured again and again, each DRAWS/20 times


def kind(setback, height, drop, reach, hands, forward, up, half):
    return locals()


# Saddle: how far behind the bottom bracket and the direct height; bar clamp: how far
# below the saddle and in front of the bottom bracket; hands: from the clamp, and half
# the width.
KINDS = {
    "road": kind((150, 240), (650, 800), (20, 110), (430, 520), "hoods", (80, 115), (-10, 40), (190, 220)),
    "gravel": kind((150, 240), (640, 790), (-20, 60), (420, 510), "hoods", (75, 105), (0, 45), (200, 240)),
    "trail": kind((150, 250), (640, 780), (-30, 40), (430, 520), "grip", (-50, -10), (0, 45), (340, 385)),
    "city": kind((160, 260), (600, 740), (-160, 10), (330, 430), "grip", (-150, -60), (0, 60), (270, 330)),
    "time_trial": kind((20, 130), (660, 800), (70, 150), (430, 530), "pad", (-60, 20), (50, 120), (70, 120)),
    "small": kind((90, 160), (430, 580), (-70, 30), (280, 380), "grip", (-60, -10), (0, 40), (220, 280)),
}
PLURAL = {"hoods": "hoods", "grip": "grips", "pad": "pads"}
STACK = {"hoods": "hoods", "grip": "grip", "pad": "pad"}


def sub(a, b):
    return [p - q for p, q in zip(a, b)]


def tilted(v, noseup, lean):
    """v as gravity sees it, on a floor that rises to the front and a bike that leans to
    the right."""
    s, c = math.sin(math.radians(noseup)), math.cos(math.radians(noseup))
    x, y, z = v[0] * c - v[2] * s, v[1], v[0] * s + v[2] * c
    s, c = math.sin(math.radians(lean)), math.cos(math.radians(lean))
    return [x, y * c - z * s, y * s + z * c]


class Bike:
    def __init__(self, rng, kind):
        self.rng, self.k = rng, KINDS[kind]
        u, k = rng.uniform, self.k
        back, height = u(*k["setback"]), u(*k["height"])
        self.reference = [-back, 0, math.sqrt(height**2 - back**2)]
        self.tilt = max(-8, min(8, rng.gauss(-0.5, 2)))
        self.nose, self.rear = u(120, 160), u(100, 145)  # along the saddle, from the reference
        self.clamp = [u(*k["reach"]), 0, self.reference[2] - u(*k["drop"])]
        self.hands = [u(*k["forward"]), u(*k["half"]), u(*k["up"])]
        self.crank, self.half_q = rng.choice((140, 165, 170, 172.5, 175)), u(65, 85)
        self.floor = u(250, 340)
        self.axle = [u(560, 700), u(50, 58), u(40, 80)]
        # How it is measured, the same for a bike that is measured again and again.
        self.level_own, self.level_step = rng.choice((0.1, 0.2, 0.4)), rng.choice((0.1, 0.5))
        self.slope_sigma, self.plumb = rng.choice((0.05, 0.1, 0.2)), rng.choice((0, 0.8))
        self.how = rng.choice(("vertical", "level", "both"))
        self.more = [rng.random() < 0.5 for _ in range(4)]
        self.seat_angle = u(70, 78)

    def odd(self, usual):
        """How far something is off that the solver supposes to be right to a usual width:
        its true width is another one, and it is not normal."""
        width = usual * self.rng.choice((0.7, 1.5))
        return width * math.sqrt(1.5) * (self.rng.uniform(-1, 1) + self.rng.uniform(-1, 1))

    def build(self):
        """The bike of this day: all that is not its nominal place, anew."""
        n = self.rng.gauss
        t = math.radians(self.tilt)
        along, up = [math.cos(t), 0, math.sin(t)], [-math.sin(t), 0, math.cos(t)]

        def on_saddle(forward, above, aside):
            return [r + forward * a + above * b + (0, aside, 0)[i] for i, (r, a, b) in enumerate(zip(self.reference, along, up))]

        aside, yaw = self.odd(2), n(0, 0.2)
        self.at = {
            "saddle_reference": on_saddle(0, 0, aside),
            "saddle_nose": on_saddle(self.nose, self.odd(6), aside + self.nose * math.radians(yaw)),
            "saddle_rear": on_saddle(-self.rear, self.odd(6), aside - self.rear * math.radians(yaw)),
            "bar_clamp": [self.clamp[0], self.odd(2), self.clamp[2]],
        }
        # The wheel is turned a little, the bar sits a little askew in its clamp.
        turn, askew, mid = math.radians(n(0, 0.05)), n(0, 0.3), self.odd(3)
        x, y, z = self.hands
        name = self.k["hands"]
        for side, sign in ("left", 1), ("right", -1):
            self.at[f"{name}_{side}"] = [self.clamp[0] + x - sign * y * turn, mid + sign * y, self.clamp[2] + z + sign * askew]
            self.at[f"pedal_{side}"] = [self.crank + n(0, 0.2), sign * self.half_q + n(0, 0.5), 0]
        # A hub's ends stick out unequally; a mark is anywhere on the top tube.
        x, y, z = self.axle
        self.at["front_axle_left"], self.at["front_axle_right"] = [x, y + n(0, 4), z], [x, -y + n(0, 4), z]
        self.at["mark_tube"] = [self.rng.uniform(0, 300), self.rng.uniform(-20, 20), self.reference[2] - self.rng.uniform(60, 180)]
        # What a tape is held to instead of the place where the saddle is 80 mm wide.
        marked = n(0, 0.3)
        self.held = dict(self.at)
        self.held["saddle_reference"] = [p + marked * a for p, a in zip(self.at["saddle_reference"], along)]
        self.scale = 1 + n(0, 4e-4)
        self.noseup, self.lean = 0.0, n(0, 0.3)
        self.monte_carlo = {}

    def end(self, name):
        if name == "bottom_bracket":
            return [0, 0, 0]
        if name == "ground":
            return [0, 0, -self.floor]
        if name in self.held:
            return self.held[name]
        return [(a + b) / 2 for a, b in zip(self.held[name + "_left"], self.held[name + "_right"])]

    def take(self, how, a, b, own, step, untold=0.0):
        """A reading and what it is stated to be good to. Untold is the slope of the floor
        that the solver is not told and that a shop allows for."""
        d = sub(self.end(b), self.end(a))
        g = tilted(d, self.noseup, self.lean)
        length = math.hypot(*d)
        value = {"direct": length, "horizontal": g[0], "vertical": g[2], "lateral": d[1], "side": math.hypot(d[0], d[2])}[how]
        if "ground" in (a, b):  # straight down from where the tape is held
            value = g[2]
        parts = [own, step / math.sqrt(12), 4e-4 * abs(value)]
        if "saddle_reference" in (a, b):
            parts.append(0.3 if how != "vertical" else 0.1)
        if how in ("horizontal", "vertical"):
            parts.append(math.radians(untold) * abs(d[2] if how == "horizontal" else d[0]))
        if how == "vertical":
            parts.append(math.radians(0.3) * abs(d[1]))
        value = value * self.scale + self.rng.gauss(0, own)
        return round(value / step) * step, round(math.hypot(*parts), 2)

    def level(self, untold=0.0):
        own, step = self.level_own, self.level_step
        value = self.tilt + self.noseup + self.rng.gauss(0, own)
        return round(value / step) * step, round(math.hypot(own, step / math.sqrt(12), untold), 3)

    def by_two(self, straight, level, *others):
        """Monte Carlo of a height by a distance and its level part, each with its
        uncertainty; others are uncertainties of what the height counts from."""
        n, up = self.rng.gauss, []
        while len(up) < 400:
            s, x = n(*straight), n(*level)
            if s < abs(x):
                continue
            up.append(abs(math.sqrt(s * s - x * x) + n(0, math.hypot(0, *others)) * self.rng.choice((-1, 1))))
        up.sort()
        self.monte_carlo["bar_clamp.z"] = round(2 * min(up[380], up[390] - up[10]), 2)

    # Inputs

    def tape(self):
        r, k = self.rng, self.k["hands"]
        self.noseup = r.uniform(-1.5, 1.5)
        shown = round(self.noseup + r.gauss(0, self.slope_sigma), 2)
        readings = []
        # A plumb line at the bottom bracket that hangs beside it.
        common = self.plumb
        beside = r.gauss(0, common)

        def add(how, a, b, own, step=1.0):
            value, sigma = self.take(how, a, b, own, step)
            reading = {"kind": how, "from": a, "to": b, "value_mm": value, "sigma_mm": sigma}
            if how == "horizontal" and a == "bottom_bracket" and common > 0:
                value = round((value + beside) / step) * step
                reading |= {"value_mm": value, "together": "plumb line", "common_mm": common}
            readings.append(reading)

        add("vertical", "ground", "bottom_bracket", 0.8)
        add("direct", "bottom_bracket", "saddle_reference", 1.0)
        add("horizontal", "bottom_bracket", "saddle_reference", 1.0)
        add("horizontal", "bottom_bracket", "saddle_nose", 1.0)
        add("direct", "saddle_nose", "saddle_rear", 0.8)
        if self.more[0]:
            add("vertical", "ground", "saddle_nose", 1.0)
        value, sigma = self.level()
        readings.append({"kind": "tilt", "value_deg": round(value, 2), "sigma_deg": sigma})
        add("direct", "saddle_nose", "bar_clamp", 1.0)
        how = self.how
        if how != "level":
            add("vertical", "ground", "bar_clamp", 1.0)
        if how != "vertical":  # which may say little about the height
            add("horizontal", "saddle_nose", "bar_clamp", 1.2)
        for side in "_left", "_right":
            add("direct", "saddle_nose", k + side, 1.0)
            add("vertical", "bar_clamp" if how != "level" else "ground", k + side, 1.0)
            add("horizontal", "bottom_bracket", "pedal" + side, 0.8, 0.5)
        add("lateral", k + "_right", k + "_left", 1.0)
        add("lateral", "pedal_right", "pedal_left", 0.8)
        if self.more[1]:
            add("lateral", "bottom_bracket", k + "_left", 1.0)
            add("direct", "bottom_bracket", "bar_clamp", 1.0)
        if self.more[2]:  # by way of the axle and of a mark
            add("vertical", "ground", "front_axle_left", 0.8)
            add("direct", "bottom_bracket", "front_axle_left", 1.0)
            add("direct", "front_axle_left", k + "_left", 1.0)
        if self.more[3]:
            add("direct", "bottom_bracket", "mark_tube", 1.0)
            add("vertical", "ground", "mark_tube", 1.0)
            add("direct", "mark_tube", "saddle_nose", 1.0)
            add("direct", "mark_tube", "bar_clamp", 1.0)
        if how == "level" and not self.more[1] and not self.more[3]:
            two = [(v["value_mm"], v["sigma_mm"]) for v in readings if v.get("from") == "saddle_nose" and v.get("to") == "bar_clamp"]
            self.by_two(*two, 1.2 if self.more[0] else 6)
        return {"tape": {"readings": readings, "nose_up_deg": shown, "nose_up_sigma_deg": self.slope_sigma}}

    def sheet(self, entries):
        return {"sheet": {"seat_angle_deg": round(self.seat_angle, 1), "mirrored": True, "entries": entries}}

    def on_floor(self):
        self.noseup = self.rng.gauss(0, 0.03)

    def number(self, measure, how, a, b, own, sign=1, step=1.0):
        value, sigma = self.take(how, a, b, own, step, 0.03)
        return {"measure": measure, "value_mm": sign * value, "sigma_mm": sigma}

    def slope(self):
        value, sigma = self.level(0.03)
        return {"measure": "saddle_tilt", "value_deg": round(value, 2), "sigma_deg": sigma}

    def card(self):
        """The six numbers on nearly every card."""
        self.on_floor()
        return self.sheet([
            self.number("saddle_height", "direct", "bottom_bracket", "saddle_reference", 1.2),
            self.number("saddle_setback", "horizontal", "bottom_bracket", "saddle_reference", 1.2, -1),
            self.number("saddle_setback_nose", "horizontal", "bottom_bracket", "saddle_nose", 1.2, -1),
            self.number("reach_nose_clamp", "direct", "saddle_nose", "bar_clamp", 1.2),
            self.number("bar_drop_clamp", "vertical", "saddle_reference", "bar_clamp", 1.2, -1),
            self.slope(),
        ])

    def reach(self):
        """Reach direct and level, which tells the bar's height where it is much lower or
        higher than the saddle; the hands have their drop."""
        self.on_floor()
        k = self.k["hands"]
        all_ = [
            self.number("saddle_height", "direct", "bottom_bracket", "saddle_reference", 1.2),
            self.number("saddle_setback", "horizontal", "bottom_bracket", "saddle_reference", 1.2, -1),
            self.slope(),
            self.number("reach_clamp", "direct", "saddle_reference", "bar_clamp", 1.2),
            self.number("reach_clamp_horizontal", "horizontal", "saddle_reference", "bar_clamp", 1.2),
            self.number(f"bar_drop_{PLURAL[k]}", "vertical", "saddle_reference", k, 1.2, -1),
            self.number(f"reach_{PLURAL[k]}_horizontal", "horizontal", "saddle_reference", k, 1.2),
            self.number(f"{PLURAL[k]}_width", "lateral", k + "_right", k + "_left", 1.0),
        ]
        if k != "pad":
            all_.append(self.number(f"reach_{PLURAL[k]}", "direct", "saddle_reference", k + "_left", 1.0) | {"side": "left"})
        self.by_two(*((e["value_mm"], e["sigma_mm"]) for e in all_ if e["measure"].startswith("reach_clamp")), 1.5)
        return self.sheet(all_)

    def frame(self):
        """All from the bottom bracket, and the saddle by its length and its station, which
        say little about the height of its ends."""
        self.on_floor()
        k = self.k["hands"]
        t, a = math.radians(self.tilt), math.radians(round(self.seat_angle, 1))
        ref = self.held["saddle_reference"]
        # Along the seat tube to where the tape meets the saddle's top.
        along = (ref[2] * math.cos(t) - ref[0] * math.sin(t)) / math.sin(a + t)
        own = 1.5
        tube = round(along * self.scale + self.rng.gauss(0, own))
        all_ = [
            {"measure": "saddle_height_seat_tube", "value_mm": tube, "sigma_mm": round(math.hypot(own, 0.3, 4e-4 * along), 2)},
            self.number("saddle_setback", "horizontal", "bottom_bracket", "saddle_reference", 1.2, -1),
            self.number("saddle_setback_nose", "horizontal", "bottom_bracket", "saddle_nose", 1.2, -1),
            self.number("saddle_station", "side", "saddle_nose", "saddle_reference", 0.8),
            self.number("saddle_length", "side", "saddle_nose", "saddle_rear", 0.8),
            self.slope(),
            self.number("bar_stack", "vertical", "bottom_bracket", "bar_clamp", 1.2),
            self.number("bar_reach", "horizontal", "bottom_bracket", "bar_clamp", 1.2),
            self.number(f"{STACK[k]}_stack", "vertical", "bottom_bracket", k, 1.2),
            self.number(f"{PLURAL[k]}_width", "lateral", k + "_right", k + "_left", 1.0),
        ]
        if k == "pad":
            all_.append(self.number("reach_nose_pads_horizontal", "horizontal", "saddle_nose", k, 1.2))
        else:
            all_.append(self.number(f"reach_nose_{PLURAL[k]}", "direct", "saddle_nose", k + "_right", 1.2) | {"side": "right"})
        return self.sheet(all_)


def write(bike, kind, name, which):
    bike.build()
    case = getattr(bike, name)()
    json.dump({"kind": kind, "input": name, "which": which, "monte_carlo": bike.monte_carlo, **case, "at": bike.at, "degrees": {"tilt": bike.tilt}}, sys.stdout)
    print()


def main():
    seed, draws = int(sys.argv[1]), int(sys.argv[2])
    for kind in KINDS:
        for name in INPUTS:
            rng = random.Random(f"{seed} {kind} {name}")
            for _ in range(draws):
                write(Bike(rng, kind), kind, name, 0)
            for which in range(1, AGAIN + 1):
                bike = Bike(rng, kind)
                for _ in range(draws // 20):
                    write(bike, kind, name, which)


if __name__ == "__main__":
    main()
