# reason.py - the posterior of bench_reason against a plain numpy enumeration of the same sets.
# SPDX-License-Identifier: GPL-3.0-or-later
#
#   python3 bench/reason.py build/bench/bench_reason
#
# Both answer the same questions in turn, eleven times; the ratio is the median of the rounds'.
import json
import re
import statistics
import subprocess
import sys
import tempfile
import time

import numpy as np


def enumerate_sets(net):
    """Posterior of each cause over all sets of one to three, vectorised over the third cause."""
    odds = np.array(net["odds"])
    n = len(odds)
    yes = np.array([a["yes"] for a in net["answers"]])
    no = np.array([a["no"] for a in net["answers"]])
    quiet = np.array([a["quiet"] for a in net["answers"]])
    miss = np.array([a["miss"] for a in net["answers"]])
    cause = np.zeros(n)
    total = 0.0

    def weigh(prior, silent):  # silent: [answers, sets], chance of a true no without the leak
        silent = quiet[:, None] * silent
        return prior * np.prod(yes[:, None] * (1 - silent) + no[:, None] * silent, axis=0)

    single = weigh(odds, miss)
    total += single.sum()
    cause += single
    for i in range(n):
        for j in range(i + 1, n):
            pair = (miss[:, i] * miss[:, j])[:, None]
            third = np.concatenate([np.ones((len(yes), 1)), miss[:, j + 1:]], axis=1)
            prior = odds[i] * odds[j] * np.concatenate([[1.0], odds[j + 1:]])
            weight = weigh(prior, pair * third)
            sum_ = weight.sum()
            total += sum_
            cause[i] += sum_
            cause[j] += sum_
            cause[j + 1:] += weight[1:]
    return cause / total


def main():
    bench = sys.argv[1]
    with tempfile.NamedTemporaryFile(suffix=".json") as file:
        subprocess.run([bench, "--rounds", "1", "--dump", file.name], check=True,
                       stdout=subprocess.DEVNULL)
        net = json.load(open(file.name))
    ratios, ours, plain = [], [], []
    for _ in range(11):
        begin = time.perf_counter()
        posterior = enumerate_sets(net)
        plain.append(1e3 * (time.perf_counter() - begin))
        out = subprocess.run([bench, "--rounds", "1"], check=True, capture_output=True, text=True)
        ours.append(float(re.search(r"posterior +median ([0-9.]+)", out.stdout).group(1)))
        ratios.append(plain[-1] / ours[-1])
    worst = float(np.max(np.abs(posterior - np.array(net["posterior"]))))
    quartiles = statistics.quantiles(ratios, n=4)
    print(f"numpy {statistics.median(plain):.1f} ms, here {statistics.median(ours):.1f} ms, "
          f"ratio {statistics.median(ratios):.1f} (quartiles {quartiles[0]:.1f} to "
          f"{quartiles[2]:.1f}); largest difference of a posterior {worst:.1e}")
    if worst > 1e-9:
        sys.exit(1)


main()
