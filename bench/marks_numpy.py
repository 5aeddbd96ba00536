#!/usr/bin/python3
# marks_numpy.py - what one would write instead: decode, transform, pick the peak.
# SPDX-License-Identifier: GPL-3.0-or-later
"""usage: marks_numpy.py PICTURE

Decodes the luma, takes the mean off, one real transform in single precision, power, peak over the
median outside the lowest frequencies. No windows, no floor, no scale, no harmonics, no errors."""
import sys

import numpy as np
import scipy.fft
from PIL import Image

Image.MAX_IMAGE_PIXELS = None
image = Image.open(sys.argv[1])
image.draft("L", image.size)
grey = np.asarray(image.convert("L"), dtype=np.float32)
spectrum = scipy.fft.rfft2(grey - grey.mean(), workers=1)
power = spectrum.real**2 + spectrum.imag**2
power[:8, :8] = 0
power[-8:, :8] = 0
row, column = np.unravel_index(np.argmax(power), power.shape)
floor = np.median(power[::4, ::4]) / np.log(2)
fy = (row if row < grey.shape[0] / 2 else row - grey.shape[0]) / grey.shape[0]
fx = column / grey.shape[1]
print("pitch %.3f px, power over floor %.1f" % (1 / np.hypot(fx, fy), power[row, column] / floor))
