#!/usr/bin/python3
# listen.py - a minute at 48 kHz: the spectra behind `listen` beside numpy and scipy.
# SPDX-License-Identifier: GPL-3.0-or-later
"""usage: listen.py BUILD-FOLDER [PAIRS] (a build with BW_BENCH; PAIRS: default 11)

A is bench_listen: level by Welch's way (16384 samples, half overlapping), lines, and the beats of
the whole band and of its four quarters, whitened. B is what one would write in Python for less:
the same Welch and the beats of one band, 6 to 10 kHz, by one transform (scipy.fft, one thread).
Same length and rate, a like signal. A and B run in turns; each has one run before the one that
counts. Wall and processor time are medians, the ratio is of each pair, with its quartiles."""
import os
import resource
import subprocess
import sys
import time

import numpy as np
import scipy.fft as sf
from scipy import signal

RATE, N = 48000, 60 * 48000


def python_way(x):
    signal.welch(x, RATE, "hann", nperseg=16384, noverlap=8192)
    spectrum = sf.rfft(x)
    low, high = 6000 * N // RATE, 10000 * N // RATE
    size = sf.next_fast_len(high - low)
    z = np.zeros(size, complex)
    z[: high - low] = spectrum[low:high]
    z = sf.ifft(z) * (size / N) * 2
    loud = z.real**2 + z.imag**2
    beats = np.abs(sf.rfft(loud - loud.mean()))
    first, last = 60 * 60, 500 * 60
    return (first + beats[first:last].argmax()) / 60


def child():
    rng = np.random.default_rng(2)
    x = rng.standard_normal(N)
    ring = 3 * np.exp(-np.arange(240) / 40) * np.sin(2 * np.pi * 8000 * np.arange(240) / RATE)
    for at in (np.arange(0, 59.9, 1 / 107.54) * RATE).astype(int):
        x[at : at + 240] += ring
    for _ in range(2):
        wall, cpu = time.perf_counter(), time.process_time()
        rate = python_way(x)
        wall, cpu = time.perf_counter() - wall, time.process_time() - cpu
    print(wall, cpu, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024, rate)


def run(line):
    out = subprocess.run(line, capture_output=True, check=True, text=True).stdout
    return [float(word) for word in out.strip().split("\n")[-1].split()]


if sys.argv[1] == "--child":
    child()
    sys.exit()
BUILD = sys.argv[1]
PAIRS = int(sys.argv[2]) if len(sys.argv) > 2 else 11
a, b = [], []
for _ in range(PAIRS):
    a.append(run([BUILD + "/bench_listen", "2"]))
    b.append(run([sys.executable, os.path.abspath(__file__), "--child"]))
a, b = np.array(a), np.array(b)
for name, k in (("wall", 0), ("processor", 1)):
    ratio = b[:, k] / a[:, k]
    low, middle, high = np.percentile(ratio, (25, 50, 75))
    print("%-10s ours %.3f s, numpy %.3f s, numpy over ours %.2f (%.2f to %.2f)"
          % (name, np.median(a[:, k]), np.median(b[:, k]), middle, low, high))
print("memory     ours %.0f MiB, numpy %.0f MiB" % (a[:, 2].max(), b[:, 2].max()))
print("load       %.1f, pairs %d" % (os.getloadavg()[0], PAIRS))
