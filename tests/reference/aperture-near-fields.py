"""Reference near fields for aperture/near-field.ts, made with SciPy. Run: python3 aperture-near-fields.py

Writes aperture-near-fields.json beside this file, two ways:
"fresnel": SciPy's Fresnel integrals at every slit edge, many places;
"quadrature": the diffraction integral itself, cylindrical wave from the source to the aperture and on to the
screen, by adaptive quadrature, over the integral without aperture: no Fresnel integrals, no magnification.
"""
import json
from pathlib import Path

import numpy as np
import scipy
from scipy.integrate import quad
from scipy.special import fresnel


def by_fresnel(slits, lam, z, z0, x):
    length = 1 / (1 / z + (0 if z0 is None else 1 / z0))
    m = 1 if z0 is None else 1 + z / z0
    k = np.sqrt(2 / (lam * length))
    total = np.zeros(len(x), complex)
    for c, w, re, im in slits:
        s1, c1 = fresnel((c - w / 2 - x / m) * k)
        s2, c2 = fresnel((c + w / 2 - x / m) * k)
        total += (re + 1j * im) * ((c2 - c1) + 1j * (s2 - s1))
    return np.abs(total) ** 2 / 2


def by_quadrature(slits, lam, z, z0, x):
    def phase(q):
        return np.pi / lam * ((q - x) ** 2 / z + (0 if z0 is None else q**2 / z0))

    total = 0j
    for c, w, re, im in slits:
        cuts = np.linspace(c - w / 2, c + w / 2, 41)
        for a, b in zip(cuts, cuts[1:]):
            part = quad(lambda q: np.cos(phase(q)), a, b, epsabs=1e-16)[0]
            part += 1j * quad(lambda q: np.sin(phase(q)), a, b, epsabs=1e-16)[0]
            total += (re + 1j * im) * part
    # |∫ exp(iπ(q²/L)/λ) dq|² over all q is λL.
    return abs(total) ** 2 / (lam / (1 / z + (0 if z0 is None else 1 / z0)))


rng = np.random.default_rng(7)


def aperture(count):
    gaps, widths = rng.uniform(20e-6, 150e-6, count), rng.uniform(15e-6, 120e-6, count)
    left = np.cumsum(gaps + widths) - widths
    centres = left + widths / 2 - (left[0] + left[-1] + widths[-1]) / 2
    plain = rng.uniform() < 0.5
    return [
        [float(c), float(w), 1.0 if plain else float(rng.uniform(-1, 1)), 0.0 if plain else float(rng.uniform(-1, 1))]
        for c, w in zip(centres, widths)
    ]


cases = []
for count, z, z0 in [(1, 0.02, None), (1, 1.5, 0.8), (2, 0.1, None), (3, 0.5, 2.0), (5, 0.01, 0.05), (8, 3.0, None)]:
    slits, lam = aperture(count), float(rng.uniform(400e-9, 700e-9))
    half = slits[-1][0] + slits[-1][1]
    x = np.linspace(-2, 2, 81) * (half + lam * z / 60e-6) * (1 if z0 is None else 1 + z / z0)
    few = x[[3, 29, 40, 52, 77]]
    cases.append({
        "slits": slits, "wavelength": lam, "distance": z, "sourceDistance": z0,
        "x": x.tolist(), "fresnel": by_fresnel(slits, lam, z, z0, x).tolist(),
        "few": few.tolist(), "quadrature": [by_quadrature(slits, lam, z, z0, q) for q in few],
    })

out = {"made with": f"NumPy {np.__version__}, SciPy {scipy.__version__}", "cases": cases}
Path(__file__).with_suffix(".json").write_text(json.dumps(out, indent=1) + "\n")
