"""Reference values for numerics/, made with SciPy and NumPy. Run: python3 numerics-values.py

Writes numerics-values.json beside this file. The random numbers come from a second implementation of
MurmurHash3 (x86, 32 bits), xoshiro128** and the polar method, written for Python's integers.
"""
import json
import math
from pathlib import Path

import numpy as np
import scipy
from scipy.integrate import quad
from scipy.interpolate import CubicSpline
from scipy.optimize import brentq
from scipy.special import fresnel

MASK = 0xFFFFFFFF


def rotl(x, k):
    return ((x << k) | (x >> (32 - k))) & MASK


def murmur3(data, seed):
    h = seed
    whole = len(data) // 4 * 4
    for i in range(0, whole, 4):
        k = int.from_bytes(data[i : i + 4], "little")
        k = rotl(k * 0xCC9E2D51 & MASK, 15) * 0x1B873593 & MASK
        h = (rotl(h ^ k, 13) * 5 + 0xE6546B64) & MASK
    k = int.from_bytes(data[whole:], "little")
    h ^= rotl(k * 0xCC9E2D51 & MASK, 15) * 0x1B873593 & MASK
    h ^= len(data)
    h = (h ^ (h >> 16)) * 0x85EBCA6B & MASK
    h = (h ^ (h >> 13)) * 0xC2B2AE35 & MASK
    return h ^ (h >> 16)


class Stream:
    def __init__(self, seed):
        data = seed.encode()
        self.s = [murmur3(data, k) for k in (1, 2, 3, 4)]
        self.spare = None

    def bits(self):
        s = self.s
        result = rotl(s[1] * 5 & MASK, 7) * 9 & MASK
        t = s[1] << 9 & MASK
        s[2] ^= s[0]
        s[3] ^= s[1]
        s[1] ^= s[2]
        s[0] ^= s[3]
        s[2] ^= t
        s[3] = rotl(s[3], 11)
        return result

    def uniform(self):
        high = self.bits() >> 5
        return (high * 2**26 + (self.bits() >> 6)) / 2**53

    def whole(self, limit):
        fair = 2**32 // limit * limit
        while True:
            b = self.bits()
            if b < fair:
                return b % limit

    def normal(self):
        if self.spare is not None:
            kept, self.spare = self.spare, None
            return kept
        while True:
            x, y = 2 * self.uniform() - 1, 2 * self.uniform() - 1
            q = x * x + y * y
            if 0 < q < 1:
                break
        f = math.sqrt(-2 * math.log(q) / q)
        self.spare = y * f
        return x * f


def stream_values(seed):
    uniforms, wholes, normals = Stream(seed), Stream(seed), Stream(seed)
    return {
        "seed": seed,
        "uniform": [uniforms.uniform() for _ in range(5)],
        "whole": [wholes.whole(3_000_000_000) for _ in range(5)],
        "normal": [normals.normal() for _ in range(6)],
    }


v = np.concatenate([np.linspace(0, 8, 161), [1.5999, 1.6, 1.6001, 12.3, 36.9, 40, 123.4]])
v = np.concatenate([v, -v[1:60:7]])
s, c = fresnel(v)

rng = np.random.default_rng(20240601)
knots = np.sort(rng.uniform(380, 780, 12))
values = rng.normal(size=12)
asked = np.linspace(knots[0], knots[-1], 41)

integrals = [
    ("exp(-x²)", quad(lambda x: math.exp(-x * x), -3, 5, epsabs=1e-14)[0]),
    ("1/(1 + 100x²)", quad(lambda x: 1 / (1 + 100 * x * x), -5, 5, epsabs=1e-14, limit=500)[0]),
    ("√x", quad(math.sqrt, 0, 2, epsabs=1e-14)[0]),
    ("cos(40x)", quad(lambda x: math.cos(40 * x), 0, 1, epsabs=1e-14)[0]),
]
roots = [
    ("cos x − x", brentq(lambda x: math.cos(x) - x, 0, 1, xtol=1e-15)),
    ("x³ − 2x − 5", brentq(lambda x: x**3 - 2 * x - 5, 2, 3, xtol=1e-15)),
    ("tan x − x near 4.49", brentq(lambda x: math.tan(x) - x, 4.4, 4.6, xtol=1e-15)),
    ("e^−x − 1e−3", brentq(lambda x: math.exp(-x) - 1e-3, 0, 100, xtol=1e-15)),
]
nodes, weights = np.polynomial.legendre.leggauss(21)

out = {
    "made with": f"NumPy {np.__version__}, SciPy {scipy.__version__}",
    "fresnel": {"v": v.tolist(), "c": c.tolist(), "s": s.tolist()},
    "spline": {
        "xs": knots.tolist(),
        "ys": values.tolist(),
        "at": asked.tolist(),
        "natural": CubicSpline(knots, values, bc_type="natural")(asked).tolist(),
        "linear": np.interp(asked, knots, values).tolist(),
    },
    "integrals": dict(integrals),
    "roots": dict(roots),
    "legendre": {"nodes": nodes.tolist(), "weights": weights.tolist()},
    "streams": [stream_values(seed) for seed in ("", "s1024567", "Ωmega 3", "02-one-slit/width")],
}
Path(__file__).with_suffix(".json").write_text(json.dumps(out, indent=1, ensure_ascii=False) + "\n")
