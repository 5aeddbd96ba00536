#!/usr/bin/python3
# marks.py - a 12-megapixel photo to an answer, beside a plain script.
# SPDX-License-Identifier: GPL-3.0-or-later
"""usage: marks.py BUILD-FOLDER [RUNS] (a release build; RUNS: default 11)

A is `beltwright marks FILE --json` (both directions searched), B is bench/marks_numpy.py, which
only decodes, transforms and picks the peak. A and B run in turns. Wall and processor time are
medians; the ratio is of each pair, with its quartiles. Memory is the largest sum of the resident
sizes of all processes of a run, looked at every 2 ms, so what two processes share counts twice.

The picture: 4000 x 3000, wood-like (1 / f noise stretched 20 times along x, grains of +-12 codes,
seed 3), marks of pitch 81.3 pixels and 2 codes, three channels in proportion 1, 0.8, 0.6, JPEG
quality 92."""
import os
import shutil
import subprocess
import sys
import tempfile
import threading
import time

import numpy as np
from PIL import Image

BUILD = os.path.abspath(sys.argv[1])
RUNS = int(sys.argv[2]) if len(sys.argv) > 2 else 11
HERE = os.path.dirname(os.path.abspath(__file__))


def wood(height, width):
    rng = np.random.default_rng(3)
    fy = np.fft.fftfreq(height)[:, None]
    fx = np.fft.rfftfreq(width)[None, :]
    slope = np.hypot(fy, 20 * fx) + 1e-3
    noise = np.fft.rfft2(rng.standard_normal((height, width))) / slope
    figure = np.fft.irfft2(noise, (height, width))
    grey = 150 + 12 * figure / figure.std()
    grey += rng.integers(-12, 13, (height // 2, width // 2)).repeat(2, 0).repeat(2, 1)
    grey += 2 * np.cos(2 * np.pi * np.arange(width) / 81.3)
    grey = np.clip(grey, 0, 255)
    return np.stack([(grey * part).astype("u1") for part in (1, 0.8, 0.6)], -1)


def size_of(pid):
    """Resident bytes of the process and all below it; what two share counts twice."""
    try:
        with open("/proc/%d/statm" % pid) as f:
            total = int(f.read().split()[1]) * os.sysconf("SC_PAGE_SIZE")
        with open("/proc/%d/task/%d/children" % (pid, pid)) as f:
            return total + sum(size_of(int(child)) for child in f.read().split())
    except (OSError, ValueError):
        return 0


def run(command):
    """Wall and processor seconds, and the largest sum in bytes."""
    start, before = time.monotonic(), os.times()
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL)
    peak, ended = [0], threading.Event()

    def watch():
        while not ended.is_set():
            peak[0] = max(peak[0], size_of(process.pid))
            time.sleep(0.002)

    watcher = threading.Thread(target=watch)
    watcher.start()
    if process.wait() != 0:
        sys.exit("failed: " + " ".join(command))
    wall, after = time.monotonic() - start, os.times()
    ended.set()
    watcher.join()
    cpu = (after.children_user + after.children_system) - (
        before.children_user + before.children_system
    )
    return wall, cpu, peak[0]


folder = tempfile.mkdtemp(prefix="beltwright-bench-")
try:
    path = folder + "/panel.jpg"
    Image.fromarray(wood(3000, 4000)).save(path, quality=92)
    ours = [BUILD + "/beltwright", "marks", path, "--json"]
    plain = ["/usr/bin/python3", HERE + "/marks_numpy.py", path]
    a, b = [], []
    print("%d runs each; load before: %.1f" % (RUNS, os.getloadavg()[0]))
    for _ in range(RUNS):
        a.append(run(ours))
        b.append(run(plain))
    print("load after: %.1f" % os.getloadavg()[0])
    print("| what | A | B | A/B (quartiles) |")
    print("| --- | --- | --- | --- |")
    for i, (name, unit) in enumerate((("wall, s", 1), ("processor, s", 1), ("memory, MB", 1e6))):
        x, y = np.array(a)[:, i] / unit, np.array(b)[:, i] / unit
        low, middle, high = np.percentile(x / y, (25, 50, 75))
        verdict = ", inconclusive" if low < 1 < high else ""
        form = "| %s | %.2f | %.2f | %.2f (%.2f to %.2f)%s |"
        print(form % (name, np.median(x), np.median(y), middle, low, high, verdict))
finally:
    shutil.rmtree(folder)
