"""ducts.py - random duct systems solved by scipy's root finder and by the program, compared.

SPDX-License-Identifier: GPL-3.0-or-later
Usage: ducts.py PROGRAM. Ends 0: all agree; 77: no scipy; 1: they differ.

The laws are written here anew from docs/duct-file.md: Colebrook by its own iteration, the Crane form of
converging fittings, a plate fan, a linear filter. No code is shared with the program.
"""
import json
import math
import random
import subprocess
import sys

try:
    import numpy as np
    from scipy.optimize import root
except ImportError:
    sys.exit(77)

RHO, T = 1.2, 293.15
MU = 1.458e-6 * T ** 1.5 / (T + 110.4)


def colebrook(re, e):
    x = 8.0
    for _ in range(60):
        x = -2 * math.log10(e / 3.7 + 2.51 * x / re)
    return 1 / (x * x)


def friction(q, d, length, rough):
    a = math.pi / 4 * d * d
    re = max(RHO * abs(q) / a * d / MU, 1e-9)
    return (colebrook(max(re, 4000), rough / d) if re >= 4000 else 64 / re) * \
        length / d * RHO / (2 * a * a) * q * abs(q)


def factor(q, d, k):
    return k * RHO / (2 * (math.pi / 4 * d * d) ** 2) * q * abs(q)


def make(rng, n):
    """A trunk with n branches: 2 n + 1 lines of four to six parts."""
    lines, junctions = [], []
    for i in range(n):
        d = round(rng.uniform(0.08, 0.2), 4)
        lines.append(dict(name=f"b{i}", frm="room", to=f"p{i}", d=d, hood=round(rng.uniform(.05, 2), 3),
                          flex=round(rng.uniform(.1, 4), 3), straight=round(rng.uniform(.2, 15), 3)))
        lines.append(dict(name=f"t{i}", frm=f"p{i}", to=f"p{i + 1}", d=round(.15 + .04 * math.sqrt(i + 1), 4),
                          straight=round(rng.uniform(.3, 12), 3)))
        if i:
            junctions.append((f"p{i}", f"t{i - 1}", f"b{i}", round(rng.uniform(20, 60))))
    # Flows stay turbulent in every line, for the curve between laminar and turbulent is the program's own.
    fan = dict(q=round(rng.uniform(.12, .2) * n + .3, 4), p=round(rng.uniform(2500, 5000)))
    lines.append(dict(name="out", frm=f"p{n}", to="outdoors", d=.4, filter=round(rng.uniform(50, 400)), fan=fan))
    return lines, junctions


def document(lines, junctions):
    out = []
    for ln in lines:
        parts = []
        if "hood" in ln:
            parts += [{"hood": {"loss": str(ln["hood"])}}, {"flex": f'{ln["flex"]} m'}]
        if "straight" in ln:
            parts.append({"straight": f'{ln["straight"]} m'})
        if "fan" in ln:
            parts += [{"filter": f'{ln["filter"]} Pa at 1 m³/s'},
                      {"fan": {"most_flow": f'{ln["fan"]["q"]} m³/s', "most_pressure": f'{ln["fan"]["p"]} Pa'}},
                      {"exit": "1"}]
        out.append({"name": ln["name"], "from": ln["frm"], "to": ln["to"], "diameter": f'{ln["d"]} m', "parts": parts})
    return {"network": {"shape": "dust-system/1", "density": "1.2 kg/m³", "temperature": "20 °C", "lines": out,
                        "junctions": [{"at": a, "main": m, "branch": b, "angle": f"{g} deg"}
                                      for a, m, b, g in junctions]},
            "draws": 0, "settings": "no"}


def solve(lines, junctions):
    index = {ln["name"]: i for i, ln in enumerate(lines)}
    nodes = sorted({ln[k] for ln in lines for k in ("frm", "to")} - {"room", "outdoors"})
    at = {name: len(lines) + i for i, name in enumerate(nodes)}
    wyes = {}
    for node, main, branch, angle in junctions:
        out = next(i for i, ln in enumerate(lines) if ln["frm"] == node)
        for leg, name in (("main", main), ("branch", branch)):
            wyes[index[name]] = (leg, out, index[branch], math.radians(angle))

    def loss(i, q):
        ln, own = lines[i], q[i]
        total = 0.0
        if "hood" in ln:
            total += factor(own, ln["d"], ln["hood"]) + friction(own, ln["d"], ln["flex"], .0015)
        if "straight" in ln:
            total += friction(own, ln["d"], ln["straight"], .00015)
        if "fan" in ln:
            x = own / ln["fan"]["q"]
            total += ln["filter"] * own - ln["fan"]["p"] * (1 - x * x) + factor(own, ln["d"], 1)
        if i in wyes:
            leg, out, branch, angle = wyes[i]
            b = min((lines[branch]["d"] / lines[out]["d"]) ** 2, 1)
            x = q[branch] / q[out]
            f = 2 * math.cos(angle)
            c = 1 if b <= .35 else max(.9 * (1 - x), .55)
            k = (c * (1 + (x / b) ** 2 - 2 * (1 - x) ** 2 - f / b * x * x) if leg == "branch"
                 else 1 - (1 - x) ** 2 - f / b * x * x)
            total += factor(q[out], lines[out]["d"], k)
        return total

    def pressure(x, name):
        return x[at[name]] * 1e3 if name in at else 0.0

    def lack(x):
        r = [(pressure(x, ln["frm"]) - pressure(x, ln["to"]) - loss(i, x)) / 1e3 for i, ln in enumerate(lines)]
        for name in nodes:
            r.append(sum((ln["to"] == name) * x[i] - (ln["frm"] == name) * x[i] for i, ln in enumerate(lines)))
        return np.array(r)

    start = [.1] * len(lines) + [-1.0] * len(nodes)
    for i in range(len(lines) // 2):
        start[2 * i + 1] = .1 * (i + 1)
    start[len(lines) - 1] = .1 * (len(lines) // 2)
    found = root(lack, start, method="hybr", tol=1e-13, options={"maxfev": 40000})
    good = np.max(np.abs(lack(found.x))) < 1e-8
    return found.x[:len(lines)] if good else None


def main(program):
    rng, compared, worst, largest = random.Random(11), 0, 0.0, 0
    for n in (1, 1, 2, 2, 3, 3, 4, 5, 6, 8, 10, 12, 15, 20):
        lines, junctions = make(rng, n)
        expected = solve(lines, junctions)
        if expected is None or min(expected) < .01:
            continue  # the root finder lost its way, or air runs backwards: outside what is compared
        done = subprocess.run([program, "ducts", "--input", "-", "--json"], input=json.dumps(document(lines, junctions)),
                              capture_output=True, text=True, check=False)
        if done.returncode != 0:
            print(done.stderr)
            return 1
        got = [row["flow"]["value"] / 3600 for row in json.loads(done.stdout)["lines"]]
        off = max(abs(g / e - 1) for g, e in zip(got, expected))
        worst, compared = max(worst, off), compared + 1
        largest = max(largest, sum(len(p["parts"]) for p in document(lines, junctions)["network"]["lines"]))
        if off > 1e-6:
            print(f"{n} branches: off by {off:.2g}")
            return 1
    print(f"{compared} systems of up to {largest} elements agree within {worst:.1g}")
    return 0 if compared >= 6 else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
