"""trace.py - profiles evaluated by numpy and scipy and by the program, compared.

SPDX-License-Identifier: GPL-3.0-or-later
Usage: trace.py PROGRAM. Ends 0: all agree, or no scipy; 1: they differ.

Definitions of ISO 16610-21, 16610-31, 4287, 13565-2 and 21920-2 written anew with whole matrices; no
code is shared. What is exact agrees to 1e-6 of its value, spacing to 1e-6, core parameters to 1e-6.
The filter profile (8000 points, a cosine of 3.2 mm and noise) is taken from $BELTWRIGHT_DATA/profile or
../shared/data/profile where it is; its own test wants the middle within 0.05 at a cut-off of 0.8 mm.
"""
import json
import os
import subprocess
import sys
import tempfile

try:
    import numpy as np
    import scipy.io
except ImportError:
    print("ok - numpy or scipy is not here # SKIP")
    sys.exit(0)

PROGRAM = sys.argv[1]
failures = 0


def near(name, got, want, relative=1e-6):
    global failures
    if not abs(got - want) <= relative * abs(want):
        failures += 1
        print(f"FAIL {name}: {got!r} is not {want!r}")


def ask(z_um, dx_um, *options):
    with tempfile.NamedTemporaryFile("w", suffix=".csv") as file:
        file.write(f"spacing = {dx_um!r} um\nz [um]\n" + "\n".join(repr(float(v)) for v in z_um) + "\n")
        file.flush()
        said = subprocess.run([PROGRAM, "trace", file.name, "--unjailed", "--json", *options],
                              capture_output=True, text=True, check=False)
    if said.returncode:
        sys.exit("trace.py: " + said.stderr)
    return json.loads(said.stdout)


def um(quantity):
    return quantity["value"] * {"mm": 1e3, "µm": 1, "m": 1e6}[quantity["unit"]]


def gaussian_line(z, points):
    """A straight line fitted under the window at every point: its value there."""
    sigma = points * np.sqrt(np.log(2) / 2) / np.pi
    x = np.arange(len(z))
    out = np.empty(len(z))
    for i in range(len(z)):
        d = x - i
        w = np.exp(-0.5 * (d / sigma) ** 2)
        s0, s1, s2 = w.sum(), (w * d).sum(), (w * d * d).sum()
        out[i] = ((w * z).sum() * s2 - (w * d * z).sum() * s1) / (s0 * s2 - s1 * s1)
    return out


def texture(r, dx, section):
    n = round(section / dx)
    s = r.reshape(-1, n)
    d = lambda v: (v[6:] - v[:-6] - 9 * (v[5:-1] - v[1:-5]) + 45 * (v[4:-2] - v[2:-4])) / (60 * dx)
    q = lambda v: np.sqrt((v ** 2).mean())
    rows = lambda f: np.mean([f(v) for v in s])
    new = dict(ra=np.abs(r).mean(), rq=q(r), rsk=(r ** 3).mean() / q(r) ** 3, rku=(r ** 4).mean() / q(r) ** 4,
               rp=s.max(1).mean(), rv=-s.min(1).mean(), rz=(s.max(1) - s.min(1)).mean(), rt=r.max() - r.min(),
               rdq=q(d(r)))
    old = new | dict(ra=rows(lambda v: np.abs(v).mean()), rq=rows(q), rsk=rows(lambda v: (v ** 3).mean() / q(v) ** 3),
                     rku=rows(lambda v: (v ** 4).mean() / q(v) ** 4), rdq=rows(lambda v: q(d(v))))
    return new, old


def material(r):
    h = np.sort(r)[::-1]
    n = len(h)
    c = np.arange(n) / (n - 1)
    k = round(0.4 * (n - 1))
    fall = h[:-k] - h[k:]
    j = np.flatnonzero(fall <= fall.min() * (1 + 1e-9))[0]
    rk = fall.min() * (n - 1) / k
    upper = h[j] + rk * c[j]
    lower = upper - rk
    mr1, mr2 = (np.interp(-level, -h, c) for level in (upper, lower))
    above = np.append(np.maximum(h[c < mr1] - upper, 0), 0)
    below = np.append(0, np.maximum(lower - h[c > mr2], 0))
    a1 = np.trapz(above, np.append(c[c < mr1], mr1))
    a2 = np.trapz(below, np.append(mr2, c[c > mr2]))
    return dict(rk=rk, mr1=mr1, mr2=mr2, rpk=2 * a1 / mr1 if mr1 > 0 else 0, rvk=2 * a2 / (1 - mr2))


def compare(seed):
    rng = np.random.default_rng(seed)
    n, dx, cut_off = 2500, 2.0, 500.0
    x = np.arange(n) * dx
    z = np.convolve(rng.standard_normal(n + 8), np.hanning(11)[1:-1], "valid") + 3 * np.sin(x / 900) + x * 0.002
    z = np.round(z, 4)
    level = z - np.polyval(np.polyfit(x, z, 1), x)
    p = gaussian_line(level, 12 / dx)
    line = gaussian_line(p, cut_off / dx)
    r = p - line
    got = ask(z, dx, "--surface", "plain", "--cut-off", "0.5 mm", "--short-cut-off", "12 um")
    new, old = got["parameters"]
    for name, said, want in zip(("ISO 21920-2", "ISO 4287"), (new, old), texture(r, dx, cut_off)):
        for key, value in want.items():
            unit = 1 if key in ("rsk", "rku", "rdq") else 0
            near(f"{seed} {name} {key}", said[key]["value"] if unit and isinstance(said[key], dict)
                 else said[key] if unit else um(said[key]), value)
    for key, value in material(r).items():
        near(f"{seed} {key}", new[key] if key.startswith("mr") else um(new[key]), value, 1e-6)
    filled = gaussian_line(np.maximum(p, line), cut_off / dx)
    for key, value in material(p - filled).items():
        near(f"{seed} 13565 {key}", old[key] if key.startswith("mr") else um(old[key]), value, 1e-6)
    near(f"{seed} wa", um(new["wa"]), np.abs(line).mean())
    near(f"{seed} wq", um(new["wq"]), np.sqrt((line ** 2).mean()))


def filter_profile():
    path = os.path.join(os.environ.get("BELTWRIGHT_DATA", "../shared/data"), "profile", "profile_Lc3200.mat")
    if not os.path.exists(path):
        print("no filter profile here")
        return
    content = scipy.io.loadmat(path)
    z, clean, dx = content["zdat"][0], content["zsin"][0], float(content["dx"][0, 0])
    got = ask(z, dx, "--surface", "plain", "--cut-off", "0.8 mm", "--form", "0")
    curve = next(c for c in got["curves"] if c["name"] == "mean line")["points"]
    at = np.array([round(um(p["at"]) / dx) for p in curve])
    line = np.array([um(p["height"]) for p in curve]) + z.mean()
    middle = np.abs(at - len(z) // 2) <= 40
    off = np.mean(clean[at[middle]] - line[middle])
    if not abs(off) <= 0.05:
        near("filter profile, middle", off, 0)
    want = gaussian_line(gaussian_line(z, 2.5 / dx), 800 / dx)  # the short cut-off that goes with it
    worst = np.abs(line - want[at]).max()
    if worst > 1e-6:
        near("filter profile, everywhere", worst, 0)
    print(f"filter profile: middle off by {off:.4f} of 0.05 allowed, from numpy by {worst:.1e}")


for number in range(3):
    compare(number)
filter_profile()
print("ok - all agree" if failures == 0 else f"not ok - {failures} differ")
sys.exit(failures != 0)
