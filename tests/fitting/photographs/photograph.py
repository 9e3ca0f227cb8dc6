"""Photographs of slits' patterns as students bring them, made by NumPy, SciPy and Pillow; nothing of the project is in them.

A pattern is the squared FFT of a sampled aperture. It falls as a laser's beam on a wall, a card or squared paper, under
daylight, with laser speckle; a camera that stands askew takes it through a lens that distorts, in a hand that shakes; its
pixels fill up, have noise, a curve of tone that need not be sRGB's, and JPEG at the end. Light, speckle (negative
exponential contrast, averaged over a pixel), photon noise, projection and distortion follow physics that every textbook
has (common practice, no source); how much of each a phone has is our own guess.

/usr/bin/python3 photograph.py FOLDER [FIRST COUNT]: writes NNN-grade.jpg and truth.json
"""
import json
import sys
from pathlib import Path

import numpy as np
from PIL import Image
from scipy import ndimage, optimize

grades = ["careful", "phone", "rough"]
colours = {632.8e-9: (1.0, 0.07, 0.02), 650e-9: (1.0, 0.06, 0.02), 532e-9: (0.13, 1.0, 0.15)}


def far_field(truth, beam):
    """|FFT|² of the slits, lit by a beam of Gaussian profile, against the direction sine; 1 at the strongest."""
    step, size = 0.5e-6, 1 << 18
    edges = (np.arange(8193) - 4096) * step
    open_share = np.zeros(8192)
    for k in range(truth["count"]):
        middle = (k - (truth["count"] - 1) / 2) * truth["spacing"]
        low, high = middle - truth["width"] / 2, middle + truth["width"] / 2
        share = np.clip(np.minimum(edges[1:], high) - np.maximum(edges[:-1], low), 0, step) / step
        open_share += share * np.exp(-((middle / beam) ** 2))
    field = np.fft.fftshift(np.fft.fft(open_share, size))
    sines = np.fft.fftshift(np.fft.fftfreq(size, step)) * truth["wavelength"]
    light = np.abs(field) ** 2
    return sines, light / light.max()


class Camera:
    """Pinhole with radial distortion, looking at the plane z = 0; lengths in metres."""

    def __init__(self, size, field, distance, angles, distortion, shift):
        self.width, self.height = size
        self.focal = self.width * distance / field
        pan, tip, roll = angles
        turn = lambda a, i, j: np.array([[np.cos(a) if (r == c and r in (i, j)) else float(r == c) if r == c else
                                          -np.sin(a) if (r, c) == (i, j) else np.sin(a) if (r, c) == (j, i) else 0.0
                                          for c in range(3)] for r in range(3)])
        self.turn = turn(pan, 0, 2) @ turn(tip, 1, 2) @ turn(roll, 0, 1)
        # The axis goes through the plane's origin, shifted.
        self.place = np.array([*shift, 0.0]) - self.turn @ np.array([0, 0, distance])
        self.distortion = distortion

    def seen(self, x, y):
        """Where on the plane a pixel looks."""
        u, v = (x - (self.width - 1) / 2), (y - (self.height - 1) / 2)
        half = self.width / 2
        stretch = 1 + self.distortion * (u * u + v * v) / half**2
        rays = np.stack([u * stretch / self.focal, v * stretch / self.focal, np.ones_like(u)])
        rays = np.tensordot(self.turn, rays, axes=1)
        along = -self.place[2] / rays[2]
        return self.place[0] + along * rays[0], self.place[1] + along * rays[1]

    def pixel_of(self, at):
        there = lambda p: np.array(self.seen(np.array(p[0]), np.array(p[1]))) - at
        found = optimize.root(lambda p: there(p) * 1e3, [self.width / 2, self.height / 2])
        return [float(found.x[0]), float(found.x[1])]


def smooth_noise(random, shape, grain, spread=1.0):
    noise = ndimage.gaussian_filter(random.standard_normal(shape), grain, mode="wrap")
    return spread * noise / noise.std()


def speckle(random, shape, grain, looks):
    total = np.zeros(shape)
    for _ in range(looks):
        parts = [ndimage.gaussian_filter(random.standard_normal(shape), grain, mode="wrap") for _ in range(2)]
        total += parts[0] ** 2 + parts[1] ** 2
    return total / total.mean()


def tone(kind, amount):
    srgb = lambda v: np.where(v <= 0.0031308, 12.92 * v, 1.055 * np.maximum(v, 1e-9) ** (1 / 2.4) - 0.055)
    if kind == "sRGB":
        return srgb
    if kind == "gamma":
        return lambda v: np.maximum(v, 0) ** (1 / amount)
    return lambda v: (lambda c: c - amount * np.sin(2 * np.pi * c) / (2 * np.pi))(srgb(v))


def moved(length, angle):
    """Kernel of a straight, even movement, pixels."""
    n = int(np.ceil(length)) * 2 + 3
    kernel = np.zeros((n, n))
    for t in np.linspace(-0.5, 0.5, 200):
        kernel[int(round(n // 2 + t * length * np.sin(angle))), int(round(n // 2 + t * length * np.cos(angle)))] += 1
    return kernel / kernel.sum()


def make(number, grade, size=None):
    random = np.random.default_rng([number, grades.index(grade), 2026])
    pick = lambda low, high: float(random.uniform(low, high))
    chance = lambda p: bool(random.random() < p)
    rough, phone = grade == "rough", grade == "phone"
    careful = not rough and not phone
    width, height = size or (1000, 560)

    # The slits, so that their pattern can be read off the picture at all.
    field = pick(0.09, 0.2)
    pixel = field / width
    count = int(random.choice([1, 1, 2, 2, 2, 3, 3, 4, 5]))
    half = pick(80, 220)
    ratio = max(min(pick(2, 6), half / 11), 1.8)
    wavelength = float(random.choice([632.8e-9, 650e-9, 532e-9]))
    distance = pick(1.0, 3.5)
    slit = round(wavelength * distance / (half * pixel) * 1e6) * 1e-6
    spacing = round(slit * ratio * 1e6) * 1e-6
    truth = dict(count=count, width=slit, spacing=spacing if count > 1 else 0.0, wavelength=wavelength, distance=distance)
    beam = pick(1.2, 2.5) * max(3 * spacing, 1e-3) if not rough else pick(1.0, 2.0) * max(2 * spacing, 0.8e-3)
    sines, light = far_field(truth, beam)

    # The camera.
    lean = np.radians(pick(-0.5, 0.5) if careful else pick(-4, 4) if phone else pick(-12, 12))
    angles = np.radians([pick(-1, 1), pick(-1, 1), pick(-0.7, 0.7)] if careful else
                        [pick(-9, 9), pick(-12, 12), pick(-5, 5)] if phone else [pick(-18, 18), pick(-22, 22), pick(-12, 12)])
    distortion = pick(-0.003, 0.003) if careful else pick(-0.012, 0.012) if phone else pick(-0.03, 0.03)
    shift = [pick(-0.1, 0.1) * field, pick(-0.08, 0.12) * field]
    camera = Camera((width, height), field, pick(2.0, 3.0) * field, angles, distortion, shift)
    down, across = np.mgrid[0:height, 0:width].astype(float)
    x, y = camera.seen(across, down)

    # Light on the plane: the pattern along its own line, as tall as the beam.
    along = x * np.cos(lean) + y * np.sin(lean)
    off = -x * np.sin(lean) + y * np.cos(lean)
    tall = pixel * (pick(14, 32) if careful else pick(7, 22) if phone else pick(4, 12))
    spots = np.interp(along / np.hypot(along, distance), sines, light) * np.exp(-2 * (off / tall) ** 2)
    halo = pick(0.0005, 0.002) if careful else pick(0.001, 0.005)
    spots = spots + halo * np.exp(-np.hypot(along, off) / (30 * pixel * 4))
    ghost = 0.0
    if not careful and chance(0.35):
        ghost = pick(0.005, 0.03)
        moved_along, moved_off = along - pick(-40, 40) * pixel, off - random.choice([-1, 1]) * pick(60, 130) * pixel
        spots = spots + ghost * np.interp(moved_along / distance, sines, light) * np.exp(-2 * (moved_off / tall) ** 2)

    paper = ["wall", "card", "squared"][int(random.integers(3))]
    albedo = np.ones((height, width))
    if paper == "wall":
        albedo += smooth_noise(random, albedo.shape, pick(1.5, 5), 0.01 if careful else 0.03 if phone else 0.06)
    albedo += smooth_noise(random, albedo.shape, 40, 0.01 if careful else 0.03)
    # Anything ruled on the plane is printed askew of the pattern.
    ruled = np.radians(pick(-0.4, 0.4) if careful else pick(-2, 2))
    rx, ry = x * np.cos(ruled) + y * np.sin(ruled), -x * np.sin(ruled) + y * np.cos(ruled)
    line = lambda place, period, thick: np.clip(
        1.2 - np.abs((place + period / 2) % period - period / 2) / (thick * pixel), 0, 1)
    if paper == "squared":
        strength = 0.05 if careful else 0.12 if phone else 0.22
        for period, more in ((1e-3, 0.5), (5e-3, 0.8), (10e-3, 1.2)):
            if period > 4 * pixel:
                albedo *= 1 - strength * more * np.maximum(line(rx, period, 0.7), line(ry, period, 0.7))
    ruler_at = pixel * pick(75, 110)
    has_ruler = paper != "squared"
    if has_ruler:
        strip = (ry > ruler_at) & (ry < ruler_at + 90 * pixel)
        albedo = np.where(strip, 1.15, albedo)
        for period, long in ((1e-3, 14), (5e-3, 22), (10e-3, 32)):
            if period > 4 * pixel:
                tick = line(rx, period, 0.8) * (ry > ruler_at) * (ry < ruler_at + long * pixel)
                albedo = albedo * (1 - 0.75 * tick)
    moire = 0.0
    if not careful and chance(0.4):
        moire = pick(0.02, 0.06) if phone else pick(0.04, 0.12)
        cloth = 1.0 / pick(0.985, 1.015)
        albedo = albedo * (1 + moire * np.cos(2 * np.pi * cloth * (across * np.cos(0.02) + down * np.sin(0.02))))

    daylight = pick(0.004, 0.03) if careful else pick(0.01, 0.1) if phone else pick(0.03, 0.25)
    slope = pick(-0.2, 0.2) if careful else pick(-0.5, 0.5)
    ground = daylight * (1 + slope * (across / width - 0.5) + pick(-0.3, 0.3) * (down / height - 0.5))
    contrast_looks = int(random.integers(12, 30)) if careful else int(random.integers(4, 12)) if phone else int(random.integers(2, 6))
    grain = pick(0.5, 0.8) if careful else pick(0.5, 1.3)
    grains = speckle(random, albedo.shape, grain, contrast_looks)

    exposure = pick(0.6, 0.95) if careful else pick(0.8, 2.5) if phone else pick(1.0, 6.0)
    laser = exposure * spots * grains * albedo
    room = ground * albedo
    defocus = pick(0.4, 0.9) if careful else pick(0.5, 1.3) if phone else pick(0.8, 2.2)
    shake = 0.0 if careful else pick(0, 3) if phone else pick(1, 8)
    shake_angle = pick(0, np.pi)
    corner = np.hypot(width, height) / 2
    radius = np.hypot(across - (width - 1) / 2, down - (height - 1) / 2) / corner
    loss = pick(0, 0.1) if careful else pick(0.05, 0.3) if phone else pick(0.1, 0.45)
    dust = []
    for _ in range(0 if careful else int(random.integers(0, 3)) if phone else int(random.integers(1, 6))):
        dust.append((pick(0, width), pick(0, height), pick(1.5, 5), random.choice([-0.7, -0.4, 0.8])))

    full_well = pick(8000, 20000) if careful else pick(3000, 8000) if phone else pick(1500, 5000)
    kind, amount = "sRGB", 0.0
    if phone:
        kind, amount = [("sRGB", 0.0), ("sRGB", 0.0), ("gamma", pick(1.9, 2.5)), ("s", pick(0.08, 0.3))][int(random.integers(4))]
    if rough:
        kind, amount = [("sRGB", 0.0), ("gamma", pick(1.6, 2.8)), ("s", pick(0.15, 0.5))][int(random.integers(3))]
    curve = tone(kind, amount)
    sharpen = 0.0 if careful else pick(0, 0.25) if phone else pick(0, 0.6)

    channels = []
    for response in colours[wavelength]:
        seen = laser * response + room
        seen = ndimage.gaussian_filter(seen, defocus)
        if shake > 0.5:
            seen = ndimage.convolve(seen, moved(shake, shake_angle), mode="nearest")
        seen = seen * (1 - loss * radius**2)
        for at_x, at_y, wide, by in dust:
            spot = np.exp(-(((across - at_x) ** 2 + (down - at_y) ** 2) / (2 * wide**2)))
            seen = seen * (1 + min(by, 0) * spot) + max(by, 0) * 0.2 * spot
        electrons = np.maximum(full_well * seen, 0)
        electrons = electrons + np.sqrt(electrons + 10.0**2) * random.standard_normal(seen.shape)
        code = curve(np.clip(electrons / full_well, 0, 1))
        if sharpen > 0:
            code = code + sharpen * (code - ndimage.gaussian_filter(code, 1.2))
        channels.append(np.round(np.clip(code, 0, 1) * 255).astype("u1"))
    quality = int(random.integers(88, 96)) if careful else int(random.integers(72, 93)) if phone else int(random.integers(40, 76))
    picture = Image.fromarray(np.dstack(channels))

    # What a person clicks on: two marks of the ruler, or four crossings of the squared paper.
    miss = 0.5 if careful else 0.8 if phone else 1.2
    back = lambda a, b: np.array([a * np.cos(ruled) - b * np.sin(ruled), a * np.sin(ruled) + b * np.cos(ruled)])
    inside = lambda p: 3 < p[0] < width - 3 and 3 < p[1] < height - 3
    clicks = []
    if has_ruler:
        reach = int(0.38 * field * 1e3 / 10) * 10e-3
        marks = [(-reach, ruler_at), (reach, ruler_at)]
    else:
        a, b = int(0.36 * field * 1e3 / 10) * 10e-3, 20e-3
        marks = [(-a, -b), (a, -b), (a, b), (-a, b)]
    for mark in marks:
        where = camera.pixel_of(back(*mark))
        clicks.append(dict(pixel=[where[0] + miss * random.standard_normal(), where[1] + miss * random.standard_normal()],
                           place=list(mark), inside=bool(inside(where))))
    middle, end = camera.pixel_of(np.array([0.0, 0.0])), camera.pixel_of(
        np.array([np.cos(lean), np.sin(lean)]) * 100 * pixel)
    direction = float(np.arctan2(end[1] - middle[1], end[0] - middle[0]))
    truth.update(number=number, grade=grade, paper=paper, clicks=clicks, miss=miss, middle=middle, direction=direction,
                 pixel=pixel, exposure=exposure, curve=[kind, amount], quality=quality, tall=tall / pixel, daylight=daylight,
                 halfWidth=half, moire=moire, ghost=ghost, shake=shake)
    return picture, quality, truth


def main(folder, first=0, count=100):
    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    truths = []
    for number in range(first, first + count):
        grade = grades[number % 3]
        picture, quality, truth = make(number, grade)
        truth["file"] = f"{number:03d}-{grade}.jpg"
        picture.save(folder / truth["file"], quality=quality, subsampling=0 if grade == "careful" else 2)
        truths.append(truth)
    (folder / "truth.json").write_text(json.dumps(truths, indent=1))


if __name__ == "__main__":
    main(sys.argv[1], *map(int, sys.argv[2:]))
