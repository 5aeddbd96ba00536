"""trace.py - the work of bench/trace.c in numpy and scipy, run in turn with it.

SPDX-License-Identifier: GPL-3.0-or-later
Usage: trace.py BENCH_TRACE [RUNS]. Prints medians of time and of peak memory, and their ratios.
"""
import os
import resource
import statistics
import subprocess
import sys
import time


def by_numpy():
    import numpy as np
    from scipy import signal
    n, rng = 1_000_000, np.random.default_rng(3)
    z = np.cumsum(0.01 * rng.standard_normal(n)) + 2 * rng.standard_normal(n)
    z += 5 * np.sin(2 * np.pi * np.arange(n) / 12000)
    begin, cpu = time.perf_counter(), time.process_time()

    def line(v, cut_off):
        reach = round(cut_off)
        x = np.arange(-reach, reach + 1)
        w = np.exp(-np.pi * (x / (np.sqrt(np.log(2) / np.pi) * cut_off)) ** 2)
        return signal.fftconvolve(np.pad(v, reach, mode="symmetric"), w / w.sum(), "valid")

    p = line(z, 8)
    r = p - line(p, 2500)
    s = r.reshape(-1, 2500)
    top, bottom = s.max(1), s.min(1)
    q = np.sqrt((r * r).mean())
    out = [np.abs(r).mean(), q, (r ** 3).mean() / q ** 3, (r ** 4).mean() / q ** 4, (top - bottom).mean(),
           r.max() - r.min(), top.mean(), -bottom.mean()]
    d = (r[6:] - r[:-6] - 9 * (r[5:-1] - r[1:-5]) + 45 * (r[4:-2] - r[2:-4])) / 60
    out.append(np.sqrt((d * d).mean()))
    level = 0.1 * out[4]
    side = np.where(r > level, 1, np.where(r < -level, -1, 0))
    at = np.flatnonzero(side)
    rises = at[1:][(side[at[1:]] == 1) & (side[at[:-1]] == -1)]
    out.append(np.diff(rises).mean())
    h = np.sort(r)[::-1]
    k = round(0.4 * (n - 1))
    fall = h[:-k] - h[k:]
    j = fall.argmin()
    rk = fall[j] * (n - 1) / k
    upper = h[j] + rk * j / (n - 1)
    i1, i2 = np.searchsorted(-h, -upper), np.searchsorted(-h, -(upper - rk))
    out += [2 * (h[:i1] - upper).sum() / max(i1, 1), 2 * (upper - rk - h[i2:]).sum() / max(n - i2, 1)]
    seconds, cpu = time.perf_counter() - begin, time.process_time() - cpu
    print(f"{seconds:.4f} {cpu:.4f} {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.1f} {out[0]:.4f} {rk:.4f}")


if sys.argv[1] == "numpy":
    by_numpy()
    sys.exit()
ours, theirs = [], []
for _ in range(int(sys.argv[2]) if len(sys.argv) > 2 else 11):
    for runs, command in ((ours, [sys.argv[1]]), (theirs, [sys.executable, __file__, "numpy"])):
        said = subprocess.run(command, capture_output=True, text=True, check=True).stdout
        runs.append([float(word) for word in said.split()])
for name, runs in (("beltwright", ours), ("numpy, scipy", theirs)):
    wall, cpu, memory = (statistics.median(r[i] for r in runs) for i in range(3))
    print(f"{name:14} {wall:.3f} s ({min(r[0] for r in runs):.3f} to {max(r[0] for r in runs):.3f}), "
          f"processor {cpu:.3f} s, {memory:.0f} MiB; Ra {runs[0][3]} Rk {runs[0][4]}")
ratios = [statistics.median(b[i] / a[i] for a, b in zip(ours, theirs)) for i in range(3)]
print(f"{ratios[0]:.1f} times as fast by the clock, {ratios[1]:.1f} by the processor, with "
      f"{1 / ratios[2]:.0%} of the memory; load {os.getloadavg()[0]:.1f}")
