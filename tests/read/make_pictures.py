# make_pictures.py - writes PNG and TIFF files byte by byte, so that what they hold is known without any library.
# SPDX-License-Identifier: GPL-3.0-or-later
"""PNG after its W3C specification, TIFF after TIFF 6.0 (both from memory); only zlib is used."""
import struct
import zlib

import numpy as np

ADAM7 = [
    (0, 8, 0, 8),
    (4, 8, 0, 8),
    (0, 4, 4, 8),
    (2, 4, 0, 4),
    (0, 2, 2, 4),
    (1, 2, 0, 2),
    (0, 1, 1, 2),
]


def chunk(kind, body, crc=None):
    crc = zlib.crc32(kind + body) if crc is None else crc
    return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", crc)


def png_rows(samples, bits):
    """Filter 0 rows of an array (h, w, channels) of samples."""
    h = samples.shape[0]
    flat = samples.reshape(h, -1)
    if bits == 16:
        raw = flat.astype(">u2").tobytes()
        n = flat.shape[1] * 2
    elif bits == 8:
        raw = flat.astype("u1").tobytes()
        n = flat.shape[1]
    else:
        per = 8 // bits
        n = -(-flat.shape[1] // per)
        wide = np.zeros((h, n * per), "u1")
        wide[:, : flat.shape[1]] = flat
        packed = np.zeros((h, n), "u1")
        for i in range(per):
            packed |= wide[:, i::per] << (8 - bits * (i + 1))
        raw = packed.tobytes()
    return b"".join(b"\0" + raw[y * n : (y + 1) * n] for y in range(h))


def png(samples, bits, colour, before=(), after=(), interlaced=False, palette=None):
    """`samples` (h, w) or (h, w, c); `before` and `after` the pixels: lists of (kind, body)."""
    if samples.ndim == 2:
        samples = samples[:, :, None]
    h, w, _ = samples.shape
    if interlaced:
        data = b""
        for x0, dx, y0, dy in ADAM7:
            part = samples[y0::dy, x0::dx]
            if part.size:
                data += png_rows(part, bits)
    else:
        data = png_rows(samples, bits)
    out = b"\x89PNG\r\n\x1a\n" + chunk(
        b"IHDR", struct.pack(">IIBBBBB", w, h, bits, colour, 0, 0, int(interlaced))
    )
    if palette is not None:
        out += chunk(b"PLTE", palette.astype("u1").tobytes())
    for kind, body in before:
        out += chunk(kind, body)
    coded = zlib.compress(data, 6)
    for i in range(0, len(coded), 8192):
        out += chunk(b"IDAT", coded[i : i + 8192])
    for kind, body in after:
        out += chunk(kind, body)
    return out + chunk(b"IEND", b"")


def exif(orientation=None, dpi=None, taken=None, offset=None, big=False, place=False):
    """An EXIF block ("II*" or "MM*" on), with a place of taking that nobody may pass on if `place`."""
    e = ">" if big else "<"
    head = (b"MM\0*" if big else b"II*\0") + struct.pack(e + "I", 8)
    fields, data = [], b""
    n = sum(v is not None for v in (orientation, taken)) + (3 if dpi else 0) + int(place)
    at = 8 + 2 + 12 * n + 4

    def put(body):
        nonlocal data
        where = at + len(data)
        data += body + b"\0" * (len(body) % 2)
        return where

    if orientation is not None:
        fields.append((0x112, 3, 1, struct.pack(e + "HH", orientation, 0)))
    if dpi:
        for tag in (0x11A, 0x11B):
            fields.append(
                (tag, 5, 1, struct.pack(e + "I", put(struct.pack(e + "II", int(dpi * 100), 100))))
            )
        fields.append((0x128, 3, 1, struct.pack(e + "HH", 2, 0)))
    if taken is not None:
        entries = [(0x9003, taken)] + ([(0x9011, offset)] if offset else [])
        inner_at = at + len(data)
        text_at = inner_at + 2 + 12 * len(entries) + 4
        inner, texts = struct.pack(e + "H", len(entries)), b""
        for tag, text in entries:
            body = text.encode() + b"\0"
            inner += struct.pack(e + "HHII", tag, 2, len(body), text_at + len(texts))
            texts += body + b"\0" * (len(body) % 2)
        fields.append(
            (0x8769, 4, 1, struct.pack(e + "I", put(inner + struct.pack(e + "I", 0) + texts)))
        )
    if place:
        fields.append(
            (
                0x8825,
                4,
                1,
                struct.pack(e + "I", put(struct.pack(e + "H", 0) + b"SECRET PLACE" + b"\0" * 4)),
            )
        )
    fields.sort()
    body = struct.pack(e + "H", len(fields))
    for tag, kind, count, value in fields:
        body += struct.pack(e + "HHI", tag, kind, count) + value
    return head + body + struct.pack(e + "I", 0) + data


def tiff(
    samples,
    bits=8,
    photometric=None,
    big=False,
    compression=1,
    planar=1,
    tile=None,
    rows_per_strip=None,
    orientation=None,
    dpi=None,
    extra=(),
    bigtiff=False,
    next_directory=False,
):
    """`samples` (h, w) or (h, w, c). compression 1 or 8; tile (w, h) or None; extra: more (tag, type, values)."""
    e = ">" if big else "<"
    if samples.ndim == 2:
        samples = samples[:, :, None]
    h, w, c = samples.shape
    if photometric is None:
        photometric = 2 if c >= 3 else 1
    raw = samples.astype(("u1" if bits == 8 else e + "u2"))

    def pack(part):
        body = np.ascontiguousarray(part).tobytes()
        return zlib.compress(body) if compression == 8 else body

    pieces = []
    for plane in [slice(None)] if planar == 1 else [slice(i, i + 1) for i in range(c)]:
        of = raw[:, :, plane]
        if tile:
            for y in range(0, h, tile[1]):
                for x in range(0, w, tile[0]):
                    full = np.zeros((tile[1], tile[0], of.shape[2]), raw.dtype)
                    part = of[y : y + tile[1], x : x + tile[0]]
                    full[: part.shape[0], : part.shape[1]] = part
                    pieces.append(pack(full))
        else:
            step = rows_per_strip or h
            for y in range(0, h, step):
                pieces.append(pack(of[y : y + step]))
    tags = [
        (256, 4, [w]),
        (257, 4, [h]),
        (258, 3, [bits] * c),
        (259, 3, [compression]),
        (262, 3, [photometric]),
        (277, 3, [c]),
        (284, 3, [planar]),
    ]
    used = 3 if photometric == 2 else 1
    if c > used:
        tags.append((338, 3, [0] * (c - used)))
    if orientation:
        tags.append((274, 3, [orientation]))
    if dpi:
        tags += [
            (282, 5, [(int(dpi * 100), 100)]),
            (283, 5, [(int(dpi * 100), 100)]),
            (296, 3, [2]),
        ]
    tags += list(extra)
    offsets = (324, 325) if tile else (273, 279)
    if tile:
        tags += [(322, 4, [tile[0]]), (323, 4, [tile[1]])]
    else:
        tags.append((278, 4, [rows_per_strip or h]))
    place = "Q" if bigtiff else "I"
    head = 16 if bigtiff else 8
    where, at = [], head
    for p in pieces:
        where.append(at)
        at += len(p) + len(p) % 2
    tags += [(offsets[0], 16 if bigtiff else 4, where), (offsets[1], 4, [len(p) for p in pieces])]
    tags.sort()
    forms = {3: "H", 4: "I", 16: "Q", 2: "s"}
    field = 8 if bigtiff else 4
    directory = struct.pack(e + ("Q" if bigtiff else "H"), len(tags))
    data_at = at + len(directory) + len(tags) * (20 if bigtiff else 12) + field
    data = b""
    for tag, kind, values in tags:
        if kind == 5:
            body = b"".join(struct.pack(e + "II", *v) for v in values)
        elif kind == 2:
            body = values[0].encode() + b"\0"
        elif kind == 1:
            body = bytes(values)
        else:
            body = struct.pack(e + "%d%s" % (len(values), forms[kind]), *values)
        count = len(body) if kind in (1, 2) else len(values)
        directory += struct.pack(e + "HH" + place, tag, kind, count)
        if len(body) <= field:
            directory += body + b"\0" * (field - len(body))
        else:
            directory += struct.pack(e + place, data_at + len(data))
            data += body + b"\0" * (len(body) % 2)
    directory += struct.pack(e + place, at if next_directory else 0)
    magic = (b"MM" if big else b"II") + struct.pack(e + "H", 43 if bigtiff else 42)
    magic += struct.pack(e + "HHQ", 8, 0, at) if bigtiff else struct.pack(e + "I", at)
    return magic + b"".join(p + b"\0" * (len(p) % 2) for p in pieces) + directory + data


def jpeg_with(data, segments):
    """The JPEG with (marker, body) segments put in behind its first two bytes."""
    return (
        data[:2]
        + b"".join(struct.pack(">BBH", 0xFF, m, len(b) + 2) + b for m, b in segments)
        + data[2:]
    )
