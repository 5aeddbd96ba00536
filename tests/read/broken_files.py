# broken_files.py - small broken and hostile picture files, each with what must be said of it.
# SPDX-License-Identifier: GPL-3.0-or-later
"""make() gives (name, bytes, words that must stand in the one line). harmless() gives (name, bytes,
words of the answer) of files that look dangerous or poor and must be read all the same."""
import io
import os
import struct
import subprocess
import tempfile
import zlib

import numpy as np
from PIL import Image

import heic_boxes as hb
import make_pictures as mk

EARLY = "ends early"


def jpeg(mode="RGB", size=(160, 120), **options):
    y, x = np.mgrid[0 : size[1], 0 : size[0]]
    a = (128 + 60 * np.sin(x / 7) + 50 * np.sin(y / 11)).astype("u1")
    im = Image.fromarray(a).convert(mode)
    out = io.BytesIO()
    im.save(out, "JPEG", quality=85, **options)
    return out.getvalue()


def patched(data, at, new):
    return data[:at] + new + data[at + len(new) :]


def sof(data):
    """Place of the frame header's marker."""
    at = 2
    while data[at + 1] not in (0xC0, 0xC1, 0xC2):
        at += 2 + struct.unpack(">H", data[at + 2 : at + 4])[0]
    return at


def sos(data):
    at = 2
    while data[at + 1] != 0xDA:
        at += 2 + struct.unpack(">H", data[at + 2 : at + 4])[0]
    return at


def many_scans():
    """A valid progressive JPEG that sends each bit of each coefficient in a scan of its own: a small file that
    keeps a decoder busy. Each scan says "nothing here" in one bit."""

    def part(marker, body):
        return struct.pack(">BBH", 0xFF, marker, len(body) + 2) + body

    out = (
        b"\xff\xd8"
        + part(0xDB, b"\0" + b"\1" * 64)
        + part(0xC2, struct.pack(">BHHBBBB", 8, 1000, 1000, 1, 1, 0x11, 0))
    )
    table = bytes([1] + [0] * 15) + b"\0"  # one code of one bit, for symbol 0
    out += part(0xC4, b"\x00" + table) + part(0xC4, b"\x10" + table)
    blocks = bytes(125 * 125 // 8) + b"\x7f"  # one bit a block, the rest of the last byte ones
    out += part(0xDA, bytes([1, 1, 0, 0, 0, 0])) + blocks
    for k in range(1, 64):
        for low in range(13, -1, -1):
            out += (
                part(0xDA, bytes([1, 1, 0, k, k, (low + 1 if low < 13 else 0) << 4 | low])) + blocks
            )
    return out + b"\xff\xd9"


def jpegs():
    good, progressive = jpeg(), jpeg(progressive=True)
    f, s = sof(good), sos(good)
    yield "one-byte.jpg", good[:1], "no picture of a kind"
    yield "two-bytes.jpg", good[:2], "no picture of a kind"
    for n in (
        3,
        11,
        30,
        f + 3,
        f + 12,
        s - 40,
        s + 4,
        s + 20,
        len(good) // 2,
        len(good) - 40,
        len(good) - 2,
    ):
        yield "cut-%d.jpg" % n, good[:n], EARLY
    for n in (sos(progressive) + 30, len(progressive) // 2, len(progressive) - 3):
        yield "cut-progressive-%d.jpg" % n, progressive[:n], EARLY
    yield "60000.jpg", patched(good, f + 5, struct.pack(">HH", 60000, 60000)), "60000 x 60000"
    yield "60000-progressive.jpg", patched(
        progressive, sof(progressive) + 5, struct.pack(">HH", 60000, 60000)
    ), "60000 x 60000"
    yield "progressive-100-megapixels.jpg", patched(
        progressive, sof(progressive) + 5, struct.pack(">HH", 10000, 10000)
    ), "save it as plain (baseline)"
    yield "no-height.jpg", patched(good, f + 5, b"\0\0"), "damaged or of a kind not read here"
    yield "no-width.jpg", patched(good, f + 7, b"\0\0"), "damaged or of a kind not read here"
    yield "12-bit.jpg", patched(good, f + 4, b"\x0c"), "precision 12"
    yield "lossless.jpg", patched(good, f + 1, b"\xc3"), "damaged or of a kind not read here"
    yield "no-scan.jpg", good[:s] + b"\xff\xd9", "damaged or of a kind not read here"
    yield "zeros-in-the-scan.jpg", patched(good, s + 200, b"\0" * 100), "damaged"
    yield "marker-in-the-scan.jpg", patched(good, s + 200, b"\xff\xc4"), "damaged"
    yield "rubbish-in-the-tables.jpg", patched(
        good, good.index(b"\xff\xc4") + 5, b"\xff" * 16
    ), "damaged"
    yield "two-channels.jpg", good[: f + 9] + b"\x02" + good[
        f + 10 :
    ], "damaged or of a kind not read here"
    yield "cmyk.jpg", jpeg("CMYK"), "printing colours (CMYK)"
    yield "882-scans.jpg", many_scans(), "more than 200 scans"
    yield "side-parts-only.jpg", good[:2] + struct.pack(
        ">BBH", 255, 0xE1, 65535
    ) + b"x" * 65533, EARLY


def pngs():
    a = (np.add.outer(np.arange(90), np.arange(130)) % 251).astype("u1")
    good = mk.png(a, 8, 0)
    rgb = mk.png(np.stack([a] * 3, -1), 8, 2)
    idat = good.index(b"IDAT")
    size = struct.unpack(">I", good[idat - 4 : idat])[0]
    for n in (
        8,
        12,
        20,
        33,
        40,
        idat + 4,
        idat + 60,
        len(good) // 2,
        len(good) - 12,
        len(good) - 1,
    ):
        yield "cut-%d.png" % n, good[:n], EARLY
    yield "cut-in-signature.png", good[:7], "no picture of a kind"
    yield "60000.png", good[:8] + mk.chunk(
        b"IHDR", struct.pack(">IIBBBBB", 60000, 60000, 8, 0, 0, 0, 0)
    ) + good[33:], "60000 x 60000"
    yield "2-billion.png", good[:8] + mk.chunk(
        b"IHDR", struct.pack(">IIBBBBB", 2**31 - 1, 2**31 - 1, 16, 6, 0, 0, 0)
    ) + good[33:], "PNG is damaged"
    yield "no-pixels.png", good[:8] + mk.chunk(
        b"IHDR", struct.pack(">IIBBBBB", 0, 90, 8, 0, 0, 0, 0)
    ) + good[33:], "PNG is damaged"
    bomb = zlib.compress(bytes(30000 * 100), 9)
    yield "bomb.png", good[:8] + mk.chunk(
        b"IHDR", struct.pack(">IIBBBBB", 30000, 30000, 8, 0, 0, 0, 0)
    ) + mk.chunk(b"IDAT", bomb * 4) + mk.chunk(b"IEND", b""), "30000 x 30000"
    yield "bad-crc-header.png", patched(good, 29, b"\0\0\0\0"), "PNG is damaged"
    yield "bad-crc-pixels.png", patched(good, idat + 4 + size, b"\1\2\3\4"), "PNG is damaged"
    yield "bad-crc-side.png", good[:33] + mk.chunk(b"pHYs", b"\0\0\1\0\0\0\1\0\1", 1234) + good[
        33:
    ], "PNG is damaged"
    yield "bad-pixels.png", good[: idat - 4] + mk.chunk(
        b"IDAT", b"\x78\x9c" + b"\xff" * 200
    ) + mk.chunk(b"IEND", b""), "PNG is damaged"
    yield "too-few-rows.png", good[:33] + mk.chunk(
        b"IDAT", zlib.compress(bytes(131 * 40))
    ) + mk.chunk(b"IEND", b""), "PNG is damaged"
    yield "no-pixels-at-all.png", good[:33] + mk.chunk(b"IEND", b""), "PNG is damaged"
    yield "no-palette.png", mk.png(a % 4, 2, 3), "PNG is damaged"
    yield "huge-chunk.png", good[:33] + b"\xff\xff\xff\xffIDAT" + good[idat + 4 :], "PNG is damaged"
    yield "endless-chunks.png", good[:33] + mk.chunk(b"tEXt", b"k\0v") * 20000 + good[
        33:
    ], "side chunks"
    yield "endless-unknown-chunks.png", good[:33] + mk.chunk(b"abCd", b"") * 20000 + good[
        33:
    ], "side chunks"
    yield "animated.png", good[:33] + mk.chunk(b"acTL", struct.pack(">II", 2, 0)) + good[
        33:
    ], "animated"
    yield "strange-depth.png", good[:8] + mk.chunk(
        b"IHDR", struct.pack(">IIBBBBB", 130, 90, 3, 0, 0, 0, 0)
    ) + good[33:], "PNG is damaged"
    yield "unknown-filter.png", rgb[:33] + mk.chunk(
        b"IDAT", zlib.compress(b"\x09" * (391 * 90))
    ) + mk.chunk(b"IEND", b""), "PNG is damaged"


def tag(data, number, kind, value):
    """The little-endian TIFF with the value of a tag replaced."""
    at = struct.unpack("<I", data[4:8])[0]
    for i in range(struct.unpack("<H", data[at : at + 2])[0]):
        p = at + 2 + 12 * i
        if struct.unpack("<H", data[p : p + 2])[0] == number:
            return patched(data, p + 2, struct.pack("<HI", kind, 1) + struct.pack("<I", value))
    raise KeyError(number)


def tiffs():
    a = (np.add.outer(np.arange(90), np.arange(130)) % 251).astype("u1")
    rgb = np.stack([a, a[::-1], a[:, ::-1]], -1)
    good, strips = mk.tiff(a), mk.tiff(rgb, rows_per_strip=8, compression=8)
    directory = struct.unpack("<I", good[4:8])[0]
    for n in (4, 8, 200, directory, directory + 1, directory + 30):
        yield "cut-%d.tif" % n, good[:n], "TIFF"
    # The directory moved to the front over the pixels: all its places are wrong.
    front = mk.tiff(rgb)
    yield "directory-moved.tif", front[:4] + struct.pack("<I", 8) + front[
        struct.unpack("<I", front[4:8])[0] :
    ], "TIFF"
    yield "60000.tif", tag(tag(good, 256, 4, 60000), 257, 4, 60000), "60000 x 60000"
    yield "4-billion-wide.tif", tag(good, 256, 4, 0xFFFFFFFF), "TIFF"
    yield "no-width.tif", tag(good, 256, 4, 0), "TIFF"
    yield "no-samples.tif", tag(good, 277, 3, 0), "TIFF"
    yield "65535-samples.tif", tag(good, 277, 3, 65535), "TIFF"
    yield "1-bit.tif", mk.tiff(np.packbits(a > 100, axis=1), extra=[]).replace(
        struct.pack("<HHIHH", 258, 3, 1, 8, 0), struct.pack("<HHIHH", 258, 3, 1, 1, 0)
    ), "1 bits a channel"
    yield "12-bit.tif", tag(good, 258, 3, 12), "12 bits a channel"
    yield "32-bit-float.tif", tag(mk.tiff(a, extra=[(339, 3, [3])]), 258, 3, 32), "bits a channel"
    yield "signed.tif", mk.tiff(a, extra=[(339, 3, [2])]), "signed or fractional"
    yield "palette.tif", mk.tiff(a, photometric=3, extra=[(320, 3, [0] * 768)]), "palette"
    yield "cmyk.tif", mk.tiff(np.stack([a] * 4, -1), photometric=5), "printing colours (CMYK)"
    yield "lab.tif", mk.tiff(rgb, photometric=8), "colour space"
    yield "raw-camera.tif", mk.tiff(a, extra=[(50706, 1, [1, 4, 0, 0])]), "raw camera file"
    yield "preview-first.tif", mk.tiff(a, extra=[(254, 4, [1])]), "preview"
    yield "fax.tif", tag(good, 259, 3, 4), "compressed in a way not read here"
    yield "unknown-compression.tif", tag(good, 259, 3, 60000), "compressed in a way not read here"
    yield "strip-outside.tif", tag(good, 273, 4, 1 << 30), "TIFF"
    yield "zip-rubbish.tif", patched(strips, 8, b"\xff" * 300), "TIFF"
    yield "huge-tiles.tif", mk.tiff(a, tile=(16, 16)).replace(
        struct.pack("<HHII", 322, 4, 1, 16), struct.pack("<HHII", 322, 4, 1, 0x10000000)
    ), "TIFF"
    yield "no-directory.tif", patched(good, 4, struct.pack("<I", 0)), "TIFF"
    yield "directory-outside.tif", patched(good, 4, struct.pack("<I", 0x7FFFFFFF)), "TIFF"
    yield "zip-bomb.tif", mk.tiff(np.zeros((8, 8), "u1"), compression=8).replace(
        struct.pack("<HHII", 257, 4, 1, 8), struct.pack("<HHII", 257, 4, 1, 30000)
    ).replace(
        struct.pack("<HHII", 256, 4, 1, 8), struct.pack("<HHII", 256, 4, 1, 30000)
    ), "30000 x 30000"


def heics():
    folder = tempfile.mkdtemp()
    source, out = folder + "/s.png", folder + "/s.heic"
    jpeg_im = Image.open(io.BytesIO(jpeg(size=(128, 128))))
    jpeg_im.save(source)
    if subprocess.run(["heif-enc", source, "-o", out], capture_output=True).returncode != 0:
        return
    with open(out, "rb") as f:
        good = f.read()
    os.unlink(source)
    os.unlink(out)
    os.rmdir(folder)
    tile = hb.coded(good)
    grid = hb.grid([tile] * 4, 2, (128, 128), (256, 256))
    for n in (12, 20, 40, 100, 300, good.index(b"mdat") + 4, len(good) - 60, len(good) - 1):
        yield "cut-%d.heic" % n, good[:n], EARLY
    yield "cut-grid.heic", grid[:-100], EARLY
    yield "sequence.heic", patched(good, 8, b"hevc"), "sequence"
    yield "avif.heic", patched(good, 8, b"avif"), "AVIF"
    yield "video.heic", patched(good, 8, b"qt  "), "video"
    yield "no-settings.heic", good.replace(b"hvcC", b"xxxx"), "lacks its settings"
    yield "no-size.heic", good.replace(b"ispe", b"xxxx"), "does not say how large"
    yield "not-hevc.heic", good.replace(b"hvc1", b"av01"), "not coded as HEVC"
    yield "no-places.heic", good.replace(b"iloc", b"xxxx"), "lacks a part of its directory"
    yield "size-lie.heic", good.replace(
        struct.pack(">II", 128, 128), struct.pack(">II", 256, 128)
    ), "size stated"
    yield "60000.heic", good.replace(
        struct.pack(">II", 128, 128), struct.pack(">II", 60000, 60000)
    ), "60000 x 60000"
    yield "4-billion.heic", good.replace(struct.pack(">II", 128, 128), b"\xff" * 8), "4294967295"
    yield "60000-grid.heic", hb.grid([tile] * 4, 2, (30000, 30000), (60000, 60000)), "30000 x 30000"
    yield "grid-lacks-tiles.heic", grid.replace(
        struct.pack(">BBBBII", 0, 1, 1, 1, 256, 256), struct.pack(">BBBBII", 0, 1, 2, 1, 256, 256)
    ), "grid lacks tiles"
    yield "grid-too-small.heic", hb.grid([tile] * 4, 2, (64, 64), (256, 256)), "do not cover"
    yield "grid-in-itself.heic", grid.replace(
        struct.pack(">HH4H", 5, 4, 1, 2, 3, 4), struct.pack(">HH4H", 5, 4, 5, 5, 5, 5)
    ), "HEIC"
    yield "zeros.heic", patched(good, good.index(b"mdat") + 8, b"\0" * 50), "HEIC is damaged"
    yield "endless-box.heic", patched(good, good.index(b"meta") - 4, b"\0\0\0\4"), EARLY
    for name, colour, words in (
        ("hdr", (9, 16, 9, 1), "high dynamic range"),
        ("hdr-broadcast", (9, 18, 9, 1), "high dynamic range"),
        ("rgb", (1, 13, 0, 1), "RGB without a luma"),
    ):
        yield name + ".heic", hb.grid([tile] * 4, 2, (128, 128), (256, 256), colour=colour), words
    yield "crop-outside.heic", hb.grid(
        [tile] * 4, 2, (128, 128), (256, 256), crop=(200, 200, (50, 1), (0, 1))
    ), "cropping"
    yield "crop-nothing.heic", hb.grid(
        [tile] * 4, 2, (128, 128), (256, 256), crop=(0, 200, (0, 1), (0, 1))
    ), "cropping"
    yield "crop-by-zero.heic", hb.grid(
        [tile] * 4, 2, (128, 128), (256, 256), crop=(9, 9, (0, 0), (0, 1))
    ), "cropping"


def others():
    yield "empty.jpg", b"", "the file is empty"
    yield "one-zero.png", b"\0", "no picture of a kind"
    yield "zeros.jpg", bytes(100000), "no picture of a kind"
    yield "notes.jpg", b"measured 14.6 mm at head two\n", "no picture of a kind"
    yield "page.png", b"<!DOCTYPE html><html></html>", "a web page or a drawing"
    yield "drawing.png", b"<svg xmlns='http://www.w3.org/2000/svg'/>", "a web page or a drawing"
    yield "sheet.tif", b"%PDF-1.4\n", "a PDF"
    yield "archive.heic", b"PK\3\4" + bytes(50), "a ZIP archive"
    yield "moving.gif", b"GIF89a" + bytes(50), "a GIF"
    yield "paint.bmp", b"BM" + bytes(100), "a BMP picture"
    yield "web.jpg", b"RIFF\x10\0\0\0WEBPVP8 " + bytes(20), "a WebP picture"
    yield "new.jpg", b"\0\0\0\x0cJXL \r\n\x87\n", "a JPEG XL picture"
    yield "old.jpg", b"\0\0\0\x0cjP  \r\n\x87\n", "a JPEG 2000 picture"
    yield "random.jpg", np.random.default_rng(5).integers(0, 256, 5000).astype(
        "u1"
    ).tobytes(), "no picture of a kind"


def make():
    for group in (others, jpegs, pngs, tiffs, heics):
        yield from group()


def good():
    """Small good files of every kind, for the fuzzer to change."""
    a = (np.add.outer(np.arange(40), np.arange(50)) % 251).astype("u1")
    rgb = np.stack([a, a[::-1], a[:, ::-1]], -1)
    files = [
        jpeg(size=(60, 40)),
        jpeg(size=(60, 40), progressive=True),
        jpeg("L", (60, 40)),
        mk.png(a, 8, 0),
        mk.png(rgb.astype("u2") * 257, 16, 2, interlaced=True),
        mk.png(a % 4, 2, 3, palette=np.arange(12).reshape(4, 3)),
        mk.png(a, 8, 0, before=[(b"eXIf", mk.exif(6, 300, "2024:05:01 10:20:30", "+02:00"))]),
        mk.tiff(rgb),
        mk.tiff(rgb, compression=8, planar=2),
        mk.tiff(a, tile=(16, 16)),
        mk.tiff(rgb, bigtiff=True),
    ]
    for compression in ("tiff_lzw", "packbits", "jpeg"):
        out = io.BytesIO()
        Image.fromarray(rgb).save(out, "TIFF", compression=compression)
        files.append(out.getvalue())
    files.append(mk.jpeg_with(jpeg(size=(60, 40)), [(0xE1, b"Exif\0\0" + mk.exif(8, 72))]))
    with tempfile.TemporaryDirectory() as folder:
        Image.fromarray(rgb).resize((64, 64)).save(folder + "/s.png")
        if (
            subprocess.run(
                ["heif-enc", folder + "/s.png", "-o", folder + "/s.heic"], capture_output=True
            ).returncode
            == 0
        ):
            with open(folder + "/s.heic", "rb") as f:
                files.append(f.read())
            tile = hb.coded(files[-1])
            files.append(
                hb.grid(
                    [tile] * 4,
                    2,
                    (64, 64),
                    (128, 100),
                    turn=1,
                    colour=(1, 13, 6, 1),
                    exif=mk.exif(1, 300),
                )
            )
    return files


def harmless():
    a = (np.add.outer(np.arange(90), np.arange(130)) % 251).astype("u1")
    good = mk.png(a, 8, 0)
    text = mk.chunk(b"zTXt", b"k\0\0" + zlib.compress(bytes(50_000_000), 9))
    yield "text-bomb.png", good[:33] + text + good[33:], "130 x 90"
    profile = mk.chunk(b"iCCP", b"k\0\0" + zlib.compress(bytes(50_000_000), 9))
    yield "profile-bomb.png", good[:33] + profile + good[33:], "130 x 90"
    yield "no-resolution.png", good, "none stated"
    yield "nonsense-resolution.png", mk.png(
        a, 8, 0, before=[(b"pHYs", bytes(8) + b"\1")]
    ), "none stated"
    yield "png-named.jpg", good, "PNG"
    yield "stray-bytes-behind.jpg", jpeg() + b"trailer" * 100, "JPEG"
    yield "nonsense-exif.jpg", mk.jpeg_with(
        jpeg(), [(0xE1, b"Exif\0\0II*\0\xff\xff\xff\x7f" + b"\xff" * 200)]
    ), "JPEG"
    yield "exif-loop.jpg", mk.jpeg_with(
        jpeg(),
        [(0xE1, b"Exif\0\0II*\0\x08\0\0\0\xff\xff" + b"\x69\x87\4\0\1\0\0\0\x08\0\0\0" * 50)],
    ), "JPEG"
    yield "second-page.tif", mk.tiff(a, next_directory=True), "first of several pictures"
