"""Spacing of a grating from eight angles, for worksheet 6: weighted fit of sin(theta) = m lambda / d.

Needs scipy. Run in this folder: python3 worksheet-06.py
Wavelengths of mercury in air, nm (NIST ASD); angles made up, near those of 604 lines per millimetre.
"""
import numpy as np
from scipy.optimize import curve_fit

order = np.array([1, 2, 1, 2, 1, 2, 1, 2])
wavelength = np.repeat([435.8336, 546.075, 576.961, 579.067], 2)
angle = np.radians([15.267, 31.763, 19.255, 41.285, 20.400, 44.175, 20.475, 44.395])
u = np.cos(angle) * np.radians(24 / 3600) / np.sqrt(2)
value, covariance = curve_fit(
    lambda x, d: x / d, order * wavelength, np.sin(angle), [1666.7], sigma=u, absolute_sigma=True
)
print("d", value[0].round(4), "u", np.sqrt(covariance[0, 0]).round(5), "nm")
