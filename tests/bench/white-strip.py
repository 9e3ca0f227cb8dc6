"""A film strip by the plain sum over wavelengths in NumPy, vectorised throughout; prints the seconds as JSON.

Standard input: JSON with slits, width, spacing, s (positions), wavelengths, weights (3 to a wavelength), ahead (power
of Y at s = 0), adaptation (the white balance, 9 numbers by rows), exposure, repeats and mode ("equal", "uneven" or
"closed"). The sum goes over slits and wavelengths, slit by slit, since all at once would not fit the caches; "closed"
takes for equal slits their closed form instead, twice written, of which the faster counts. Medians; to the sum comes the
same way from X, Y, Z to the screen.
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


TO_RGB = np.array(
    [[12831 / 3959, -329 / 214, -1974 / 3959], [-851781 / 878810, 1648619 / 878810, 36519 / 878810],
     [705 / 12673, -2585 / 12673, 705 / 667]]
)
TO_LMS = np.array(
    [[0.819022437996703, 0.3619062600528904, -0.1288737815209879],
     [0.0329836539323885, 0.9292868615863434, 0.0361446663506424],
     [0.0481771893596242, 0.2642395317527308, 0.6335478284694309]]
)
TO_L = np.array([0.210454268309314, 0.7936177747023054, -0.0040720430116193])


def paled(xyz):
    """Linear sRGB, moved to the grey of equal lightness in Oklab until no channel is below 0."""
    rgb = xyz @ TO_RGB.T
    outside = (rgb < 0).any(axis=1)
    roots = np.cbrt(xyz[outside] @ TO_LMS.T)
    grey = roots @ TO_L
    offset = roots / grey[:, None] - 1
    from_lms = TO_RGB @ np.linalg.inv(TO_LMS)
    a, b, c = 3 * offset @ from_lms.T, 3 * offset**2 @ from_lms.T, offset**3 @ from_lms.T
    low, high = np.zeros(len(grey)), np.ones(len(grey))
    for _ in range(12):  # The share of colour kept, to 1/4096: finer than the screen's levels.
        t = ((low + high) / 2)[:, None]
        inside = ((1 + t * (a + t * (b + t * c))) >= 0).all(axis=1)
        low, high = np.where(inside, t[:, 0], low), np.where(inside, high, t[:, 0])
    t = low[:, None]
    rgb[outside] = np.maximum(0, grey[:, None] ** 3 * (1 + t * (a + t * (b + t * c))))
    return rgb


def developed(sums):
    """8-bit colours: the strongest channel relative to that of white in the middle, cut off at what the film can show."""
    balance = np.array(given["adaptation"]).reshape(3, 3) * (given["exposure"] / given["ahead"])
    rgb = paled(sums @ balance.T)
    most = rgb.max(axis=1, keepdims=True)
    rgb /= np.maximum(most, 1)
    encoded = np.where(rgb <= 0.0031308, 12.92 * rgb, 1.055 * rgb ** (1 / 2.4) - 0.055)
    return np.rint(255 * encoded).astype(np.uint8)


def seconds(way):
    way()
    times = []
    for _ in range(given["repeats"]):
        start = time.perf_counter()
        way()
        times.append(time.perf_counter() - start)
    return float(np.median(times))


ways = (closed_form, closed_form_in_place) if given["mode"] == "closed" else (slit_by_slit,)
taken = {way.__name__: seconds(way) for way in ways}
best = min(ways, key=lambda way: taken[way.__name__])
sums = best()
print(
    json.dumps(
        {
            "sumSeconds": taken[best.__name__],
            "seconds": seconds(lambda: developed(best())),
            "way": best.__name__.replace("_", " "),
            "numpy": np.__version__,
            "sums": sums.ravel().tolist(),
            "srgb": developed(sums).ravel().tolist(),
        }
    )
)
