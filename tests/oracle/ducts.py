"""ducts.py - random duct systems of 5 to 300 elements: the program against scipy, laws written anew.

SPDX-License-Identifier: GPL-3.0-or-later
Usage: ducts.py PROGRAM [--time]. Ends 0: all agree; 77: no scipy; 1: they differ.

The laws are written here from docs/duct-file.md alone: Colebrook by its own iteration, the Crane form of
converging fittings, a plate fan, a linear filter, loops closed by a second duct. No code is shared with the
program. Each system is judged twice: its equations are evaluated here at the program's answer, and scipy's root finder
(hybr, with a Jacobian by differences) starts from that answer disturbed by 10 % and must come back to it. Up
to 40 elements it must also find it from a cold start; beyond, a cold start often ends far from any solution.
"""
import json
import math
import random
import subprocess
import sys
import time

try:
    import numpy as np
    from scipy.optimize import root
except ImportError:
    sys.exit(77)

RHO, T = 1.2, 293.15
MU = 1.458e-6 * T ** 1.5 / (T + 110.4)


def area(d):
    return math.pi / 4 * d * d


def colebrook(re, e):
    x = np.full_like(re, 8.0)
    for _ in range(60):
        x = -2 * np.log10(e / 3.7 + 2.51 * x / re)
    return 1 / (x * x)


class System:
    """A trunk with n branches: hood, hose, duct, fittings; every fifth stretch of trunk is doubled: a loop."""

    def __init__(self, rng, n):
        self.lines, self.junctions = [], []
        for i in range(n):
            self.lines.append(dict(name=f"b{i}", frm="room", to=f"p{i}", d=round(rng.uniform(0.1, 0.2), 4),
                                   hood=round(rng.uniform(.05, 2), 3), flex=round(rng.uniform(.1, 4), 3),
                                   straight=round(rng.uniform(.2, 15), 3), loss=round(rng.uniform(0, 1.5), 3)))
            d = round(.14 * math.sqrt(i + 1), 4)
            twice = i % 5 == 3
            for k in range(2 if twice else 1):
                self.lines.append(dict(name=f"t{i}" + "x" * k, frm=f"p{i}", to=f"p{i + 1}",
                                       d=round(d * (.8 if twice else 1), 4),
                                       straight=round(rng.uniform(.3, 12), 3)))
            if i and (i - 1) % 5 != 3 and not twice:
                self.junctions.append((f"p{i}", f"t{i - 1}", f"b{i}", round(rng.uniform(20, 60))))
        # Flows stay turbulent in every line, for the curve between laminar and turbulent is the program's own.
        self.fan = dict(q=round(rng.uniform(.12, .2) * n + .3, 4), p=round(rng.uniform(2500, 5000)))
        self.filter = round(rng.uniform(50, 400) / max(1, n / 8), 3)
        self.lines.append(dict(name="out", frm=f"p{n}", to="outdoors", d=round(.15 * math.sqrt(n), 3)))
        self.prepare()

    def prepare(self):
        ls = self.lines
        index = {ln["name"]: i for i, ln in enumerate(ls)}
        self.nodes = sorted({ln[k] for ln in ls for k in ("frm", "to")} - {"room", "outdoors"})
        at = {name: i for i, name in enumerate(self.nodes)}
        get = lambda key: np.array([ln.get(key, 0.0) for ln in ls])
        self.d, self.hood, self.flex = get("d"), get("hood"), get("flex")
        self.straight, self.other = get("straight"), get("loss")
        self.other[-1] = 1.0  # the exit
        self.area = math.pi / 4 * self.d ** 2
        self.frm = np.array([at.get(ln["frm"], -1) for ln in ls])
        self.to = np.array([at.get(ln["to"], -1) for ln in ls])
        self.incidence = np.zeros((len(self.nodes), len(ls)))
        for i, ln in enumerate(ls):
            if ln["frm"] in at:
                self.incidence[at[ln["frm"]], i] -= 1
            if ln["to"] in at:
                self.incidence[at[ln["to"]], i] += 1
        self.wyes = []
        for node, main, branch, angle in self.junctions:
            out = next(i for i, ln in enumerate(ls) if ln["frm"] == node)
            self.wyes.append((index[main], index[branch], out, math.radians(angle)))

    def elements(self):
        return sum(len(ln["parts"]) for ln in self.document()["network"]["lines"]) + len(self.junctions)

    def document(self):
        out = []
        for ln in self.lines:
            parts = []
            if "hood" in ln:
                parts += [{"hood": {"loss": str(ln["hood"])}}, {"flex": f'{ln["flex"]} m'}]
            if "straight" in ln:
                parts.append({"straight": f'{ln["straight"]} m'})
            if "loss" in ln:
                parts.append({"loss": str(ln["loss"])})
            if ln["name"] == "out":
                parts += [{"filter": f"{self.filter} Pa at 1 m³/s"},
                          {"fan": {"most_flow": f'{self.fan["q"]} m³/s', "most_pressure": f'{self.fan["p"]} Pa'}},
                          {"exit": "1"}]
            out.append({"name": ln["name"], "from": ln["frm"], "to": ln["to"], "diameter": f'{ln["d"]} m',
                        "parts": parts})
        return {"network": {"shape": "dust-system/1", "density": "1.2 kg/m³", "temperature": "20 °C", "lines": out,
                            "junctions": [{"at": a, "main": m, "branch": b, "angle": f"{g} deg"}
                                          for a, m, b, g in self.junctions]},
                "draws": 0, "settings": "no"}

    def friction(self, q, length, rough):
        re = np.maximum(RHO * np.abs(q) / self.area * self.d / MU, 1e-9)
        f = np.where(re >= 4000, colebrook(np.maximum(re, 4000), rough / self.d), 64 / re)
        return f * length / self.d * RHO / (2 * self.area ** 2) * q * np.abs(q)

    def loss(self, q):
        total = (self.hood + self.other) * RHO / (2 * self.area ** 2) * q * np.abs(q)
        total += self.friction(q, self.flex, .0015) + self.friction(q, self.straight, .00015)
        x = q[-1] / self.fan["q"]
        total[-1] += self.filter * q[-1] - self.fan["p"] * (1 - x * abs(x))
        for main, branch, out, angle in self.wyes:
            b = min((self.d[branch] / self.d[out]) ** 2, 1)
            x, f = q[branch] / q[out], 2 * math.cos(angle)
            c = 1 if b <= .35 else max(.9 * (1 - x), .55)
            pv = RHO / (2 * area(self.d[out]) ** 2) * q[out] * abs(q[out])
            total[branch] += pv * c * (1 + (x / b) ** 2 - 2 * (1 - x) ** 2 - f / b * x * x)
            total[main] += pv * (1 - (1 - x) ** 2 - f / b * x * x)
        return total

    def lack(self, unknown):
        """Lack of pressure over 1 kPa, then lack of balance over the fan's largest flow."""
        q = unknown[:len(self.lines)] * self.fan["q"]
        p = np.append(unknown[len(self.lines):] * 1e3, 0.0)
        return np.concatenate([(p[self.frm] - p[self.to] - self.loss(q)) / 1e3, self.incidence @ q / self.fan["q"]])

    def cold(self):
        n = len(self.lines)
        q = np.full(n, .1)
        for i, ln in enumerate(self.lines[:-1]):
            if ln["name"][0] == "t":
                q[i] = .1 * (int(ln["name"].strip("tx")) + 1)
        q[-1] = .1 * sum(ln["name"][0] == "b" for ln in self.lines)
        return np.concatenate([q / self.fan["q"], np.full(len(self.nodes), -1.0)])

    def solve(self, start):
        # maxfev counts evaluations; a Jacobian by differences takes one for each unknown.
        found = root(self.lack, start, method="hybr", tol=1e-14, options={"maxfev": 100 * len(start)})
        return found.x if np.max(np.abs(self.lack(found.x))) < 1e-10 else None


def ask(program, system):
    done = subprocess.run([program, "ducts", "--input", "-", "--json"], input=json.dumps(system.document()),
                          capture_output=True, text=True, check=False)
    if done.returncode != 0:
        sys.exit(done.stderr)
    answer = json.loads(done.stdout)
    q = np.array([row["flow"]["value"] for row in answer["lines"]]) / 3600
    loss = np.array([row["loss"]["value"] for row in answer["lines"]])
    p = np.full(len(system.nodes), np.nan)  # of each point, along the first line that leads there or on from there
    for _ in system.nodes:
        for i in range(len(q)):
            start = 0.0 if system.frm[i] < 0 else p[system.frm[i]]
            if system.to[i] >= 0 and np.isnan(p[system.to[i]]):
                p[system.to[i]] = start - loss[i]
    return np.concatenate([q / system.fan["q"], p / 1e3]), answer


def main(program, show_time):
    rng, noise = random.Random(11), np.random.default_rng(11)
    compared = cold = largest = 0
    worst = residual = own = 0.0
    for n in (1, 1, 2, 2, 3, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 46, 51):
        system = System(rng, n)
        got, answer = ask(program, system)
        lines = len(system.lines)
        if np.min(got[:lines]) * system.fan["q"] < .01:
            continue  # air runs backwards or is laminar: outside what these laws hold for
        # The program prints 12 digits, and pressures are summed from printed losses.
        residual = max(residual, float(np.max(np.abs(system.lack(got)))) / max(1.0, system.fan["p"] / 1e3))
        own = max(own, answer["imbalance"], answer["mismatch"])
        begin = time.perf_counter()
        found = system.solve(got * (1 + .1 * noise.uniform(-1, 1, len(got))))
        if show_time:
            print(f"{system.elements()} elements: scipy {1e3 * (time.perf_counter() - begin):.0f} ms")
        if found is None:
            print(f"{n} branches: scipy does not come back to the answer")
            return 1
        off = float(np.max(np.abs(got[:lines] / found[:lines] - 1)))
        worst, compared, largest = max(worst, off), compared + 1, max(largest, system.elements())
        if off > 1e-6:
            print(f"{n} branches: off by {off:.2g}")
            return 1
        if system.elements() <= 40:
            alone = system.solve(system.cold())
            if alone is not None:
                cold += 1
                if float(np.max(np.abs(got[:lines] / alone[:lines] - 1))) > 1e-6:
                    print(f"{n} branches: another solution from a cold start")
                    return 1
    print(f"{compared} systems of up to {largest} elements agree within {worst:.1g}; residual here {residual:.1g}, "
          f"the program's own {own:.1g}; {cold} found from a cold start too")
    return 0 if compared >= 12 and largest >= 290 and cold >= 4 and residual < 1e-9 and own < 1e-9 else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], "--time" in sys.argv))
