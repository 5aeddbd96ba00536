#!/usr/bin/python3
# broken.py - broken and hostile files against the jailed reader: one line each, exit 2.
# SPDX-License-Identifier: GPL-3.0-or-later
"""usage: broken.py BUILD-FOLDER [--table]

--table prints what is said of each, for docs/readers.md"""
import os
import shutil
import subprocess
import sys
import tempfile
import time

try:
    import broken_files
except ImportError:
    print("ok - broken files # SKIP python3-pil and python3-numpy are not installed")
    sys.exit(0)

BUILD, TABLE = sys.argv[1], "--table" in sys.argv
FOLDER = tempfile.mkdtemp(prefix="beltwright-broken-")
passed = failed = 0


def picture(name, data):
    path = os.path.join(FOLDER, name)
    with open(path, "wb") as f:
        f.write(data)
    start = time.monotonic()
    run = subprocess.run([BUILD + "/beltwright", "picture", path], capture_output=True, timeout=100)
    seconds = time.monotonic() - start
    os.unlink(path)
    return run.returncode, run.stdout.decode(), run.stderr.decode(), seconds


def check(good, name, why):
    global passed, failed
    if good:
        passed += 1
    else:
        failed += 1
        print("FAILED: %s: %s" % (name, why))


for name, data, words in broken_files.make():
    status, out, err, seconds = picture(name, data)
    start = "beltwright: %s/%s: " % (FOLDER, name)
    check(status == 2, name, "exit %d: %s" % (status, err))
    check(
        err.startswith(start) and err.count("\n") == 1 and out == "", name, "not one line: %r" % err
    )
    check(words in err, name, "says %r, should say %r" % (err, words))
    check(seconds < 20, name, "took %.1f s" % seconds)
    if TABLE:
        print("| `%s` | %s |" % (name, err[len(start) :].strip()))
for name, data, words in broken_files.harmless():
    status, out, err, seconds = picture(name, data)
    check(status == 0 and err == "" and words in out, name, "exit %d: %s%s" % (status, err, out))
    check("full jail" in out, name, "not in the full jail: %s" % out)
if not TABLE:
    print("%d passed, %d failed" % (passed, failed))
shutil.rmtree(FOLDER)
sys.exit(1 if failed else 0)
