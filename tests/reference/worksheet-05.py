"""Purities for worksheet 5: a filament lamp's light at the place where a red has its first order, behind some slits.

Needs numpy. Run in this folder: python3 worksheet-05.py
Observer: CIE 1931, 1 nm. Lamp: CIE illuminant A, 5 nm, straight between. Plain sum in steps of 1 nm. The edge of
the colours is the polygon of the observer's own chromaticities from 380 to 699 nm, closed by a straight line.
"""
import numpy as np


def columns(path):
    table = np.genfromtxt(path, delimiter=",", comments="#")
    return table[~np.isnan(table[:, 0])]


observer, filament = columns("../../data/cie_1931_2deg_1nm.csv"), columns("../../data/cie_a.csv")
nm = np.arange(380, 781)
bars = np.array([np.interp(nm, observer[:, 0], observer[:, i]) for i in (1, 2, 3)])
power = np.interp(nm, filament[:, 0], filament[:, 1])
inside = (observer[:, 0] >= 380) & (observer[:, 0] <= 699)
edge = (observer[inside, 1:3].T / observer[inside, 1:4].sum(axis=1)).T
edge = np.vstack([edge, edge[:1]])


def chromaticity(share):
    X = (bars * power * share).sum(axis=1)
    return (X / X.sum())[:2]


def purity(share, white):
    """1 / k, where white + k (colour - white) lies on the edge."""
    towards = chromaticity(share) - white
    for a, b in zip(edge[:-1], edge[1:]):
        k, along = np.linalg.solve(np.array([towards, a - b]).T, a - white)
        if k > 0 and 0 <= along <= 1:
            return 1 / k
    raise ValueError("no edge")


def kept(red, count):
    # The sum of the arrows themselves, not its closed form.
    turns = np.outer(red / nm, np.arange(count))
    return np.abs(np.exp(2j * np.pi * turns).mean(axis=1)) ** 2


white = chromaticity(np.ones(nm.size))
for red in (630, 645, 660):
    print(red, [round(float(purity(kept(red, count), white)), 4) for count in (3, 8, 15, 60)])
