"""Reference maxima and minima for aperture/extrema.ts, made with SciPy. Run: python3 aperture-extrema.py

Writes aperture-extrema.json beside this file. |F|² is summed slit by slit, its derivative is the derivative of
that sum; 400 samples a finest fringe show the changes of sign, brentq refines them.
"""
import json
from pathlib import Path

import numpy as np
import scipy
from scipy.optimize import brentq


def field(slits, u):
    """F and dF/du at u = s/λ. ∫ exp(−2πixu) dx over a slit and its derivative, from the two edges."""
    u = np.atleast_1d(u)[:, None]
    c, w, t = slits[:, 0].real, slits[:, 1].real, slits[:, 2]
    e = np.exp(-2j * np.pi * c * u)
    y = np.pi * w * u
    small = np.abs(y) < 1e-3
    y1 = np.where(small, 1, y)
    g = np.where(small, 1 - y**2 / 6 + y**4 / 120, np.sin(y1) / y1)
    dg = np.where(small, -y / 3 + y**3 / 30, (np.cos(y1) - np.sin(y1) / y1) / y1)
    f = (t * w * g * e).sum(1)
    df = (t * w * (np.pi * w * dg - 2j * np.pi * c * g) * e).sum(1)
    return f, df


def extrema(slits, lam, low, high):
    slits = np.array(slits, complex)
    ahead = abs((slits[:, 1] * slits[:, 2]).sum()) ** 2
    extent = (slits[-1, 0] + slits[-1, 1] / 2 - slits[0, 0] + slits[0, 1] / 2).real
    n = int(400 * (high - low) / lam * extent)
    u = np.linspace(low, high, n | 1) / lam

    def slope(v):
        f, df = field(slits, v)
        return 2 * (f.conj() * df).real

    k = slope(u)
    found = {"maxima": [], "minima": []}
    for i in range(len(u) - 1):
        if k[i] * k[i + 1] < 0:
            root = brentq(lambda v: slope(v)[0], u[i], u[i + 1], xtol=1e-13 * abs(u[i]) + 1e-13, rtol=1e-14)
            intensity = abs(field(slits, root)[0][0]) ** 2 / ahead
            found["maxima" if k[i] > 0 else "minima"].append([root * lam, float(intensity)])
    return found


def equal(count, width, spacing):
    return [[(i - (count - 1) / 2) * spacing, width, 1.0] for i in range(count)]


rng = np.random.default_rng(11)
uneven = [[i * 50e-6 + float(rng.normal()) * 3e-6, float(rng.uniform(8e-6, 25e-6)), 1.0] for i in range(6)]
blocked = [slit for i, slit in enumerate(equal(7, 12e-6, 40e-6)) if i != 2]
cases = [
    ("one slit", equal(1, 30e-6, 0), 550e-9, 0.013, 0.1103),
    ("two slits", equal(2, 40e-6, 100e-6), 589e-9, 0.0003, 0.06),
    ("three slits", equal(3, 23e-6, 61e-6), 500e-9, 0.0003, 0.1),
    ("ten slits, every third order missing", equal(10, 20e-6, 60e-6), 633e-9, 0.00011, 0.045),
    ("five slits, angles up to 90°", equal(5, 1e-6, 3.7e-6), 550e-9, 0.0011, 0.999),
    ("six uneven slits", uneven, 600e-9, -0.05, 0.0507),
    ("seven slits, one blocked", blocked, 550e-9, -0.03, 0.0611),
    ("two unequal slits", [[-40e-6, 20e-6, 1.0], [35e-6, 45e-6, 0.7]], 488e-9, -0.02, 0.0503),
]
out = {
    "made with": f"NumPy {np.__version__}, SciPy {scipy.__version__}",
    "cases": [
        {"name": name, "slits": slits, "wavelength": lam, "from": low, "to": high, **extrema(slits, lam, low, high)}
        for name, slits, lam, low, high in cases
    ],
}
Path(__file__).with_suffix(".json").write_text(json.dumps(out, indent=1, ensure_ascii=False) + "\n")
