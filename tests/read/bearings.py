#!/usr/bin/python3
# bearings.py - the study listen on public recordings of damaged and healthy bearings.
# SPDX-License-Identifier: GPL-3.0-or-later
"""usage: bearings.py BUILD-FOLDER

The recordings are not part of this repository: they are looked for in the folder bearing/ of
$BELTWRIGHT_DATA, or of ../shared/data beside the repository. They are converted to WAV and CSV in a
temporary folder and given to the release program through its jailed reader. What is damaged is
what their makers say; the ball is one that the literature grades as hardly to be diagnosed, so it
must be left open or named, and never be called sound."""
import json
import os
import subprocess
import sys
import tempfile
import wave

try:
    import numpy as np
    import scipy.io
except ImportError:
    print("ok - bearings # SKIP python3-numpy and python3-scipy are not installed")
    sys.exit(0)

BUILD = os.path.abspath(sys.argv[1])
HERE = os.path.dirname(os.path.abspath(__file__))
DATA = os.environ.get("BELTWRIGHT_DATA", os.path.join(HERE, "../../../shared/data"))
# file, samples a second (None: in the file), bearing, shaft, verdicts allowed
STAND = "6205", "1797 rpm"
RIG = "8 balls of 0.235 in on 1.245 in", "1500 rpm"
CASES = [
    ("12k_Drive_End_IR007_0_105.mat", 12000, STAND, ["inner race"]),
    ("12k_Drive_End_OR007@6_0_130.mat", 12000, STAND, ["outer race"]),
    ("12k_Drive_End_B007_0_118.mat", 12000, STAND, ["cannot tell", "rolling element"]),
    ("normal_0_97.mat", 48000, STAND, ["none"]),
    ("InnerRaceFault_vload_1.mat", None, RIG, ["inner race"]),
    ("OuterRaceFault_vload_1.mat", None, RIG, ["outer race"]),
]


def samples(path, rate):
    held = scipy.io.loadmat(path)
    for key in held:
        if key.endswith("DE_time"):
            return held[key].ravel(), rate
    inner = held["bearing"][0, 0]
    return inner["gs"].ravel().astype(float), float(inner["sr"].ravel()[0])


def write_wav(path, x, rate):
    with wave.open(path, "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(2)
        out.setframerate(round(rate))
        out.writeframes(np.round(x / np.abs(x).max() * 32000).astype("<i2").tobytes())


def listen(path, rate, bearing):
    line = [BUILD + "/beltwright", "listen", path, "--bearing", bearing[0], "--shaft", bearing[1]]
    if rate is not None:
        line += ["--rate", "%g Hz" % rate]
    run = subprocess.run(line + ["--json"], capture_output=True, check=True)
    return json.loads(run.stdout)["bearings"][0]


number = failed = 0
with tempfile.TemporaryDirectory(prefix="beltwright-bearings-") as folder:
    for name, rate, bearing, allowed in CASES:
        path = os.path.join(DATA, "bearing", name)
        if not os.path.exists(path):
            print("ok - %s # SKIP not here" % name)
            continue
        x, rate = samples(path, rate)
        write_wav(folder + "/x.wav", x, rate)
        np.savetxt(folder + "/x.csv", x, fmt="%.6g")
        half = len(x) // 2
        write_wav(folder + "/half.wav", x[half:], rate)
        for kind, how in (("WAV", ("x.wav", None)), ("CSV", ("x.csv", rate)),
                          ("second half", ("half.wav", None))):
            got = listen(folder + "/" + how[0], how[1], bearing)
            number += 1
            # Half of it may be too little to name a part, never enough to name a wrong one.
            good = got["part"] in allowed + (["cannot tell"] if kind == "second half" else [])
            failed += not good
            print("%s %d - %s, %s: %s" % ("ok" if good else "not ok", number, name, kind,
                                          got["part"]))
print("1..%d" % number)
sys.exit(failed > 0)
