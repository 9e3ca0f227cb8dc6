"""Baseline of the bench fit-slits: scipy.optimize.curve_fit, the same points, model and start."""
import json
import statistics
import sys
import time

import numpy as np
import scipy
from scipy.optimize import curve_fit

job = json.load(sys.stdin)
x, y, u = (np.array(job[name]) for name in ("x", "y", "u"))
wavelength, focal = job["wavelength"], job["focalLength"]


def model(x, width, spacing, amplitude, background, centre):
    q = np.sin(np.arctan((x - centre) / focal)) / wavelength
    fringes = (1 + 2 * np.cos(2 * np.pi * spacing * q)) / 3
    return background + amplitude * np.sinc(width * q) ** 2 * fringes**2


# A box of full width b is averaged by seven Gauss-Legendre points: right to 1e-10 for the widths of this bench.
nodes, shares = np.polynomial.legendre.leggauss(7)


def blurred(x, width, spacing, amplitude, background, centre, blur):
    s = np.sin(np.arctan((x - centre) / focal))
    q = (s + blur / focal / 2 * nodes[:, None]) / wavelength
    fringes = (1 + 2 * np.cos(2 * np.pi * spacing * q)) / 3
    mean = (shares / 2) @ (np.sinc(width * q) ** 2 * fringes**2)
    return background + amplitude * mean


if len(job["start"]) == 6:
    model = blurred


def fit():
    return curve_fit(model, x, y, job["start"], sigma=u, absolute_sigma=True)


fit()
times = []
for _ in range(job["repeats"]):
    begun = time.perf_counter()
    parameters, covariance = fit()
    times.append(time.perf_counter() - begun)
json.dump(
    {
        "seconds": statistics.median(times),
        "parameters": list(parameters),
        "u": list(np.sqrt(np.diag(covariance))),
        "chiSquare": float(np.sum(((y - model(x, *parameters)) / u) ** 2)),
        "scipy": scipy.__version__,
    },
    sys.stdout,
)
