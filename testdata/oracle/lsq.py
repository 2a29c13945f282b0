"""Least squares at 40 digits for the generators beside it: Gauss-Newton with slopes
by differences, in mpmath, from scipy's answer. It needs no formula but the
residuals themselves."""

import mpmath
import numpy as np
from mpmath import mpf
from scipy.optimize import least_squares

mpmath.mp.dps = 40


def slopes(f, x):
    """The matrix of slopes of f at x, by central differences of 1e-13: exact to some 26 digits."""
    h = mpf(10) ** -13
    columns = []
    for j in range(len(x)):
        up, down = list(x), list(x)
        up[j] += h
        down[j] -= h
        columns.append([(a - b) / (2 * h) for a, b in zip(f(up), f(down))])
    return mpmath.matrix(columns).T


def solve(f, start):
    """x with the least sum of squares of f(x), and the inverse of JᵀJ there."""
    rough = least_squares(lambda x: np.array([float(v) for v in f([mpf(float(a)) for a in x])]), start, x_scale="jac", xtol=1e-15, ftol=1e-15, gtol=1e-15)
    x = [mpf(float(a)) for a in rough.x]
    for _ in range(60):
        j = slopes(f, x)
        r = mpmath.matrix(f(x))
        normal = j.T * j
        step = mpmath.lu_solve(normal, j.T * r)
        x = [a - b for a, b in zip(x, step)]
        if max(abs(s) for s in step) < mpf(10) ** -22:
            return x, normal**-1
    raise ArithmeticError("no end")
