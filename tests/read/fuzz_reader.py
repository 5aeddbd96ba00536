#!/usr/bin/python3
# fuzz_reader.py - damaged pictures without end through the release reader, for a bounded time.
# SPDX-License-Identifier: GPL-3.0-or-later
"""usage: fuzz_reader.py BUILD-FOLDER [SECONDS [SEED]]

Good and broken small files of every format are changed at random (bytes, runs, lengths,
splices). Whatever comes of it must be an answer or one line with exit 2, in time, from a caller
that lives. A reader that crashed or ran into its jail has kept its promise; such files are
counted, kept and named, for their decoder should be looked at."""
import os
import random
import subprocess
import sys
import tempfile
import time

try:
    import broken_files
except ImportError:
    print("ok - fuzzed pictures # SKIP python3-pil and python3-numpy are not installed")
    sys.exit(0)

BUILD = sys.argv[1]
SECONDS = float(sys.argv[2]) if len(sys.argv) > 2 else 20
RANDOM = random.Random(int(sys.argv[3]) if len(sys.argv) > 3 else 1)
FOLDER = tempfile.mkdtemp(prefix="beltwright-fuzz-")


def change(data, other):
    data = bytearray(data)
    for _ in range(RANDOM.choice((1, 1, 2, 4, 16))):
        at, n = RANDOM.randrange(len(data) + 1), RANDOM.choice((1, 1, 2, 4, 9, 40))
        kind = RANDOM.randrange(7)
        if kind == 0:
            data[at : at + n] = RANDOM.randbytes(n)
        elif kind == 1 and at < len(data):
            data[at] ^= 1 << RANDOM.randrange(8)
        elif kind == 2:
            data[at : at + n] = RANDOM.choice((b"\0", b"\xff", b"\x7f", b"\x80")) * n
        elif kind == 3:
            del data[at : at + n]
        elif kind == 4:
            data[at:at] = data[at : at + n * 10]
        elif kind == 5:
            start = RANDOM.randrange(len(other))
            data[at : at + n * 4] = other[start : start + n * 4]
        else:
            data[at : at + 4] = RANDOM.choice(
                (1, 2, 255, 65535, 2**31 - 1, 2**32 - 1)
            ).to_bytes(4, RANDOM.choice(("big", "little")))
    return bytes(data[:200000])


seeds = [
    d for _, d, _ in list(broken_files.make()) + list(broken_files.harmless()) if 8 < len(d) < 60000
]
seeds += broken_files.good()
counts = {}
failed = 0
end = time.monotonic() + SECONDS
path = os.path.join(FOLDER, "picture")
while time.monotonic() < end:
    data = change(RANDOM.choice(seeds), RANDOM.choice(seeds))
    with open(path, "wb") as f:
        f.write(data)
    try:
        run = subprocess.run(
            [BUILD + "/beltwright", "picture", path], capture_output=True, timeout=100
        )
        out, err, status = (
            run.stdout.decode(errors="replace"),
            run.stderr.decode(errors="replace"),
            run.returncode,
        )
    except subprocess.TimeoutExpired:
        out, err, status = "", "timeout", -1
    one_line = err.startswith("beltwright: %s: " % path) and err.count("\n") == 1 and out == ""
    word = "read" if status == 0 and err == "" else "refused" if status == 2 and one_line else "BAD"
    for mark in (
        "crashed",
        "jail forbids",
        "does not hold together",
        "longer than",
        "used up",
        "stop talking",
        "start properly",
    ):
        if mark in err:
            word = mark
    counts[word] = counts.get(word, 0) + 1
    bad = word not in ("read", "refused", "crashed", "jail forbids")
    if bad or word in ("crashed", "jail forbids"):
        kept = os.path.join(FOLDER, "%s-%d" % (word.replace(" ", "-"), counts[word]))
        os.rename(path, kept)
        print(
            "%s: %s: exit %d: %s" % ("FAILED" if bad else "note", kept, status, err.strip()[-300:])
        )
    failed += bad
print(", ".join("%d %s" % (n, word) for word, n in sorted(counts.items())))
total = sum(counts.values())
print("%d passed, %d failed" % (total - failed, failed))
if os.path.exists(path):
    os.unlink(path)
if not os.listdir(FOLDER):
    os.rmdir(FOLDER)
sys.exit(1 if failed or total == 0 else 0)
