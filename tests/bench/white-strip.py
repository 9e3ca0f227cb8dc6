"""The plain sum over wavelengths in NumPy, vectorised over positions and wavelengths; prints the seconds as JSON.

Standard input: JSON with slits, width, spacing, s (positions), wavelengths, weights (3 to a wavelength), repeats and
mode ("equal" or "uneven"). For equal slits the closed form is summed, twice written; otherwise the sum over slits,
slit by slit, since all at once would not fit the caches. The fastest way counts, its median.
"""
import json
import sys
import time

import numpy as np

given = json.load(sys.stdin)
count, a, d = given["slits"], given["width"], given["spacing"]
s, lam = np.array(given["s"]), np.array(given["wavelengths"])
weights = np.array(given["weights"]).reshape(-1, 3)
uneven = given["mode"] == "uneven"
index = np.arange(count)
centres = (index - (count - 1) / 2) * d + (1e-7 * np.sin(index * index) if uneven else 0)
widths = a + (1e-7 * np.cos(index * index) if uneven else 0) * np.ones(count)


def closed_form():
    u = s[:, None] / lam
    phase = np.pi * d * u
    with np.errstate(divide="ignore", invalid="ignore"):
        rays = np.sin(count * phase) / (count * np.sin(phase))
    rays[~np.isfinite(rays)] = 1
    return (np.sinc(a * u) * rays) ** 2 @ weights


def closed_form_in_place():
    phase = np.multiply.outer(np.pi * s, 1 / lam)
    envelope = phase * a
    with np.errstate(divide="ignore", invalid="ignore"):
        envelope = np.sin(envelope) / envelope
        phase *= d
        rays = np.sin(count * phase)
        rays /= np.sin(phase)
    rays *= envelope
    rays *= rays
    rays[~np.isfinite(rays)] = count**2
    return rays @ (weights / count**2)


def slit_by_slit():
    u = 2 * np.pi * (s[:, None] / lam)
    re, im = np.zeros_like(u), np.zeros_like(u)
    for centre, width in zip(centres, widths):
        w = width * np.sinc(u * (width / (2 * np.pi)))
        phase = u * centre
        re += w * np.cos(phase)
        im += w * np.sin(phase)
    return (re * re + im * im) @ weights / widths.sum() ** 2


def seconds(way):
    way()
    times = []
    for _ in range(given["repeats"]):
        start = time.perf_counter()
        way()
        times.append(time.perf_counter() - start)
    return float(np.median(times))


ways = (slit_by_slit,) if uneven else (closed_form, closed_form_in_place)
taken = {way.__name__: seconds(way) for way in ways}
best = min(ways, key=lambda way: taken[way.__name__])
print(
    json.dumps(
        {
            "seconds": taken[best.__name__],
            "way": best.__name__.replace("_", " "),
            "numpy": np.__version__,
            "sums": best().ravel().tolist(),
        }
    )
)
