"""Writes registration.json: rigid motions as scipy's Rotation.align_vectors fits
them, for contact/survey. Run with: python3 registration.py > registration.json

The points are random. scipy does not centre them, and wants the target first."""

import json

import numpy as np
import scipy
from scipy.spatial.transform import Rotation

rng = np.random.default_rng(54)
cases = []
for n in [3, 3, 4, 4, 5, 6, 8, 10, 12, 20] * 3:
    source = rng.normal(size=(n, 3)) * [500, 60, 350]
    if n == 4:
        source[:, 1] = 0  # coplanar
    turn = Rotation.random(random_state=int(rng.integers(1 << 30)))
    target = turn.apply(source) + rng.normal(size=3) * 1000 + rng.normal(size=(n, 3)) * rng.choice([0, 0.5, 20])
    fit, rssd = Rotation.align_vectors(target - target.mean(axis=0), source - source.mean(axis=0))
    shift = target.mean(axis=0) - fit.apply(source.mean(axis=0))
    cases.append({
        "from": source.tolist(), "to": target.tolist(), "rotation": fit.as_matrix().tolist(),
        "shift": shift.tolist(), "root_sum_of_squares": float(rssd),
    })
print(json.dumps({"made_with": "scipy " + scipy.__version__, "cases": cases}, indent=1))
