"""Draws what people get wrong, for the proof that it is named: one JSON object a line.

    python3 slips.py points SEED CASES > slips.jsonl

points: surveys of the bikes of points.py, readings wrong by 5 to 80 mm among them, in
which one slip was made with all readings together, CASES of each slip: an axis of the
instrument that points the other way (and with it what it says is up), left and right
exchanged in all labels or in those of one pair, front and rear exchanged (of axles alone
or of all), ends of the head tube or of the saddle, the direction of up reversed, another
unit. "none" is a survey without a slip. The upward direction is given in half of all.

No library but Python's own.
"""

import json
import random
import sys

from points import KINDS, Draw, times

MM = {"mm": 1, "cm": 10, "m": 1000, "in": 25.4}


def exchange(label, a, b):
    if a in label:
        return label.replace(a, b)
    return label.replace(b, a)


def relabel(survey, which, a, b):
    for r in survey["readings"]:
        if which(r["landmark"]):
            r["landmark"] = exchange(r["landmark"], a, b)


def left_handed(rng, survey):
    k = rng.randrange(3)
    for r in survey["readings"]:
        r["at"][k] *= -1
    if "up" in survey:
        survey["up"][k] *= -1


def all_labels(rng, survey):
    relabel(survey, lambda _: True, "_left", "_right")


def pair(rng, survey):
    read = {r["landmark"] for r in survey["readings"]}
    name = rng.choice(sorted(l[:-5] for l in read if l.endswith("_left")))
    relabel(survey, lambda l: l in (name + "_left", name + "_right"), "_left", "_right")
    return name


def front_and_rear(rng, survey):
    relabel(survey, lambda l: l.startswith(("front_", "rear_")), "front_", "rear_")


def front_and_rear_axle(rng, survey):
    relabel(survey, lambda l: "_axle_" in l, "front_", "rear_")


def head_tube_ends(rng, survey):
    relabel(survey, lambda l: l.startswith("head_tube_"), "_top_", "_bottom_")


def saddle_ends(rng, survey):
    relabel(survey, lambda l: l in ("saddle_nose", "saddle_rear"), "_nose", "_rear")


def up_reversed(rng, survey):
    survey["up"] = times(-1, survey["up"])


def unit(rng, survey):
    # The instrument counts in one unit, and another is stated; what is stated of its
    # uncertainty is right in either.
    counts, stated = rng.sample(sorted(MM), 2)
    for r in survey["readings"]:
        r["at"] = [c / MM[counts] for c in r["at"]]
    said = rng.choice((counts, stated))
    survey["sigma"] = [s / MM[said] for s in survey["sigma"]]
    survey["unit"] = stated


def none(rng, survey):
    pass


SLIPS = (none, left_handed, all_labels, pair, front_and_rear, front_and_rear_axle, head_tube_ends, saddle_ends, up_reversed, unit)


def points(seed, cases):
    for slip in SLIPS:
        rng = random.Random(f"{seed} {slip.__name__}")
        for _ in range(cases * (10 if slip is none else 1)):
            while True:
                d = Draw(rng, rng.choice(KINDS))
                d.frame()
                if d.head or slip is not head_tube_ends:
                    break
            d.contacts()
            survey, _, _ = d.read()
            if "up" not in survey and (slip is up_reversed or rng.random() < 0.5):
                survey |= {"up": d.upward, "up_sigma_deg": 0.5}
            name = slip(rng, survey)
            json.dump({"input": "points", "slip": slip.__name__, "pair": name or "", "survey": survey}, sys.stdout)
            print()


if __name__ == "__main__":
    {"points": points}[sys.argv[1]](int(sys.argv[2]), int(sys.argv[3]))
