#!/usr/bin/python3
# broken_sounds.py - broken, hostile and randomly damaged recordings against the release reader.
# SPDX-License-Identifier: GPL-3.0-or-later
"""usage: broken_sounds.py BUILD-FOLDER [SECONDS [SEED]]

Good files of every format must be read; each broken one gives one line and exit 2, with the words
here. Then, for SECONDS, good files are damaged at random: whatever comes of it must be an answer
or one line with exit 2, in time. A reader that crashed or ran into its jail has kept its promise;
such are counted, and none is expected in the listed files."""
import os
import random
import struct
import subprocess
import sys
import tempfile
import time

BUILD = os.path.abspath(sys.argv[1])
SECONDS = float(sys.argv[2]) if len(sys.argv) > 2 else 10
RANDOM = random.Random(int(sys.argv[3]) if len(sys.argv) > 3 else 1)
GOOD = os.path.join(os.path.dirname(os.path.abspath(__file__)), "../fixtures/sound")
FOLDER = tempfile.mkdtemp(prefix="beltwright-sounds-")
number = failed = 0


def sound(data):
    path = os.path.join(FOLDER, "x")
    with open(path, "wb") as f:
        f.write(data)
    run = subprocess.run([BUILD + "/beltwright", "sound", path], capture_output=True, timeout=150)
    os.unlink(path)
    return run.returncode, run.stdout.decode(), run.stderr.decode()


def check(good, name, why=""):
    global number, failed
    number += 1
    failed += not good
    print("%s %d - %s%s" % ("ok" if good else "not ok", number, name, "" if good else ": " + why))


def wav(channels=1, rate=8000, bits=16, data=b"\0\1" * 100, claim=None, kind=1):
    block = channels * bits // 8
    form = struct.pack("<HHIIHH", kind, channels, rate & 0xFFFFFFFF, rate * block & 0xFFFFFFFF,
                       block & 0xFFFF, bits)
    claim = len(data) if claim is None else claim
    body = b"WAVEfmt " + struct.pack("<I", len(form)) + form
    body += b"data" + struct.pack("<I", claim) + data
    return b"RIFF" + struct.pack("<I", len(body)) + body


def broken():
    yield "empty", b"", "the file is empty"
    yield "noise", RANDOM.randbytes(3000), "no recording that can be read"
    yield "WAV of its header alone", wav(data=b""), "holds no samples"
    yield "WAV cut within its header", wav()[:30], "no recording that can be read"
    yield "WAV of 40 channels", wav(channels=40, data=b"\0" * 800), "at most 16"
    yield "WAV at no rate", wav(rate=0), "no recording that can be read"
    yield "WAV at 4 GHz", wav(rate=4000000000), ""
    for name in ("nan", "inf"):
        data = struct.pack("<f", float(name)) * 50
        yield "WAV of " + name, wav(bits=32, kind=3, data=data), "no numbers"
    yield "WAV of an unknown coding", wav(kind=0x7777), "no recording that can be read"
    yield "M4A", b"\0\0\0\x20ftypM4A " + bytes(100), "M4A sound or a video"
    yield "a picture", b"\xff\xd8\xff\xe0" + bytes(100), "this is a picture"
    yield "a MAT file", b"MATLAB 5.0 MAT-file" + bytes(200), "this is a MAT file"
    yield "a web page", b"<html>", "a web page"
    yield "words", b"one two\nthree four\n", "is no number"
    yield "words alone", b"one two\n", "no rows of numbers"
    yield "a comma within", b"1,5;2\n", "a comma within a number"
    yield "a hole", b"1,2\n3,\n", "line 2 has an empty column"
    yield "columns that change", b"1,2\n3\n", "line 2 has another number of columns"
    yield "too many columns", b",".join([b"1"] * 30) + b"\n", "too many columns"
    yield "NaN in text", b"1\nnan\n", "line 2 has something that is no number"
    yield "far too large", b"1\n1e300\n", "line 2 has something that is no number"
    yield "a line without end", b"1" * 5000, "too long"
    yield "times backwards", b"t,x\n0,1\n1,1\n0.5,1\n", "goes back in time"
    gap = b"".join(b"%g,1\n" % (i / 1000 + (0 if i < 50 else 1)) for i in range(100))
    yield "times with a gap", b"t,x\n" + gap, "a gap before line 52"
    yield "times that stand", b"t,x\n5,1\n5,1\n5,1\n", "does not give a rate"
    yield "times alone", b"time\n1\n2\n", "times but no samples"


def change(data, other):
    data = bytearray(data)
    for _ in range(RANDOM.choice((1, 1, 2, 4, 16))):
        at, n = RANDOM.randrange(len(data) + 1), RANDOM.choice((1, 1, 2, 4, 9, 40))
        kind = RANDOM.randrange(6)
        if kind == 0:
            data[at : at + n] = RANDOM.randbytes(n)
        elif kind == 1 and at < len(data):
            data[at] ^= 1 << RANDOM.randrange(8)
        elif kind == 2:
            data[at : at + n] = RANDOM.choice((b"\0", b"\xff", b"\x7f", b"\x80")) * n
        elif kind == 3:
            del data[at : at + n]
        elif kind == 4:
            start = RANDOM.randrange(len(other))
            data[at : at + n * 4] = other[start : start + n * 4]
        else:
            data[at : at + 4] = RANDOM.choice((1, 2, 255, 65535, 2**31 - 1, 2**32 - 1)).to_bytes(
                4, RANDOM.choice(("big", "little")))
    return bytes(data)


def hurt(err):
    return "crashed" in err or "forbids" in err


seeds = [open(os.path.join(GOOD, name), "rb").read() for name in sorted(os.listdir(GOOD))]
seeds += [wav(), b"time_ms,a,b\n" + b"".join(b"%d,%d,-1e-3\n" % (i, i % 7) for i in range(50))]
for name, data in zip(sorted(os.listdir(GOOD)) + ["plain WAV", "numbers"], seeds):
    status, out, err = sound(data)
    check(status == 0 and out.startswith("length"), name, err)
for name, data, words in broken():
    status, out, err = sound(data)
    good = status == 2 and out == "" and err.count("\n") == 1 and words in err and not hurt(err)
    check(good, name, "exit %d: %s" % (status, err))

tried = answers = hurts = bad = 0
end = time.monotonic() + SECONDS
while time.monotonic() < end:
    data = change(RANDOM.choice(seeds), RANDOM.choice(seeds))
    status, out, err = sound(data)
    tried += 1
    answers += status == 0
    hurts += hurt(err)
    good = status == 0 or (status == 2 and err.count("\n") <= 3 and out == "")
    if not good:
        bad += 1
        print("# exit %d: %s" % (status, err))
check(bad == 0, "%d damaged recordings: %d read, %d refused, %d of these by the jail or a crash"
      % (tried, answers, tried - answers, hurts))
print("1..%d" % number)
sys.exit(failed > 0)
