"""Colours and brightness for worksheet 2: what is left of daylight in the direction in which one green cancels.

Needs numpy. Run in this folder: python3 worksheet-02.py
Observer: CIE 1931, 1 nm. Daylight: CIE D65, 5 nm, straight between. Plain sum in steps of 1 nm. The second
pair takes what is left at every fifth nanometre only, straight between, as the sheet's own function does.
"""
import numpy as np


def columns(path):
    table = np.genfromtxt(path, delimiter=",", comments="#")
    return table[~np.isnan(table[:, 0])]


observer, daylight = columns("../../data/cie_1931_2deg_1nm.csv"), columns("../../data/cie_d65.csv")
nm = np.arange(360, 781)
fifth = np.arange(360, 781, 5)
bars = np.array([np.interp(nm, observer[:, 0], observer[:, i]) for i in (1, 2, 3)])
power = np.interp(nm, daylight[:, 0], daylight[:, 1])
in_front = (bars[1] * power).sum()
for cancelled in range(530, 556, 5):
    X = (bars * power * np.sinc(cancelled / nm) ** 2).sum(axis=1)
    left = np.interp(nm, fifth, power[::5] * np.sinc(cancelled / fifth) ** 2)
    coarse = (bars * left).sum(axis=1)
    print(
        cancelled,
        (X / X.sum())[:2].round(5),
        (coarse / coarse.sum())[:2].round(5),
        "1 /",
        (in_front / X[1]).round(1),
    )
