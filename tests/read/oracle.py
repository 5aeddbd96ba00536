#!/usr/bin/python3
# oracle.py - every format, depth and orientation, compared pixel by pixel.
# SPDX-License-Identifier: GPL-3.0-or-later
"""usage: oracle.py BUILD-FOLDER

PNG and TIFF are written here byte by byte from known numbers, so the truth needs no decoder;
python3-pil reads the same files where it can and must agree. JPEG is compared with python3-pil's
own luma (exact) and, for 4:4:4, with the luma of its RGB (within 1). HEIC is compared with heif-
convert's Y plane (exact). Turning is done twice over: by python3-pil and by numpy. Rounding
allowed: none, but where "within" is said."""
import io
import json
import os
import shutil
import subprocess
import sys
import tempfile

try:
    import numpy as np
    from PIL import Image, ImageOps
except ImportError:
    print("ok - oracle # SKIP python3-pil and python3-numpy are not installed")
    sys.exit(0)

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
import heic_boxes
import make_pictures as mk

BUILD = sys.argv[1]
FOLDER = tempfile.mkdtemp(prefix="beltwright-oracle-")
passed = failed = 0


def check(good, name, why=""):
    global passed, failed
    if good:
        passed += 1
    else:
        failed += 1
        print("FAILED: %s %s" % (name, why))


def luma(rgb):
    """Rec. 601 luma of codes, rounded to nearest, in exact integers."""
    r, g, b = (rgb[..., i].astype("i8") for i in range(3))
    return (19595 * r + 38470 * g + 7471 * b + 32768) >> 16


def turn(a, orientation):
    """EXIF orientation 1-8 undone, by numpy."""
    return {
        1: a,
        2: a[:, ::-1],
        3: a[::-1, ::-1],
        4: a[::-1],
        5: a.T,
        6: a.T[:, ::-1],
        7: a.T[::-1, ::-1],
        8: a.T[::-1],
    }[orientation]


def read_pgm(data):
    w, h, top = map(int, data.split(maxsplit=4)[1:4])
    at = len(b"P5\n%d %d\n%d\n" % (w, h, top))
    return np.frombuffer(data[at:], "u1" if top == 255 else ">u2").reshape(h, w)


def decode(path):
    run = subprocess.run(
        [BUILD + "/beltwright", "picture", path, "--pgm", "-"], capture_output=True
    )
    if run.returncode != 0:
        return None, run.stderr.decode(errors="replace")
    return read_pgm(run.stdout), ""


def about(path):
    run = subprocess.run([BUILD + "/beltwright", "picture", path, "--json"], capture_output=True)
    return json.loads(run.stdout) if run.returncode == 0 else {}


def same(name, data, truth, within=0):
    path = os.path.join(FOLDER, name)
    with open(path, "wb") as f:
        f.write(data)
    got, why = decode(path)
    if got is None:
        return check(False, name, why)
    if got.shape != truth.shape:
        return check(False, name, "size %s, should be %s" % (got.shape, truth.shape))
    off = np.abs(got.astype("i8") - truth.astype("i8")).max()
    check(off <= within, name, "differs by up to %d" % off)
    return path


def pil_agrees(name, data, truth, within=0):
    """Our writer wrote what it means to: python3-pil reads the same."""
    im = Image.open(io.BytesIO(data))
    if im.mode in ("P", "1"):
        im = im.convert("RGB" if im.mode == "P" else "L")
    a = np.array(im)
    a = a[..., 0] if a.ndim == 3 and a.shape[2] in (2,) else luma(a) if a.ndim == 3 else a
    check(np.abs(a.astype("i8") - truth.astype("i8")).max() <= within, name + " by python3-pil")


def jpeg_bytes(im, **options):
    out = io.BytesIO()
    im.save(out, "JPEG", **options)
    return out.getvalue()


rng = np.random.default_rng(20240501)
H, W = 75, 118  # neither a multiple of 8 nor of each other


def noise(channels, top):
    """Random codes on a slope, all of 0..top among them."""
    shape = (H, W, channels) if channels > 1 else (H, W)
    a = rng.integers(0, top + 1, shape)
    a.flat[:2] = 0, top
    return a


def smooth(channels):
    y, x = np.mgrid[0:H, 0:W]
    planes = [128 + 90 * np.sin(x / (9 + 3 * c) + y / (14 - 2 * c)) for c in range(channels)]
    return np.stack(planes, -1).squeeze().round().astype("u1")


def test_png():
    for interlaced in (False, True):
        tag = "-interlaced" if interlaced else ""
        for bits in (1, 2, 4, 8, 16):
            a = noise(1, 2**bits - 1)
            truth = a * (255 // (2**bits - 1)) if bits < 8 else a
            data = mk.png(a, bits, 0, interlaced=interlaced)
            same("grey%d%s.png" % (bits, tag), data, truth)
            if bits in (1, 8, 16):
                pil_agrees("grey%d%s.png" % (bits, tag), data, truth)
            if bits <= 8:
                palette = rng.integers(0, 256, (2**bits, 3))
                data = mk.png(a, bits, 3, palette=palette, interlaced=interlaced)
                same("palette%d%s.png" % (bits, tag), data, luma(palette[a]))
                pil_agrees("palette%d%s.png" % (bits, tag), data, luma(palette[a]))
                clear = [(b"tRNS", bytes(range(2**bits)))]
                same(
                    "palette%d-clear%s.png" % (bits, tag),
                    mk.png(a, bits, 3, palette=palette, before=clear, interlaced=interlaced),
                    luma(palette[a]),
                )
        for bits in (8, 16):
            a = noise(4, 2**bits - 1)
            same(
                "rgb%d%s.png" % (bits, tag),
                mk.png(a[..., :3], bits, 2, interlaced=interlaced),
                luma(a),
            )
            same("rgba%d%s.png" % (bits, tag), mk.png(a, bits, 6, interlaced=interlaced), luma(a))
            same(
                "greya%d%s.png" % (bits, tag),
                mk.png(a[..., :2], bits, 4, interlaced=interlaced),
                a[..., 0],
            )
            if bits == 8:
                pil_agrees(
                    "rgb8%s.png" % tag, mk.png(a[..., :3], bits, 2, interlaced=interlaced), luma(a)
                )
                pil_agrees("rgba8%s.png" % tag, mk.png(a, bits, 6, interlaced=interlaced), luma(a))
        for size in ((1, 1), (1, 9), (9, 1), (3, 5), (8, 8)):
            a = rng.integers(0, 256, size)
            same("size%dx%d%s.png" % (*size, tag), mk.png(a, 8, 0, interlaced=interlaced), a)


def test_orientation_png_tiff():
    for o in range(1, 9):
        for bits in (8, 16):
            a = noise(3, 2**bits - 1)
            truth = turn(luma(a), o)
            block = [(b"eXIf", mk.exif(orientation=o, big=o % 2 == 0))]
            same("turn%d-%d.png" % (o, bits), mk.png(a, bits, 2, before=block), truth)
            same("turn%d-%d-late.png" % (o, bits), mk.png(a, bits, 2, after=block), truth)
            same(
                "turn%d-%d-interlaced.png" % (o, bits),
                mk.png(a, bits, 2, before=block, interlaced=True),
                truth,
            )
            same("turn%d-%d.tif" % (o, bits), mk.tiff(a, bits, orientation=o), truth)
            same(
                "turn%d-%d-tiled.tif" % (o, bits),
                mk.tiff(a, bits, orientation=o, tile=(32, 16)),
                truth,
            )
        # python3-pil undoes it the same way.
        a = noise(1, 255)
        data = mk.png(a, 8, 0, before=[(b"eXIf", mk.exif(orientation=o))])
        upright = np.array(ImageOps.exif_transpose(Image.open(io.BytesIO(data))))
        check(np.array_equal(upright, turn(a, o)), "turn%d by python3-pil" % o)
        for size in ((1, 7), (7, 1), (65, 3), (3, 65), (128, 64)):
            a = rng.integers(0, 256, size)
            same(
                "turn%d-%dx%d.png" % (o, *size),
                mk.png(a, 8, 0, before=[(b"eXIf", mk.exif(orientation=o))]),
                turn(a, o),
            )


def test_tiff():
    for bits in (8, 16):
        top = 2**bits - 1
        for channels in (1, 2, 3, 4):
            a = noise(channels, top)
            truth = a if channels == 1 else a[..., 0] if channels == 2 else luma(a)
            for name, options in (
                ("strip", {}),
                ("strips", {"rows_per_strip": 7}),
                ("zip", {"compression": 8}),
                ("tiles", {"tile": (48, 32)}),
                ("tiles-zip", {"tile": (16, 64), "compression": 8}),
                ("motorola", {"big": True, "rows_per_strip": 9}),
                ("bigtiff", {"bigtiff": True}),
                ("planes", {"planar": 2, "rows_per_strip": 10}),
                ("planes-zip", {"planar": 2, "rows_per_strip": 13, "compression": 8}),
                ("planes-tiles", {"planar": 2, "tile": (32, 32)}),
            ):
                if channels == 1 and "planes" in name:
                    continue
                name = "%d-%d-%s.tif" % (bits, channels, name)
                same(name, mk.tiff(a, bits, **options), truth)
        a = noise(1, top)
        same("%d-negative.tif" % bits, mk.tiff(a, bits, photometric=0), top - a)
    a = noise(3, 255)
    pil_agrees("8-3.tif", mk.tiff(a), luma(a))
    pil_agrees("8-3-tiles.tif", mk.tiff(a, tile=(16, 16)), luma(a))
    deep = noise(1, 65535)
    pil_agrees("16-1.tif", mk.tiff(deep, 16), deep)
    # The compressions that only a library writes, by python3-pil.
    for mode, a in (("L", noise(1, 255)), ("RGB", a), ("I;16", noise(1, 65535))):
        im = Image.fromarray(a.astype("u2" if mode == "I;16" else "u1"), mode)
        truth = a if a.ndim == 2 else luma(a)
        for compression in ("raw", "tiff_lzw", "tiff_adobe_deflate", "tiff_deflate", "packbits"):
            for info in ({}, {317: 2}):
                if (
                    info
                    and compression not in ("tiff_lzw", "tiff_adobe_deflate")
                    or (info and mode == "I;16")
                ):
                    continue
                out = io.BytesIO()
                im.save(out, "TIFF", compression=compression, tiffinfo=info)
                same(
                    "pil-%s-%s%s.tif"
                    % (mode.replace(";", ""), compression, "-predictor" if info else ""),
                    out.getvalue(),
                    truth,
                )
    for mode in ("L", "RGB"):
        out = io.BytesIO()
        Image.fromarray(smooth(1 if mode == "L" else 3)).save(
            out, "TIFF", compression="jpeg", quality=90
        )
        a = np.array(Image.open(io.BytesIO(out.getvalue())))
        same("pil-%s-jpeg.tif" % mode, out.getvalue(), a if a.ndim == 2 else luma(a))


def pil_luma(data):
    im = Image.open(io.BytesIO(data))
    im.draft("L", im.size)
    check(im.mode == "L", "python3-pil gives luma")
    return im


def test_jpeg():
    colour, grey = Image.fromarray(smooth(3)), Image.fromarray(smooth(1))
    for name, im, options in (
        ("grey", grey, {}),
        ("444", colour, {"subsampling": 0}),
        ("422", colour, {"subsampling": 1}),
        ("420", colour, {"subsampling": 2}),
        ("progressive", colour, {"progressive": True}),
        ("progressive-grey", grey, {"progressive": True}),
        ("optimised", colour, {"optimize": True}),
        ("low", colour, {"quality": 20}),
        ("high", colour, {"quality": 100, "subsampling": 0}),
    ):
        for o in range(1, 9):
            data = mk.jpeg_with(
                jpeg_bytes(im, **{"quality": 85, **options}),
                [(0xE1, b"Exif\0\0" + mk.exif(orientation=o, big=o > 4))],
            )
            same("%s-%d.jpg" % (name, o), data, np.array(ImageOps.exif_transpose(pil_luma(data))))
        if options.get("subsampling") == 0:
            rgb = np.array(Image.open(io.BytesIO(data)).convert("RGB"))
            inside = ((rgb > 0) & (rgb < 255)).all(axis=2)
            path = os.path.join(FOLDER, "plain.jpg")
            with open(path, "wb") as f:
                f.write(jpeg_bytes(im, **{"quality": 85, **options}))
            got = decode(path)[0].astype("i8")
            off = np.abs(got - luma(rgb))[inside].max()
            check(off <= 1, "%s.jpg luma of RGB within 1" % name, "differs by %d" % off)
    # The same bytes declared to be RGB (Adobe marker, transform 0): luma comes of three channels.
    plain = jpeg_bytes(colour, quality=90, subsampling=0)
    assert plain[2:4] == b"\xff\xe0"
    data = mk.jpeg_with(plain[:2] + plain[20:], [(0xEE, b"Adobe\0\x64\0\0\0\0\0")])
    same("rgb.jpg", data, luma(np.array(Image.open(io.BytesIO(data)))))
    for size in ((1, 1), (7, 9), (16, 16), (17, 33), (1, 200)):
        data = jpeg_bytes(Image.fromarray(rng.integers(0, 256, (*size, 3)).astype("u1")))
        same("size%dx%d.jpg" % size, data, np.array(pil_luma(data)))


def heif(args, source, out):
    return (
        subprocess.run(["heif-enc", *args, source, "-o", out], capture_output=True).returncode == 0
    )


def y_plane(path):
    """The Y plane as heif-convert (libheif's own decoding and turning) writes it."""
    out = path + ".y4m"
    if subprocess.run(["heif-convert", path, out], capture_output=True).returncode != 0:
        return None
    data = open(out, "rb").read()
    head, body = data[: data.index(b"\n")], data[data.index(b"FRAME\n") + 6 :]
    w, h = (int(next(p[1:] for p in head.split()[1:] if p[:1] == k)) for k in (b"W", b"H"))
    return np.frombuffer(body[: w * h], "u1").reshape(h, w)


def heic_check(name, path, within=0):
    truth = y_plane(path)
    if truth is None:
        return check(False, name, "heif-convert does not read it")
    same(name, open(path, "rb").read(), truth, within)


def test_heic():
    if shutil.which("heif-enc") is None or shutil.which("heif-convert") is None:
        print("ok - heic # SKIP libheif-examples is not installed")
        return
    big = Image.fromarray(np.kron(smooth(3), np.ones((4, 4, 1), "u1")))
    source, out = os.path.join(FOLDER, "heic-source.png"), os.path.join(FOLDER, "heic-made.heic")
    for size in ((256, 192), (300, 202), (65, 33), (64, 64)):
        big.crop((0, 0, *size)).save(source)
        for args in (["-q", "50"], ["-q", "90"], ["-L"]):
            if heif(args, source, out):
                heic_check("%dx%d%s.heic" % (*size, "".join(args)), out)
    big.convert("L").crop((0, 0, 200, 100)).save(source)
    if heif([], source, out):
        heic_check("grey.heic", out)
    photo = os.path.join(FOLDER, "heic-source.jpg")
    for o in range(1, 9):
        with open(photo, "wb") as f:
            f.write(
                mk.jpeg_with(
                    jpeg_bytes(big.crop((0, 0, 200, 120)), quality=95),
                    [(0xE1, b"Exif\0\0" + mk.exif(orientation=o))],
                )
            )
        if heif(["-q", "80"], photo, out):
            heic_check("turn%d.heic" % o, out)
    # What telephones write: tiles, turned by the boxes. The Y planes of the tiles are known.
    tiles, planes, side = [], [], 128
    for y in (0, side):
        for x in (0, side, 2 * side):
            big.crop((x, y, x + side, y + side)).save(source)
            if not heif(["-q", "70"], source, out):
                return check(False, "heif-enc")
            tiles.append(heic_boxes.coded(open(out, "rb").read()))
            planes.append(y_plane(out))
    whole = np.vstack([np.hstack(planes[:3]), np.hstack(planes[3:])])
    for size in ((384, 256), (300, 200), (257, 130)):
        shown = whole[: size[1], : size[0]]
        for turns in (None, 0, 1, 2, 3):
            for mirror in (None, 0, 1):
                data = heic_boxes.grid(tiles, 3, (side, side), size, turns, mirror)
                truth = np.rot90(shown, turns or 0)
                truth = truth if mirror is None else truth[:, ::-1] if mirror else truth[::-1]
                path = same("grid%dx%d-turn%s-mirror%s.heic" % (*size, turns, mirror), data, truth)
                if path and size == (300, 200):
                    png = path + ".png"
                    subprocess.run(["heif-convert", path, png], capture_output=True)
                    off = np.abs(
                        luma(np.array(Image.open(png).convert("RGB"))) - truth.astype("i8")
                    )
                    check(
                        np.median(off) <= 1,
                        "grid turn %s mirror %s by heif-convert" % (turns, mirror),
                        np.median(off),
                    )
    one = lambda **more: heic_boxes.grid(tiles, 3, (side, side), (384, 256), **more)
    for w, h, x, y in (
        (384, 256, 0, 0),
        (300, 200, 0, 0),
        (300, 200, 42, 28),
        (300, 200, -42, -28),
        (11, 7, 100, -90),
    ):
        left, top = (384 - w) // 2 + x, (256 - h) // 2 + y
        same(
            "crop%dx%d+%d+%d.heic" % (w, h, x, y),
            one(crop=(w, h, (x, 1), (y, 1)), turn=1),
            np.rot90(whole[top : top + h, left : left + w]),
        )
    says("narrow.heic", one(colour=(1, 13, 6, 0)), narrow_range=True, transfer="srgb")
    says("full.heic", one(colour=(1, 13, 6, 1)), narrow_range=False)
    says("rec709.heic", one(colour=(1, 1, 1, 1)), transfer="rec709")
    says("linear.heic", one(colour=(1, 8, 1, 1)), transfer="linear")
    # Turned by EXIF alone is not turned; time and resolution are taken from there.
    says(
        "exif.heic",
        one(exif=mk.exif(6, 300, "2024:05:01 10:20:30", place=True)),
        orientation=1,
        width=384,
        taken_at="2024-05-01T10:20:30",
        resolution__x_per_m=300 / 0.0254,
        resolution__from="exif",
    )
    says("exif-turned.heic", one(turn=3, exif=mk.exif(6)), orientation=6, width=256, height=384)
    deep = (np.zeros((H, W, 3)) + np.linspace(0, 65535, H * W).reshape(H, W, 1)).astype("u2")
    with open(source, "wb") as f:
        f.write(mk.png(deep, 16, 2))
    if heif(["-b", "10", "-L", "-p", "chroma=444"], source, out):
        got = decode(out)[0]
        # Ten bits of a grey ramp, lossless but for the encoder's own change to Y.
        check(
            got is not None and np.abs(got.astype("i8") - deep[..., 0]).max() <= 2 * 65535 // 1023,
            "10-bit.heic within 2 of 1023",
        )
        a = about(out)
        check(a.get("file_bits") == 10 and a.get("code_bits") == 16, "10-bit.heic depth", a)


def says(name, data, **expected):
    path = os.path.join(FOLDER, name)
    with open(path, "wb") as f:
        f.write(data)
    a = about(path)
    for key, value in expected.items():
        got = a
        for part in key.split("__"):
            got = got.get(part) if isinstance(got, dict) else None
        good = (
            abs(got - value) < 1e-6 * value
            if isinstance(value, float) and got is not None
            else got == value
        )
        check(good, name, "%s is %r, should be %r" % (key, got, value))
    return open(path, "rb").read(), a


def test_facts():
    grey = Image.fromarray(smooth(1))
    dpi600 = 600 / 0.0254
    block = mk.exif(6, 300, "2024:05:01 10:20:30", "+02:00", place=True)
    plain = jpeg_bytes(grey)
    says("no-scale.jpg", plain, resolution=None, taken_at=None, transfer="srgb", jail__tier="full")
    says(
        "jfif.jpg",
        jpeg_bytes(grey, dpi=(600, 600)),
        resolution__x_per_m=dpi600,
        resolution__from="jfif",
        resolution__placeholder=False,
    )
    says("placeholder.jpg", jpeg_bytes(grey, dpi=(72, 72)), resolution__placeholder=True)
    _, a = says(
        "exif.jpg",
        mk.jpeg_with(plain, [(0xE1, b"Exif\0\0" + block)]),
        resolution__x_per_m=300 / 0.0254,
        resolution__from="exif",
        orientation=6,
        width=H,
        height=W,
        taken_at="2024-05-01T10:20:30+02:00",
    )
    check(
        "SECRET" not in json.dumps(a) and "gps" not in json.dumps(a).lower(),
        "no place is passed on",
    )
    says(
        "jfif-and-exif.jpg",
        mk.jpeg_with(jpeg_bytes(grey, dpi=(600, 600)), [(0xE1, b"Exif\0\0" + block)]),
        resolution__from="jfif",
        resolution__x_per_m=dpi600,
    )
    a = smooth(1)
    phys = np.array([40000, 20000], ">u4").tobytes() + b"\1"
    says(
        "phys.png",
        mk.png(a, 8, 0, before=[(b"pHYs", phys)]),
        resolution__x_per_m=40000.0,
        resolution__y_per_m=20000.0,
        resolution__from="phys",
    )
    says(
        "phys-turned.png",
        mk.png(a, 8, 0, before=[(b"pHYs", phys), (b"eXIf", mk.exif(6))]),
        resolution__x_per_m=20000.0,
        resolution__y_per_m=40000.0,
    )
    says(
        "phys-unknown.png", mk.png(a, 8, 0, before=[(b"pHYs", phys[:-1] + b"\0")]), resolution=None
    )
    says(
        "linear.png",
        mk.png(a, 8, 0, before=[(b"gAMA", (100000).to_bytes(4, "big"))]),
        transfer="linear",
    )
    says(
        "gamma.png",
        mk.png(a, 8, 0, before=[(b"gAMA", (55556).to_bytes(4, "big"))]),
        transfer="gamma",
        gamma=100000 / 55556,
    )
    says(
        "gamma-srgb.png",
        mk.png(a, 8, 0, before=[(b"sRGB", b"\0"), (b"gAMA", (45455).to_bytes(4, "big"))]),
        transfer="srgb",
    )
    says(
        "dpi.tif", mk.tiff(a, dpi=1200), resolution__x_per_m=1200 / 0.0254, resolution__from="tiff"
    )
    says("two.tif", mk.tiff(a), more_pictures=False, file_channels=1, file_bits=8)
    says(
        "alpha.png",
        mk.png(noise(4, 65535), 16, 6),
        transparency=True,
        file_bits=16,
        file_channels=4,
        code_bits=16,
    )
    says("interlaced.png", mk.png(a, 8, 0, interlaced=True), progressive=True)


def main():
    test_png()
    test_orientation_png_tiff()
    test_tiff()
    test_jpeg()
    test_heic()
    test_facts()
    print("%d passed, %d failed" % (passed, failed))
    if failed == 0:
        shutil.rmtree(FOLDER)
    else:
        print("files kept in %s" % FOLDER, file=sys.stderr)
    return 1 if failed else 0


sys.exit(main())
