"""Small pictures of every kind, written by Pillow (an implementation from outside) for the reader's tests.

Grey value at (x, y): (5 x + 3 y) mod 256 in the PNGs, a smooth wave in the JPEGs.
python3 tests/fitting/picture/pictures/make-pictures.py
"""
from pathlib import Path

import numpy as np
from PIL import Image

here = Path(__file__).parent
y, x = np.mgrid[0:40, 0:52]
grey = ((5 * x + 3 * y) % 256).astype("u1")
colour = np.dstack([grey, 255 - grey, ((7 * x) % 256).astype("u1")])

Image.fromarray(grey).save(here / "grey.png")
Image.fromarray(colour).save(here / "colour.png")
Image.fromarray(np.dstack([colour, grey])).save(here / "transparent.png")
Image.fromarray((grey.astype("u2") * 257 - 3 * (grey > 0)).astype("u2")).save(here / "grey-16.png")
Image.fromarray(grey // 64 * 85).convert("P", palette=Image.ADAPTIVE, colors=4).save(here / "palette.png", bits=2)
Image.fromarray(np.where((x + y) % 3 == 0, 255, 0).astype("u1")).convert("1").save(here / "two-level.png")

y, x = np.mgrid[0:70, 0:93]
wave = (127 + 100 * np.sin(x / 9 + y / 31)).astype("u1")
smooth = np.dstack([wave, 255 - wave, (2 * x).astype("u1")])
picture = Image.fromarray(smooth)
picture.save(here / "full-colour.jpg", quality=92, subsampling=0)
picture.save(here / "half-colour.jpg", quality=92, subsampling=2)
picture.save(here / "progressive.jpg", quality=92, subsampling=0, progressive=True)
Image.fromarray(wave).save(here / "grey.jpg", quality=92)
for orientation in range(1, 9):
    exif = Image.Exif()
    exif[0x0112] = orientation
    turned = {
        1: None,
        2: Image.Transpose.FLIP_LEFT_RIGHT,
        3: Image.Transpose.ROTATE_180,
        4: Image.Transpose.FLIP_TOP_BOTTOM,
        5: Image.Transpose.TRANSPOSE,
        6: Image.Transpose.ROTATE_90,
        7: Image.Transpose.TRANSVERSE,
        8: Image.Transpose.ROTATE_270,
    }[orientation]
    stored = picture if turned is None else picture.transpose(turned)
    stored.save(here / f"orientation-{orientation}.jpg", quality=95, subsampling=0, exif=exif)
