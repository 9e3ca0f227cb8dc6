"""The sum over slits in NumPy, vectorised over all positions; prints the seconds of the fastest way, as JSON.

Arguments: slits, positions, repeats, mode ("equal" or "uneven"). Three ways to write the same sum are timed,
one outer product and a loop over slits among them; the median of the repeats of the fastest one counts.
"""
import json
import sys
import time

import numpy as np

count, positions, repeats = (int(word) for word in sys.argv[1:4])
uneven = sys.argv[4] == "uneven"
lam = 550e-9
index = np.arange(count)
c = (index - (count - 1) / 2) * 100e-6 + (1e-7 * np.sin(index * index) if uneven else 0)
a = 40e-6 + (1e-7 * np.cos(index * index) if uneven else 0) * np.ones(count)
u = np.linspace(-0.05, 0.05, positions) / lam


def exponentials():
    f = (a * np.sinc(np.outer(u, a)) * np.exp(-2j * np.pi * np.outer(u, c))).sum(1)
    return np.abs(f / a.sum()) ** 2


def cosines():
    phase = np.outer(c, 2 * np.pi * u)
    w = a[:, None] * np.sinc(np.outer(a, u)) if uneven else a[0] * np.sinc(a[0] * u)
    return ((w * np.cos(phase)).sum(0) ** 2 + (w * np.sin(phase)).sum(0) ** 2) / a.sum() ** 2


def slit_by_slit():
    re, im = np.zeros_like(u), np.zeros_like(u)
    w = a[0] * np.sinc(a[0] * u)
    for j in range(count):
        if uneven:
            w = a[j] * np.sinc(a[j] * u)
        phase = 2 * np.pi * c[j] * u
        re += w * np.cos(phase)
        im += w * np.sin(phase)
    return (re * re + im * im) / a.sum() ** 2


def seconds(way):
    way()
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        way()
        times.append(time.perf_counter() - start)
    return float(np.median(times))


ways = {way.__name__: seconds(way) for way in (exponentials, cosines, slit_by_slit)}
best = min(ways, key=ways.get)
samples = slit_by_slit()[:: positions // 50]
print(json.dumps({"seconds": ways[best], "way": best, "numpy": np.__version__, "samples": samples.tolist()}))
