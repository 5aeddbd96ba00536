#!/usr/bin/python3
# picture.py - 12 and 100 megapixels: time and memory of the jailed reader beside others.
# SPDX-License-Identifier: GPL-3.0-or-later
"""usage: picture.py BUILD-FOLDER [RUNS] (a release build; RUNS: default 11)

A is `beltwright picture FILE --pgm /dev/null`: start, jail, decoding, sealing, checking, and
every code read once by the caller. B is python3-pil to an array of luma (for JPEG with
draft("L"), which decodes luma only, as we do); for HEIC, which it does not read, libheif's heif-
convert to a Y plane. A and B run in turns. Wall and processor time are medians; the ratio is of
each pair, with its quartiles. Memory is the largest sum of the resident sizes of all processes
of a run, looked at every 2 ms, so what two processes share counts twice. Written files go to a
temporary folder.

The picture: a board-like pattern (three sines, grains of 2 x 2 pixels of +-12 codes, seed 3),
the three channels in proportion 1, 0.8, 0.6; JPEG quality 92. HEIC: one 512 x 512 tile of it,
used for all tiles, in a grid turned a quarter as telephones write."""
import os
import shutil
import subprocess
import sys
import tempfile
import threading
import time

import numpy as np
from PIL import Image

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "../tests/read"))
sys.dont_write_bytecode = True
import heic_boxes

BUILD = os.path.abspath(sys.argv[1])
RUNS = int(sys.argv[2]) if len(sys.argv) > 2 else 11
PIL_READS = """
import sys
import numpy
from PIL import Image
Image.MAX_IMAGE_PIXELS = None
image = Image.open(sys.argv[1])
image.draft("L", image.size)
if image.mode not in ("L", "I;16"):
    image = image.convert("L")
numpy.asarray(image).max()
"""


def board(height, width):
    rng = np.random.default_rng(3)
    y, x = np.arange(height)[:, None], np.arange(width)[None, :]
    grey = 150 + 30 * np.sin(x / 37 + np.sin(y / 300)) + 8 * np.sin(y / 23)
    grains = rng.integers(-12, 13, (height // 2, width // 2))
    grey = np.clip(grey + grains.repeat(2, 0).repeat(2, 1), 0, 255)
    return np.stack([(grey * part).astype("u1") for part in (1, 0.8, 0.6)], -1)


def make(folder):
    """(name, path) of each picture."""
    large = Image.fromarray(board(8700, 11600))
    small = large.crop((0, 0, 4000, 3000))
    for name, image in (("12 MP", small), ("100 MP", large)):
        stem = os.path.join(folder, name.replace(" ", ""))
        image.save(stem + ".jpg", quality=92)
        yield name + " JPEG", stem + ".jpg"
        turned = Image.Exif()
        turned[0x112] = 6
        image.save(stem + "-turned.jpg", quality=92, exif=turned)
        yield name + " JPEG, turned", stem + "-turned.jpg"
        image.save(stem + ".png", compress_level=1)
        yield name + " PNG, RGB", stem + ".png"
        image.save(stem + ".tif", compression="tiff_lzw")
        yield name + " TIFF, RGB, LZW", stem + ".tif"
        deep = np.asarray(image)[..., 0].astype("u2") * 257
        Image.fromarray(deep, "I;16").save(stem + "-16.png", compress_level=1)
        yield name + " PNG, 16-bit grey", stem + "-16.png"
    small.save(folder + "/12MPp.jpg", quality=92, progressive=True)
    yield "12 MP JPEG, progressive", folder + "/12MPp.jpg"
    large.crop((0, 0, 8000, 6000)).save(folder + "/48MPp.jpg", quality=92, progressive=True)
    yield "48 MP JPEG, progressive", folder + "/48MPp.jpg"
    if shutil.which("heif-enc") is None:
        return
    small.crop((0, 0, 512, 512)).save(folder + "/tile.png")
    made = ["heif-enc", "-q", "70", folder + "/tile.png", "-o", folder + "/tile.heic"]
    subprocess.run(made, check=True, stdout=subprocess.DEVNULL)
    with open(folder + "/tile.heic", "rb") as f:
        tile = heic_boxes.coded(f.read())
    for name, columns, rows, size in (
        ("12 MP HEIC", 8, 6, (4032, 3024)),
        ("100 MP HEIC", 23, 17, (11600, 8700)),
    ):
        path = folder + "/" + name.replace(" ", "") + ".heic"
        with open(path, "wb") as f:
            f.write(heic_boxes.grid([tile] * (columns * rows), columns, (512, 512), size, turn=3))
        yield name, path


def resident(pid):
    """Bytes of the process and all below it."""
    try:
        with open("/proc/%d/statm" % pid) as f:
            total = int(f.read().split()[1]) * os.sysconf("SC_PAGE_SIZE")
        with open("/proc/%d/task/%d/children" % (pid, pid)) as f:
            return total + sum(resident(int(child)) for child in f.read().split())
    except (OSError, ValueError):
        return 0


def run(command):
    """Wall and processor seconds, and the largest resident sum in bytes. None: it failed."""
    start, before = time.monotonic(), os.times()
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    peak, ended = [0], threading.Event()

    def watch():
        while not ended.is_set():
            peak[0] = max(peak[0], resident(process.pid))
            time.sleep(0.002)

    watcher = threading.Thread(target=watch)
    watcher.start()
    status = process.wait()
    wall, after = time.monotonic() - start, os.times()
    ended.set()
    watcher.join()
    cpu = (after.children_user + after.children_system) - (
        before.children_user + before.children_system
    )
    return (wall, cpu, peak[0]) if status == 0 else None


def other(path, folder):
    if path.endswith(".heic"):
        return ["heif-convert", path, folder + "/out.y4m"]
    return ["/usr/bin/python3", "-c", PIL_READS, path]


def compare(name, path, folder):
    a, b = [], []
    for _ in range(RUNS):
        a.append(run([BUILD + "/beltwright", "picture", path, "--pgm", "/dev/null"]))
        b.append(run(other(path, folder)))
    if None in a or None in b:
        print("| %s | %s failed |" % (name, "A" if None in a else "B"), flush=True)
        return
    (wall_a, cpu_a, peak_a), (wall_b, cpu_b, peak_b) = (np.median(x, axis=0) for x in (a, b))
    ratios = np.array([x[0] / y[0] for x, y in zip(a, b)])
    low, middle, high = np.percentile(ratios, (25, 50, 75))
    verdict = "inconclusive" if low < 1 < high else ""
    print(
        "| %-24s | %.2f | %.2f | %.0f | %.2f | %.2f | %.0f | %.2f (%.2f to %.2f) %s|"
        % (
            name,
            wall_a,
            cpu_a,
            peak_a / 1e6,
            wall_b,
            cpu_b,
            peak_b / 1e6,
            middle,
            low,
            high,
            verdict,
        ),
        flush=True,
    )


folder = tempfile.mkdtemp(prefix="beltwright-bench-")
try:
    print("%d runs each; load before: %.1f" % (RUNS, os.getloadavg()[0]))
    print("| picture | A wall s | A cpu s | A MB | B wall s | B cpu s | B MB | A/B wall |")
    print("| --- | --- | --- | --- | --- | --- | --- | --- |")
    for name, path in make(folder):
        compare(name, path, folder)
    print("load after: %.1f" % os.getloadavg()[0])
finally:
    shutil.rmtree(folder)
